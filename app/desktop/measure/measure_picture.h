// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "app/desktop/measure/measure_desk.h"
#include "app/desktop/measure/scan_desk.h"

#include <QStackedWidget>

namespace portwright {

class ReadingsPicture;
class SectionStackView;
class SolidsView;
class ScanView;

/// The picture beside a method: stack of sections, solids, turning scan, or the readings side by side.
class MeasurePicture : public QStackedWidget {
    Q_OBJECT
public:
    MeasurePicture(MeasureDesk& desk, ScanDesk& scans, QWidget* parent = nullptr);

    void refresh();
    void setChosenRow(int row);  ///< of the method's table

signals:
    void rowPicked(int row);

protected:
    void changeEvent(QEvent* event) override;

private:
    void ink();
    void showReadings();

    MeasureDesk& desk_;
    ScanDesk& scans_;
    ReadingsPicture* readings_;
    SectionStackView* sections_;
    SolidsView* solids_;
    ScanView* scan_;
    std::shared_ptr<const ReadScan> shown_;
};

}  // namespace portwright
