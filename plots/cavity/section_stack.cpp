// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/section_stack.h"

#include "core/cavity/sections.h"
#include "plots/chart/axis.h"
#include "plots/chart/chart_state.h"
#include "plots/drawing_parts.h"

#include <QFontMetricsF>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <array>
#include <cmath>

namespace portwright {
namespace {

/// Where everything lies, px. Stack and profile share one scale along the axis.
struct StackLayout {
    double em = 1;
    QRectF title, stack, head, chart;
    double scale = 1;       ///< px per m
    double atZero = 0;      ///< x of position 0
    double axisLine = 0;    ///< y of the stack's axis
    AxisRange areas{0, 1};  ///< in the shown unit
    std::vector<double> areaTicks;

    double x(double at) const { return atZero + at * scale; }
    double y(double area) const { return chart.bottom() - area / areas.upper * chart.height(); }
    QPointF place(double at, double width, double height) const
    {
        return QPointF(atZero, axisLine) + cabinet(at, width, height) * scale;
    }
    QPolygonF outline(const Section& section, double grow = 1) const
    {
        QPolygonF out;
        for (const QPointF& p : sectionOutline(section))
            out.append(place(section.at, grow * p.x(), grow * p.y()));
        return out;
    }
};

double areaShown(double area, UnitSystem units) { return fromSi(shownUnit(Dimension::area, units), area); }
QString areaUnit(UnitSystem units) { return QString::fromStdString(shownUnit(Dimension::area, units).name); }

/// The points of an outline farthest to each side; of a whole edge its middle.
std::array<QPointF, 4> extremesOf(const QPolygonF& outline)
{
    std::array<QPointF, 4> out;
    const std::array<QPointF, 4> sides{{{-1, 0}, {1, 0}, {0, -1}, {0, 1}}};
    const QRectF box = outline.boundingRect();
    const double grace = 1e-6 * (box.width() + box.height());
    for (std::size_t i = 0; i < 4; ++i) {
        double most = -1e300;
        for (const QPointF& p : outline)
            most = std::max(most, QPointF::dotProduct(p, sides[i]));
        int count = 0;
        for (const QPointF& p : outline)
            if (QPointF::dotProduct(p, sides[i]) > most - grace) out[i] += p, ++count;
        out[i] /= std::max(count, 1);
    }
    return out;
}

/// m on paper, of all that the stack draws, with position 0 at x = 0 and the axis at y = 0.
QRectF stackBounds(const SectionsMeasurement& sections)
{
    const AxisExtent extent = axisExtent(sections);
    QRectF all(QPointF(extent.from, 0), QPointF(extent.to, 1e-6));
    for (const Section& section : sections.sections)
        for (const QPointF& p : sectionOutline(section)) {
            const QPointF q = cabinet(section.at, p.x(), p.y());
            all.setCoords(std::min(all.left(), q.x()), std::min(all.top(), q.y()), std::max(all.right(), q.x()),
                          std::max(all.bottom(), q.y()));
        }
    return all;
}

StackLayout layOut(const SectionsMeasurement& sections, const QRectF& box, const QFont& font, UnitSystem units)
{
    StackLayout at;
    at.em = emOf(font);
    const QFontMetricsF metrics(font), small(sizedFont(font, 0.92));
    const double line = metrics.height(), margin = 8 * at.em;
    double greatest = 0;
    for (const Section& s : sections.sections)
        greatest = std::max(greatest, areaShown(drawnArea(s), units));
    for (const double area : simpsonCurve(sections).area)
        greatest = std::max(greatest, areaShown(area, units));
    at.areas = {0, std::max(greatest * 1.08, 1e-9)};
    const double chartHeight = std::max(0.34 * box.height() - 2 * line, 3 * line);
    at.areaTicks = valueTicks(at.areas, std::max(3, int(chartHeight / (2.2 * line))));
    double labels = small.horizontalAdvance(QString::fromStdString(shownUnit(Dimension::length, units).name));
    for (const double tick : at.areaTicks)
        labels = std::max(labels, small.horizontalAdvance(valueTickLabel(tick, at.areaTicks, QLocale())));
    const double left = box.left() + margin + labels + 8 * at.em, right = box.right() - margin - 14 * at.em;
    at.title = QRectF(box.left() + margin, box.top() + 4 * at.em, box.width() - 2 * margin, 1.4 * line);
    const double foot = box.bottom() - 1.5 * small.height() - 4 * at.em;
    at.chart = QRectF(left, foot - chartHeight, std::max(right - left, 1.0), chartHeight);
    at.head = QRectF(at.title.left(), at.chart.top() - 1.5 * line, at.title.width(), 1.3 * line);
    at.stack = QRectF(left, at.title.bottom() + 4 * at.em, at.chart.width(),
                      std::max(at.head.top() - at.title.bottom() - 8 * at.em, 1.0));
    const QRectF bounds = stackBounds(sections);
    at.scale = std::min(at.stack.width() / bounds.width(), at.stack.height() / bounds.height());
    at.atZero = at.stack.left() + (at.stack.width() - bounds.width() * at.scale) / 2 - bounds.left() * at.scale;
    at.axisLine = at.stack.top() + (at.stack.height() - bounds.height() * at.scale) / 2 - bounds.top() * at.scale;
    return at;
}

int sectionAt(const SectionsMeasurement& sections, const StackLayout& at, const QPointF& point)
{
    const int n = int(sections.sections.size());
    if (point.y() < at.head.top())
        for (int i = n - 1; i >= 0; --i)  // the rightmost lies on top
            if (at.outline(sections.sections[std::size_t(i)]).containsPoint(point, Qt::OddEvenFill)) return i;
    int nearest = 0;
    for (int i = 1; i < n; ++i)
        if (std::abs(at.x(sections.sections[std::size_t(i)].at) - point.x()) <
            std::abs(at.x(sections.sections[std::size_t(nearest)].at) - point.x()))
            nearest = i;
    return nearest;
}

struct StackPainting {
    QPainter& painter;
    const SectionsMeasurement& sections;
    const PlotPalette& palette;
    const SectionStackFace& face;
    const StackLayout& at;
    QFont font;
    QLocale locale;

