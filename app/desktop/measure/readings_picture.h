// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#ifndef Q_MOC_RUN  // moc stumbles over <numbers>
#include "core/quantity/quantity.h"
#endif

#include <QStringList>
#include <QWidget>

#include <optional>
#include <vector>

namespace portwright {

/// Readings side by side: a dot with its standard uncertainty each, and the band of what they come to together.
class ReadingsPicture : public QWidget {
    Q_OBJECT
public:
    struct Reading {
        QString name;
        double volume = 0, uncertainty = 0;  ///< m3
        bool used = true, chosen = false;
    };
    explicit ReadingsPicture(QWidget* parent = nullptr);

    /// `band`: volume and uncertainty of the combination; none where there is none.
    void setReadings(std::vector<Reading> readings, std::optional<std::pair<double, double>> band, UnitSystem units);
    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

protected:
    void paintEvent(QPaintEvent* event) override;

private:
    std::vector<Reading> readings_;
    std::optional<std::pair<double, double>> band_;
    UnitSystem units_ = UnitSystem::metric;
};

}  // namespace portwright
