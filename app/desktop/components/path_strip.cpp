// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/path_strip.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"

#include <QButtonGroup>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace portwright {

namespace {

constexpr std::array<const char*, stationCount> icons{"station-radio",  "station-amplifier", "station-driver",
                                                      "station-cavity", "station-opening",   "station-rider"};
constexpr int driverStation = static_cast<int>(Station::driver);

double stripHeight() { return pxf(62); }
double wayHeight() { return pxf(48); }  // of wire and duct
double plateTop() { return pxf(4); }
double plateHeight() { return pxf(36); }
double plateLeft() { return pxf(6); }  // from the start of a station's column
double iconLeft() { return pxf(14); }
double wordsLeft() { return pxf(46); }
double wayMargin() { return pxf(14); }

bool isTrouble(Mark mark) { return mark == Mark::over || mark == Mark::near || mark == Mark::cannot; }

}  // namespace

/// Icon, name and key figure of one station.
class StationButton : public QAbstractButton {
public:
    StationButton(int station, QWidget* parent)
        : QAbstractButton(parent), icon_(QLatin1String(icons[std::size_t(station)]))
    {
        setCheckable(true);
        setFocusPolicy(Qt::StrongFocus);
        setAttribute(Qt::WA_Hover);
        setCursor(Qt::PointingHandCursor);
    }

    void setState(const StationState& state)
    {
        state_ = state;
        setText(state.name);
        const QString word = markWord(state.mark).toLower();
        const QString name = word.isEmpty() ? state.name : QStringLiteral("%1, %2").arg(state.name, word);
        setAccessibleName(state.keyFigure.isEmpty() ? name : QStringLiteral("%1: %2").arg(name, state.keyFigure));
        setToolTip(state.tip.isEmpty() ? accessibleName() : accessibleName() + u'\n' + state.tip);
        update();
    }

    /// The words for the figure and the letters they fit in: what is wrong is never cut while smaller letters help.
    std::pair<QString, QFont> fittedFigure() const
    {
        QFont font = figureFont(Letters::body);
        const QString brief = state_.shortFigure.isEmpty() ? state_.keyFigure : state_.shortFigure;
        const auto fits = [&](const QString& words) { return QFontMetrics(font).horizontalAdvance(words) <= room(); };
        if (fits(state_.keyFigure)) return {state_.keyFigure, font};
        if (fits(brief)) return {brief, font};
        const int least = std::max(9, QFontInfo(font).pixelSize() * 2 / 3);
        for (int size = QFontInfo(font).pixelSize() - 1; isTrouble(state_.mark) && size >= least; --size) {
            font.setPixelSize(size);
            if (fits(brief)) return {brief, font};
        }
        // Half a limit would mislead: rather the state alone, and the tip has the rest.
        const QString rest = isTrouble(state_.mark) ? markWord(state_.mark) : brief;
        return {QFontMetrics(font).elidedText(rest, Qt::ElideRight, room()), font};
    }

protected:
    void paintEvent(QPaintEvent*) override
    {
        const PlotPalette palette = currentPlotPalette();
        QPainter painter(this);
        painter.setRenderHint(QPainter::Antialiasing);
        paintPlate(painter, palette);
        const QColor ink = isChecked() ? palette.onInk : palette.text;
        const double icon = pxf(24), left = iconLeft() - plateLeft();
        paintIcon(painter, {left, (height() - icon) / 2, icon, icon}, icon_, ink, palette.raised);
        paintWords(painter, palette, ink);
    }

private:
    int room() const { return std::max(0, int(width() - (wordsLeft() - plateLeft()) - pxf(4))); }