    std::size_t count() const { return sections.sections.size(); }
    bool chosen(std::size_t i) const { return int(i) == face.chosen; }
    void dashed(const QColor& colour, double width) const
    {
        QPen pen(colour, width);
        pen.setDashPattern({4, 2.5});
        pen.setCapStyle(Qt::FlatCap);
        painter.setPen(pen);
    }
    void title() const;
    void axis() const;
    void links() const;
    void outlines() const;
    void cap(const EndCap& end, const Section& section, double towards) const;
    void grid() const;
    void curves() const;
    void figures() const;
};

void StackPainting::title() const
{
    const QFont bold = sizedFont(font, 1, QFont::DemiBold);
    painter.setFont(bold);
    painter.setPen(palette.text);
    const QString words = QObject::tr("Sections");
    painter.drawText(at.title, Qt::AlignLeft | Qt::AlignVCenter, words);
    if (face.chosen < 0 || face.chosen >= int(count())) return;
    const Section& s = sections.sections[std::size_t(face.chosen)];
    const QString readout = QObject::tr("%1 of %2: at %3, %4")
                                .arg(face.chosen + 1)
                                .arg(count())
                                .arg(shownLength(s.at, face.units),
                                     QString::fromStdString(formatQuantity(drawnArea(s), Dimension::area, face.units)));
    const double used = QFontMetricsF(bold).horizontalAdvance(words) + 12 * at.em;
    if (QFontMetricsF(font).horizontalAdvance(readout) > at.title.width() - used) return;
    painter.setFont(font);
    painter.setPen(palette.accent);
    painter.drawText(at.title, Qt::AlignRight | Qt::AlignVCenter, readout);
}

void StackPainting::axis() const
{
    const AxisExtent extent = axisExtent(sections);
    QPen pen(palette.hatch, 1);
    pen.setDashPattern({6, 2, 1, 2});
    pen.setCapStyle(Qt::FlatCap);
    painter.setPen(pen);
    painter.drawLine(QPointF(at.x(extent.from) - 6 * at.em, at.axisLine),
                     QPointF(at.x(extent.to) + 6 * at.em, at.axisLine));
}

/// Four lines from outline to outline: they make a body of the stack.
void StackPainting::links() const
{
    painter.setPen(QPen(palette.hatch, 1));
    for (std::size_t i = 0; i + 1 < count(); ++i) {
        const Section &a = sections.sections[i], &b = sections.sections[i + 1];
        const auto from = extremesOf(sectionOutline(a)), to = extremesOf(sectionOutline(b));
        for (std::size_t k = 0; k < from.size(); ++k)
            painter.drawLine(at.place(a.at, from[k].x(), from[k].y()), at.place(b.at, to[k].x(), to[k].y()));
    }
}

void StackPainting::outlines() const
{
    for (std::size_t i = 0; i < count(); ++i) {
        const QPolygonF outline = at.outline(sections.sections[i]);
        QColor fill = palette.air;
        fill.setAlphaF(0.8F);
        painter.setBrush(fill);
        if (sections.sections[i].shape == SectionShape::area)  // its shape is not known
            dashed(palette.ink, 1.2);
        else
            painter.setPen(QPen(palette.ink, 1.2));
        painter.drawPolygon(outline);
    }
    if (face.chosen < 0 || face.chosen >= int(count())) return;
    QColor fill = palette.accent;
    fill.setAlphaF(0.18F);
    painter.setBrush(fill);
    painter.setPen(QPen(palette.accent, 2));
    painter.drawPolygon(at.outline(sections.sections[std::size_t(face.chosen)]));
    painter.setBrush(Qt::NoBrush);
}

/// The outline shrinks towards the end: half an ellipsoid, or a cone; four meridians and two sections of it, dashed.
void StackPainting::cap(const EndCap& end, const Section& section, double towards) const
{
    if (end.shape == CapShape::flat || end.height <= 0) return;
    painter.setBrush(Qt::NoBrush);
    dashed(palette.steel, 1);
    const auto share = [&end](double t) { return end.shape == CapShape::dome ? std::sqrt(1 - t * t) : 1 - t; };
    for (const QPointF& foot : extremesOf(sectionOutline(section))) {
        QPolygonF meridian;
        constexpr int steps = 24;
        for (int k = 0; k <= steps; ++k) {  // by angle, since a dome ends upright
            const double t = std::sin(pi / 2 * k / steps);
            meridian.append(at.place(section.at + towards * t * end.height, share(t) * foot.x(), share(t) * foot.y()));
        }
        painter.drawPolyline(meridian);
    }
    for (const double t : {0.5, 0.8}) {
        Section moved = section;
        moved.at += towards * t * end.height;
        painter.drawPolygon(at.outline(moved, share(t)));
    }
}

void StackPainting::grid() const
{
    const QFont small = sizedFont(font, 0.92);
    const QFontMetricsF metrics(small);
    painter.setFont(small);
    painter.setRenderHint(QPainter::Antialiasing, false);
    for (const double tick : at.areaTicks) {
        const double y = at.y(tick);
        painter.setPen(QPen(blended(palette.text, palette.base, 0.2), 1));
        painter.drawLine(QPointF(at.chart.left(), y), QPointF(at.chart.right(), y));
        painter.setPen(palette.dim);
        painter.drawText(QRectF(at.chart.left() - 6 * at.em - 200, y - metrics.height() / 2, 200, metrics.height()),
                         Qt::AlignRight | Qt::AlignVCenter, valueTickLabel(tick, at.areaTicks, locale));
    }
    painter.setPen(QPen(palette.hatch, 1));
    for (const Section& s : sections.sections)
        painter.drawLine(QPointF(at.x(s.at), at.chart.bottom()), QPointF(at.x(s.at), at.chart.bottom() + 4 * at.em));
    const Unit& unit = shownUnit(Dimension::length, face.units);
    const double from = fromSi(unit, (at.chart.left() - at.atZero) / at.scale);
    const double to = fromSi(unit, (at.chart.right() - at.atZero) / at.scale);
    const std::vector<double> ticks = valueTicks({from, to}, std::max(2, int(at.chart.width() / (64 * at.em))));
    const double top = at.chart.bottom() + 4 * at.em;
    const QString name = QString::fromStdString(unit.name);
    const double unitRight = at.chart.left() - 6 * at.em;
    painter.setPen(palette.dim);
    painter.drawText(QRectF(unitRight - 200, top, 200, metrics.height()), Qt::AlignRight | Qt::AlignVCenter, name);
    for (const double tick : ticks) {
        const double x = at.x(toSi(unit, tick));
        const QString label = valueTickLabel(tick, ticks, locale);
        const double half = metrics.horizontalAdvance(label) / 2;
        if (x - half < unitRight + 2 * at.em || x + half > at.chart.right() + 20 * at.em) continue;
        painter.setPen(QPen(blended(palette.text, palette.base, 0.2), 1));
        painter.drawLine(QPointF(x, at.chart.top()), QPointF(x, at.chart.bottom()));
        painter.setPen(palette.dim);
        painter.drawText(QRectF(x - half - 1, top, 2 * half + 2, metrics.height()), Qt::AlignCenter, label);
    }
    painter.setRenderHint(QPainter::Antialiasing, true);
}

void StackPainting::curves() const
{
    const auto line = [this](const AreaCurve& curve) {
        QPolygonF out;
        for (std::size_t i = 0; i < curve.at.size(); ++i)
            out.append(
                QPointF(at.x(curve.at[i]), std::min(at.y(areaShown(curve.area[i], face.units)), at.chart.bottom())));
        return out;
    };
    const QPolygonF straight = line(trapezoidCurve(sections)), curved = line(simpsonCurve(sections));
    QPolygonF body = curved.isEmpty() ? straight : curved;
    body << QPointF(body.back().x(), at.chart.bottom()) << QPointF(body.front().x(), at.chart.bottom());
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.air);
    painter.drawPolygon(body);
    grid();
    painter.setBrush(Qt::NoBrush);
    dashed(palette.steel, 1.2);
    painter.drawPolyline(straight);
    if (!curved.isEmpty()) {
        painter.setPen(QPen(palette.ink, 1.6));
        painter.drawPolyline(curved);
    }
    if (face.chosen >= 0 && face.chosen < int(count())) {
        const double x = at.x(sections.sections[std::size_t(face.chosen)].at);
        painter.setPen(QPen(palette.accent, 1));
        painter.drawLine(QPointF(x, at.chart.top()), QPointF(x, at.chart.bottom()));
    }
    for (std::size_t i = 0; i < count(); ++i) {
        const QPointF p(at.x(sections.sections[i].at), at.y(areaShown(drawnArea(sections.sections[i]), face.units)));
        painter.setPen(QPen(chosen(i) ? palette.accent : palette.ink, 1.4));
        painter.setBrush(chosen(i) ? palette.accent : palette.base);
        painter.drawEllipse(p, (chosen(i) ? 3.4 : 2.4) * at.em, (chosen(i) ? 3.4 : 2.4) * at.em);
    }
    painter.setBrush(Qt::NoBrush);
}

/// "Area cm²" at the left; what each rule makes of it, with a sample of its line, at the right.
void StackPainting::figures() const
{
    const QFont bold = sizedFont(font, 1, QFont::DemiBold), small = sizedFont(font, 0.92);
    const QFontMetricsF metrics(small);
    painter.setFont(bold);
    painter.setPen(palette.text);
    const QString words = QObject::tr("Area");
    painter.drawText(at.head, Qt::AlignLeft | Qt::AlignVCenter, words);
    const double unitAt = at.head.left() + QFontMetricsF(bold).horizontalAdvance(words) + 6 * at.em;
    painter.setFont(small);
    painter.setPen(palette.dim);
    painter.drawText(QRectF(unitAt, at.head.top(), 200, at.head.height()), Qt::AlignLeft | Qt::AlignVCenter,
                     areaUnit(face.units));
    const AreaCurve points = trapezoidCurve(sections);
    const auto volume = [this](double v) {
        return QString::fromStdString(formatQuantity(v, Dimension::volume, face.units));
    };
    double right = at.head.right();
    const double least = unitAt + metrics.horizontalAdvance(areaUnit(face.units)) + 12 * at.em;
    const auto put = [&](const QString& text, bool solid) {
        const double wide = metrics.horizontalAdvance(text);
        if (right - wide - 26 * at.em < least) return;
        painter.setPen(palette.text);
        painter.drawText(QRectF(right - wide - 2, at.head.top(), wide + 2, at.head.height()),
                         Qt::AlignRight | Qt::AlignVCenter, text);
        right -= wide + 26 * at.em;
        if (solid)
            painter.setPen(QPen(palette.ink, 1.6));
        else
            dashed(palette.steel, 1.2);
        painter.drawLine(QPointF(right, at.head.center().y()), QPointF(right + 20 * at.em, at.head.center().y()));
        right -= 12 * at.em;
    };
    const QString straight = QObject::tr("trapezoid %1").arg(volume(trapezoid(points.at, points.area)));
    if (points.at.size() < 3) return put(straight, false);
    const QString curved = QObject::tr("Simpson %1").arg(volume(simpson(points.at, points.area)));
    const double both = metrics.horizontalAdvance(straight) + metrics.horizontalAdvance(curved) + 64 * at.em;
    if (right - both > least) put(straight, false);  // the rule that is reckoned with comes first
    put(curved, true);
}

QString nothingToDraw() { return QObject::tr("Two sections with rising positions make a stack."); }

}  // namespace

