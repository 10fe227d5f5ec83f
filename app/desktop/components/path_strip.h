// SPDX-License-Identifier: GPL-3.0-or-later
// The way of the sound: wire up to the driver, a duct of air behind it, six stations on it.
#pragma once

#include "app/desktop/components/mark.h"

#include <QAbstractButton>
#include <QWidget>

#include <array>

namespace portwright {

inline constexpr int stationCount = 6;
enum class Station { radio, amplifier, driver, cavity, opening, rider };

struct StationState {
    QString name;       ///< "Opening"
    QString keyFigure;  ///< what it is, or what is wrong: "B air past 17 m/s"
    Mark mark = Mark::fine;
    QString tip;
    QString shortFigure;  ///< "B past 17 m/s": where the key figure has no room; empty: there is none
    bool operator==(const StationState&) const = default;
};

class StationButton;

class PathStrip : public QWidget {
    Q_OBJECT
public:
    explicit PathStrip(QWidget* parent = nullptr);

    void setStations(const std::array<StationState, stationCount>& stations);
    const std::array<StationState, stationCount>& stations() const { return stations_; }
    void setChosen(int station);
    int chosen() const { return chosen_; }
    QAbstractButton* button(int station) const;
    QString shownFigure(int station) const;  ///< the key figure as painted: whole, short, or cut

    QSize sizeHint() const override;
    QSize minimumSizeHint() const override;

signals:
    void stationChosen(int station);  ///< click, Return, space or arrow key
    void markClicked(int station);    ///< the node of a station: jump to the value at fault

protected:
    void paintEvent(QPaintEvent* event) override;
    void resizeEvent(QResizeEvent* event) override;
    void changeEvent(QEvent* event) override;
    bool eventFilter(QObject* watched, QEvent* event) override;
    void mouseReleaseEvent(QMouseEvent* event) override;
    void mouseMoveEvent(QMouseEvent* event) override;

private:
    void place();
    QPointF node(int station) const;
    int nodeAt(const QPointF& position) const;
    std::array<StationState, stationCount> stations_;
    std::array<StationButton*, stationCount> buttons_{};
    int chosen_ = 0;
};

}  // namespace portwright