    void paintPlate(QPainter& painter, const PlotPalette& palette) const
    {
        const QRectF plate(rect());
        if (isChecked() || underMouse()) {
            painter.setPen(Qt::NoPen);
            painter.setBrush(isChecked() ? palette.ink : palette.window);
            painter.drawRoundedRect(plate, pxf(4), pxf(4));
        }
        if (!hasFocus()) return;
        const double width = pxf(2), inset = isChecked() ? pxf(2.5) : width / 2;
        painter.setBrush(Qt::NoBrush);
        painter.setPen(QPen(isChecked() ? palette.onInk : palette.accent, isChecked() ? pxf(1.2) : width));
        painter.drawRoundedRect(plate.adjusted(inset, inset, -inset, -inset), pxf(3), pxf(3));
    }

    void paintWords(QPainter& painter, const PlotPalette& palette, const QColor& ink) const
    {
        const double left = wordsLeft() - plateLeft();
        const double half = height() / 2.0;
        painter.setFont(lettersFont(Letters::readout));
        painter.setPen(ink);
        const QRectF upper(left, pxf(1), room(), half), lower(left, half - pxf(1), room(), half);
        painter.drawText(upper, Qt::AlignLeft | Qt::AlignVCenter,
                         painter.fontMetrics().elidedText(state_.name, Qt::ElideRight, room()));
        const auto [figure, font] = fittedFigure();
        painter.setFont(font);
        if (!isChecked()) painter.setPen(isTrouble(state_.mark) ? markColour(palette, state_.mark) : palette.dim);
        painter.drawText(lower, Qt::AlignLeft | Qt::AlignVCenter, figure);
    }

    QString icon_;
    StationState state_;
};

PathStrip::PathStrip(QWidget* parent) : QWidget(parent)
{
    setSizePolicy(QSizePolicy::Expanding, QSizePolicy::Fixed);
    setMouseTracking(true);
    setAccessibleName(tr("The way of the sound"));
    auto* group = new QButtonGroup(this);
    for (int i = 0; i < stationCount; ++i) {
        buttons_[std::size_t(i)] = new StationButton(i, this);
        buttons_[std::size_t(i)]->installEventFilter(this);
        group->addButton(buttons_[std::size_t(i)], i);
    }
    connect(group, &QButtonGroup::idClicked, this, [this](int station) {
        setChosen(station);
        emit stationChosen(station);
    });
    const std::array<QString, stationCount> names{tr("Radio"),  tr("Amplifier"), tr("Driver"),
                                                  tr("Cavity"), tr("Opening"),   tr("Rider")};
    std::array<StationState, stationCount> states;
    for (std::size_t i = 0; i < names.size(); ++i)
        states[i].name = names[i];
    setStations(states);
    setChosen(driverStation);
}

void PathStrip::setStations(const std::array<StationState, stationCount>& stations)
{
    stations_ = stations;
    for (std::size_t i = 0; i < buttons_.size(); ++i)
        buttons_[i]->setState(stations[i]);
    update();
}

void PathStrip::setChosen(int station)
{
    chosen_ = std::clamp(station, 0, stationCount - 1);
    button(chosen_)->setChecked(true);
}

QAbstractButton* PathStrip::button(int station) const
{
    return buttons_[std::size_t(std::clamp(station, 0, stationCount - 1))];
}

QString PathStrip::shownFigure(int station) const
{
    return buttons_[std::size_t(std::clamp(station, 0, stationCount - 1))]->fittedFigure().first;
}

QSize PathStrip::sizeHint() const { return {px(1280), px(62)}; }
QSize PathStrip::minimumSizeHint() const { return {px(600), px(62)}; }

void PathStrip::place()
{
    const double pitch = static_cast<double>(width()) / stationCount;
    for (int i = 0; i < stationCount; ++i)
        button(i)->setGeometry(
            QRectF(i * pitch + plateLeft(), plateTop(), pitch - 2 * plateLeft(), plateHeight()).toRect());
}

QPointF PathStrip::node(int station) const
{
    return {station * static_cast<double>(width()) / stationCount + iconLeft() + pxf(12), wayHeight()};
}