void paintSectionStack(QPainter& painter, const QRectF& box, const SectionsMeasurement& sections,
                       const PlotPalette& palette, const SectionStackFace& face)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(box, palette.base);
    const QFont font = sizedFont(painter.font(), 1);
    if (!drawable(sections)) {
        paintSentence(painter, box, nothingToDraw(), palette);
    } else {
        const StackLayout at = layOut(sections, box, font, face.units);
        const StackPainting p{painter, sections, palette, face, at, font, QLocale()};
        p.title();
        p.links();
        p.cap(sections.firstCap, sections.sections.front(), -1);
        p.outlines();
        p.cap(sections.lastCap, sections.sections.back(), 1);
        p.axis();
        p.curves();
        p.figures();
    }
    if (face.focused) paintFocus(painter, box, palette);
    painter.restore();
}

SectionStackView::SectionStackView(QWidget* parent)
    : CavityDrawing(tr("Stack of sections"), QSize(360, 340), QSize(220, 220), parent)
{
    shownAnew();
}

void SectionStackView::setSections(const SectionsMeasurement& sections)
{
    sections_ = sections;
    if (face_.chosen >= int(sections_.sections.size())) face_.chosen = -1;
    shownAnew();
}

void SectionStackView::setChosen(int section)
{
    if (face_.chosen == section) return;
    face_.chosen = section >= 0 && section < int(sections_.sections.size()) ? section : -1;
    shownAnew();
}

