// SPDX-License-Identifier: GPL-3.0-or-later
// Scans read in this session: the file in a measurement says where a mesh lies, this holds what was in it. Reading and
// looking for crossing faces run away from the window.
#pragma once

#include "app/desktop/measure/measure_desk.h"
#include "app/desktop/session/long_task.h"
#include "core/mesh/scan.h"
#include "plots/cavity/scan_view.h"

#include <QObject>

#include <map>
#include <memory>
#include <optional>

namespace portwright {

/// A scan as read, with a likeness for drawing.
struct ReadScan {
    Scan scan;
    ScanPicture picture;
};

class ScanDesk : public QObject {
    Q_OBJECT
public:
    explicit ScanDesk(MeasureDesk& desk, QObject* parent = nullptr);

    /// Reads a file into the chosen measurement, which becomes a scan: one undo step, once it is read.
    void read(const QString& path, std::optional<double> unit, std::optional<double> wall);
    /// Reads the chosen measurement's file again, with other options where given.
    void readAgain(std::optional<double> unit, std::optional<double> wall);
    /// Reads the chosen measurement's file for its picture alone; nothing of the project changes.
    void load();

    QString pathOf(const ScanMeasurement& scan) const;  ///< absolute, by the project's folder
    /// Null until it has been read with the unit and the wall that the measurement has.
    std::shared_ptr<const ReadScan> loaded(const ScanMeasurement& scan) const;
    /// Pairs of faces that cross; none while that is being looked for, or was stopped.
    std::optional<std::size_t> crossings(const ScanMeasurement& scan) const;

    LongTask& reading() { return reading_; }
    LongTask& crossing() { return crossing_; }
    const QString& refusal() const { return refusal_; }  ///< of the last reading, empty if it went well

signals:
    void changed();  ///< something was read, refused, or found out

private:
    struct Wish {
        QString path;
        ScanOptions options;
        bool apply = true;  ///< to the measurement, not for its picture alone
    };
    struct Known {
        QString path;
        double unit = 0;
        std::optional<double> wall;
        std::shared_ptr<const ReadScan> read;
        std::optional<std::size_t> crossings;
    };
    void start(const Wish& wish);
    void take(const Wish& wish, Result<std::shared_ptr<const ReadScan>> read);
    void lookForCrossings(std::size_t known);
    const Known* find(const ScanMeasurement& scan) const;
    std::string nameFor(const QString& path) const;

    MeasureDesk& desk_;
    LongTask reading_, crossing_;
    std::vector<Known> known_;
    QString refusal_;
};

bool isScanFile(const QString& path);  ///< by its ending: .stl, .obj, .ply

}  // namespace portwright