int PathStrip::nodeAt(const QPointF& position) const
{
    for (int i = 0; i < stationCount; ++i)
        if (const QPointF d = position - node(i); std::hypot(d.x(), d.y()) <= pxf(11)) return i;
    return -1;
}

void PathStrip::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    QPainter painter(this);
    painter.fillRect(rect(), palette.raised);
    painter.fillRect(QRectF(0, stripHeight() - 1, width(), 1), palette.line);
    painter.setRenderHint(QPainter::Antialiasing);

    const double y = wayHeight(), driver = node(driverStation).x(), end = width() - wayMargin();
    const double wire = std::max(1.0, pxf(1.5)), duct = pxf(8), wall = std::max(1.0, pxf(1));
    painter.fillRect(QRectF(wayMargin(), y - wire / 2, driver - wayMargin(), wire), palette.edge);
    painter.fillRect(QRectF(driver, y - duct / 2, end - driver, duct), palette.air);
    painter.fillRect(QRectF(driver, y - duct / 2, end - driver, wall), palette.edge);
    painter.fillRect(QRectF(driver, y + duct / 2 - wall, end - driver, wall), palette.edge);

    for (int i = 0; i < stationCount; ++i) {
        const Mark mark = stations_[std::size_t(i)].mark;
        const QPointF at = node(i);
        const double ring = pxf(5.5), icon = pxf(17);
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.raised);
        const double gap = mark == Mark::absent       ? pxf(10)
                           : markIcon(mark).isEmpty() ? ring + pxf(1)
                                                      : icon / 2 + pxf(1);
        painter.drawRect(
            QRectF(at.x() - gap, y - duct, 2 * gap, 2 * duct).intersected(QRectF(0, 0, width(), stripHeight() - 1)));
        if (!markIcon(mark).isEmpty()) {
            paintIcon(painter, {at.x() - icon / 2, y - icon / 2, icon, icon}, markIcon(mark), markColour(palette, mark),
                      palette.raised);
            continue;
        }
        painter.setPen(QPen(palette.edge, pxf(1.5)));
        painter.drawEllipse(at, ring, ring);
        if (mark == Mark::absent) continue;
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.edge);
        painter.drawEllipse(at, pxf(2.2), pxf(2.2));
    }
}

void PathStrip::resizeEvent(QResizeEvent*) { place(); }

void PathStrip::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::ApplicationFontChange) {
        updateGeometry();
        place();
    }
    QWidget::changeEvent(event);
}

bool PathStrip::eventFilter(QObject* watched, QEvent* event)
{
    if (event->type() != QEvent::KeyPress) return false;
    const auto found = std::find(buttons_.begin(), buttons_.end(), watched);
    if (found == buttons_.end()) return false;
    const int station = static_cast<int>(found - buttons_.begin());
    const auto* key = static_cast<QKeyEvent*>(event);
    if (key->key() == Qt::Key_Return || key->key() == Qt::Key_Enter) {
        if (key->modifiers() & Qt::ControlModifier)
            emit markClicked(station);
        else
            (*found)->click();
        return true;
    }
    const int by = key->key() == Qt::Key_Left ? -1 : key->key() == Qt::Key_Right ? 1 : 0;
    if (by == 0) return key->key() == Qt::Key_Up || key->key() == Qt::Key_Down;  // no way up or down here
    const int next = std::clamp(station + by, 0, stationCount - 1);
    if (next == station) return true;
    button(next)->setFocus(Qt::TabFocusReason);
    button(next)->click();
    return true;
}

void PathStrip::mouseReleaseEvent(QMouseEvent* event)
{
    const int station = nodeAt(event->position());
    if (event->button() == Qt::LeftButton && station >= 0) emit markClicked(station);
}

void PathStrip::mouseMoveEvent(QMouseEvent* event)
{
    setCursor(nodeAt(event->position()) >= 0 ? Qt::PointingHandCursor : Qt::ArrowCursor);
}

}  // namespace portwright