void SectionStackView::pick(int section)
{
    const int n = int(sections_.sections.size());
    if (n == 0) return;
    section = std::clamp(section, 0, n - 1);
    if (section == face_.chosen) return;
    setChosen(section);
    emit sectionPicked(section);
}

/// Every section as text, the chosen one first, for those who hear it.
QString SectionStackView::description() const
{
    QStringList lines;
    if (!drawable(sections_)) lines << nothingToDraw();
    const auto line = [this](std::size_t i) {
        const Section& s = sections_.sections[i];
        return tr("section %1 at %2: %3")
            .arg(i + 1)
            .arg(shownLength(s.at, units()),
                 QString::fromStdString(formatQuantity(drawnArea(s), Dimension::area, units())));
    };
    if (face_.chosen >= 0) lines << tr("Chosen: %1").arg(line(std::size_t(face_.chosen)));
    for (std::size_t i = 0; i < sections_.sections.size(); ++i)
        lines << line(i);
    return lines.join(u'\n');
}

void SectionStackView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    face_.focused = hasFocus();
    face_.units = units();
    paintSectionStack(painter, QRectF(rect()), sections_, plotPalette(), face_);
}

void SectionStackView::mousePressEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton || !drawable(sections_)) return CavityDrawing::mousePressEvent(event);
    pick(sectionAt(sections_, layOut(sections_, QRectF(rect()), sizedFont(font(), 1), units()), event->position()));
}

void SectionStackView::keyPressEvent(QKeyEvent* event)
{
    if (const auto section = itemByKey(*event, face_.chosen, int(sections_.sections.size())))
        pick(*section);
    else
        CavityDrawing::keyPressEvent(event);
}

}  // namespace portwright
