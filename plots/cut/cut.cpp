// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cut/cut.h"

#include "plots/chart/line_clip.h"
#include "plots/drawing_parts.h"

#include <QFontMetricsF>
#include <QPainter>
#include <QPainterPath>
#include <QStyle>
#include <QVariantAnimation>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr double airSpeedOfWholeTube = 34;  // m/s: an arrow as long as the tube
constexpr double hatchFrom = 0.75;          // px/mm below which the wall is a line

/// Outside of a convex polygon's wall: each point moved along the bisector of its edges.
QPolygonF grown(const QPolygonF& inside, double by)
{
    QPolygonF out;
    const qsizetype n = inside.size();
    const auto normal = [&](qsizetype i) {  // outward for points that run clockwise on a screen
        const QPointF e = inside[(i + 1) % n] - inside[(i + n) % n];
        const double l = std::max(std::hypot(e.x(), e.y()), 1e-12);
        return QPointF(e.y() / l, -e.x() / l);
    };
    for (qsizetype i = 0; i < n; ++i) {
        const QPointF a = normal((i + n - 1) % n), b = normal(i), sum = a + b;
        const double share = std::max(1 + QPointF::dotProduct(a, b), 0.3);
        out.append(inside[i] + sum * (by / share));
    }
    return out;
}

/// Paints one cut; the painter's unit is a px, `at` maps mm.
struct CutPainting {
    QPainter& painter;
    const CutGeometry& cut;
    const PlotPalette& palette;
    const CutFace& face;
    const CutAtCursor& cursor;
    QTransform at = {};

    double px(double mm) const { return mm * face.pixelsPerMm; }
    QPointF map(double x, double y) const { return at.map(QPointF(x, y)); }
    QRectF box(double x, double y, double w, double h) const { return at.mapRect(QRectF(x, y, w, h)); }
    double fine() const { return std::clamp(0.9 + face.pixelsPerMm / 3, 1.0, 2.2); }
    void line(double x0, double y0, double x1, double y1) const { painter.drawLine(map(x0, y0), map(x1, y1)); }

    /// The same in the own directions of a part: its y = 0 is the wall's inner face.
    CutPainting placed(const CutPlace& place) const
    {
        CutPainting own = *this;
        own.at = QTransform().translate(place.at.x(), place.at.y()).rotate(place.turn) * at;
        return own;
    }
    void cavity(const QPolygonF& inside, bool known) const;
    void wallHatch(const QPolygonF& outside, const QPolygonF& air, bool known) const;
    void baffle() const;
    void mouth(double centre, double width) const;
    void driver(const CutGeometry::DriverDrawing& d) const;
    void cone(const CutGeometry::DriverDrawing& d, double shift) const;
    void tube(const CutGeometry::Tube& t) const;
    void arrows(const CutGeometry::Tube& t) const;
    void passive(const CutGeometry::Passive& p) const;
    void centreLine(double x, double from, double to) const;
    void tubeCentreLine(const CutGeometry::Tube& t) const;
    QPen centrePen() const;
    void leakSign() const;
};

/// An assumed outline is convex; a measured one is hatched piece by piece.
void CutPainting::wallHatch(const QPolygonF& outside, const QPolygonF& air, bool known) const
{
    painter.setPen(QPen(palette.hatch, 0.8));
    if (!known) {
        painter.drawLines(hatchBetween(outside, air, 5));
        return;
    }
    std::vector<QPolygonF> pieces;
    for (qsizetype i = 0; i < air.size(); ++i) {
        const qsizetype k = (i + 1) % air.size();
        pieces.push_back({air[i], air[k], outside[k], outside[i]});
    }
    painter.drawLines(hatchInside(pieces, 5));
}

void CutPainting::cavity(const QPolygonF& inside, bool known) const
{
    const QPolygonF air = at.map(inside), outside = at.map(grown(inside, cut.wall));
    QPainterPath hollow, body;
    hollow.addPolygon(air), hollow.closeSubpath();
    body.addPolygon(outside), body.closeSubpath();
    painter.setPen(Qt::NoPen);
    if (face.pixelsPerMm > hatchFrom) {
        painter.setBrush(palette.wall);
        painter.drawPath(body);
        wallHatch(outside, air, known);
    }
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.air);
    painter.drawPath(hollow);
    painter.setBrush(Qt::NoBrush);
    if (face.pixelsPerMm > hatchFrom) {
        painter.setPen(QPen(palette.steel, 0.8));
        painter.drawPath(hollow);
    }
    QPen pen(palette.ink, known ? 2.2 : 1.4);
    if (!known) pen.setDashPattern({4, 2.5});
    pen.setCapStyle(Qt::FlatCap);
    painter.setPen(pen);
    QPolygonF open = face.pixelsPerMm > hatchFrom ? outside : air;  // from the right rim around to the left one
    if (known) {
        painter.drawPolygon(open);  // all around; driver and ports break it where they stand
        return;
    }
    std::rotate(open.begin(), open.begin() + 1, open.end());
    painter.drawPolyline(open);
}

/// The hole that a part leaves in a measured wall.
void CutPainting::mouth(double centre, double width) const
{
    const double line = 1.5 / face.pixelsPerMm;  // the outline's own breadth goes too
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.air);
    painter.drawRect(box(centre - width / 2, -cut.wall - line, width, cut.wall + 2 * line));
    painter.setBrush(Qt::NoBrush);
}

void CutPainting::baffle() const
{
    if (cut.known && cut.second.isEmpty()) return;
    const QRectF main = (cut.known ? cut.second : cut.outline).boundingRect();
    const double left = main.left() - cut.wall;
    double right = main.right() + cut.wall;
    if (!cut.second.isEmpty()) right = cut.second.boundingRect().right() + cut.wall;
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.hatch);
    painter.drawRect(box(left, -cut.baffle, right - left, cut.baffle));
    painter.setBrush(palette.air);
    for (const QRectF& mouth : cut.mouths)
        painter.drawRect(at.mapRect(mouth.adjusted(0, -0.2, 0, 0.4)));
    painter.setBrush(Qt::NoBrush);
}

void CutPainting::cone(const CutGeometry::DriverDrawing& d, double shift) const
{
    const double rim = 0.46 * d.d, coil = 0.15 * d.d, top = -cut.baffle + shift, neck = 0.2 * d.d + shift - cut.baffle;
    QPainterPath path(map(d.centre - rim, top));
    path.lineTo(map(d.centre - coil, neck));
    path.quadTo(map(d.centre, neck - 0.14 * d.d), map(d.centre + coil, neck));
    path.moveTo(map(d.centre + coil, neck));
    path.lineTo(map(d.centre + rim, top));
    painter.drawPath(path);
}

void CutPainting::driver(const CutGeometry::DriverDrawing& d) const
{
    const double frame = 0.635 * d.d, rim = 0.46 * d.d, coil = 0.15 * d.d, top = -cut.baffle;
    const double magnetTop = 0.33 * d.d, neck = 0.2 * d.d - cut.baffle;
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.hatch, fine()));
    for (const double side : {-1.0, 1.0})  // basket
        line(d.centre + side * 0.52 * d.d, 0, d.centre + side * 0.29 * d.d, magnetTop);
    painter.setPen(QPen(palette.steel, fine()));
    for (const double side : {-1.0, 1.0})  // coil
        line(d.centre + side * coil, neck, d.centre + side * coil, magnetTop);
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.steel);
    painter.drawRoundedRect(box(d.centre - 0.31 * d.d, magnetTop, 0.62 * d.d, 0.2 * d.d), 1.5, 1.5);
    for (const double side : {-1.0, 1.0})  // flange on the baffle
        painter.drawRect(box(d.centre + (side < 0 ? -frame : 0.5 * d.d), top - 2.5, frame - 0.5 * d.d, 2.5));
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.ink, 1.5 * fine(), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    cone(d, 0);
    painter.setPen(QPen(palette.ink, fine()));
    for (const double side : {-1.0, 1.0}) {  // surround
        QPainterPath arc(map(d.centre + side * rim, top));
        arc.quadTo(map(d.centre + side * (rim + 0.03 * d.d), top - 0.06 * d.d), map(d.centre + side * 0.52 * d.d, top));
        painter.drawPath(arc);
    }
    if (face.travel && cursor.coneTravel > 0 && std::isfinite(cursor.coneTravel)) {
        QPen dotted(palette.accent, 1.4);
        dotted.setDashPattern({1, 1.6});
        dotted.setCapStyle(Qt::FlatCap);
        painter.setPen(dotted);
        const double travel = std::min(1e3 * cursor.coneTravel, 0.5 * d.d);
        cone(d, -travel);
        cone(d, travel);
    }
    centreLine(d.centre, top - 6, magnetTop + 0.2 * d.d + 6);
}

void CutPainting::tube(const CutGeometry::Tube& t) const
{
    const double wall = std::max(3.0, 1.6 / face.pixelsPerMm);
    QPolygonF sides[2], outsides[2];  // left and right, outer end first
    for (const auto& station : t.line)
        for (const int right : {0, 1}) {
            const double side = right ? 1 : -1;
            sides[right] << at.map(station.beside(side * station.half));
            outsides[right] << at.map(station.beside(side * (station.half + wall)));
        }
    const auto between = [](const QPolygonF& there, QPolygonF back) {
        std::reverse(back.begin(), back.end());
        return there + back;
    };
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.air);
    painter.drawPolygon(between(sides[0], sides[1]));
    painter.setBrush(palette.steel);
    for (const int right : {0, 1})
        painter.drawPolygon(between(sides[right], outsides[right]));
    painter.setBrush(Qt::NoBrush);
    tubeCentreLine(t);
    if (face.arrows) arrows(t);
}

/// Along the way of the air, 6 mm beyond both mouths.
void CutPainting::tubeCentreLine(const CutGeometry::Tube& t) const
{
    if (t.line.size() < 2) return;
    const auto on = [](const CutGeometry::Tube::Station& s, double by) {
        return s.at + by * QPointF(-std::sin(s.turn), std::cos(s.turn));
    };
    QPolygonF way{on(t.line.front(), -6)};
    for (const auto& station : t.line)
        way << station.at;
    way << on(t.line.back(), 6);
    painter.setPen(centrePen());
    painter.drawPolyline(at.map(way));
}

void CutPainting::arrows(const CutGeometry::Tube& t) const
{
    const double speed = t.port < cursor.portAirSpeed.size() ? cursor.portAirSpeed[t.port] : 0;
    double straight = t.whole, foot = t.length;  // of a bent tube its first straight part: there the arrows stand
    for (std::size_t i = 0; t.bent && i < t.line.size() && t.line[i].turn < 1e-9; ++i)
        foot = t.line[i].at.y(), straight = foot + t.outside;
    const double length = std::clamp(speed / airSpeedOfWholeTube, 0.0, 1.0) * straight;
    if (!std::isfinite(speed) || px(length) < 3) return;
    const double head = std::min({px(0.2 * t.width), px(length) * 0.6, 5.0});
    const double middle = (foot - t.outside) / 2;
    const bool two = px(t.width) >= 14;
    painter.setPen(QPen(palette.accent, 1.6, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
    for (const double share : two ? std::vector<double>{0.3, 0.7} : std::vector<double>{0.5}) {
        const QPointF tip = map(t.left + share * t.width, middle - length / 2);
        painter.drawLine(map(t.left + share * t.width, middle + length / 2), tip);
        const double h = head / face.pixelsPerMm, x = t.left + share * t.width, y = middle - length / 2;
        painter.drawPolyline(QPolygonF{map(x - 0.7 * h, y + h), tip, map(x + 0.7 * h, y + h)});
    }
}

void CutPainting::passive(const CutGeometry::Passive& p) const
{
    const double top = -cut.baffle, r = 0.44 * p.d;
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.steel);
    for (const double side : {-1.0, 1.0})
        painter.drawRect(box(p.centre + (side < 0 ? -0.635 * p.d : 0.5 * p.d), top - 2.5, 0.135 * p.d, 2.5));
    painter.setBrush(Qt::NoBrush);
    painter.setPen(QPen(palette.ink, 1.5 * fine(), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    QPainterPath path(map(p.centre - r, top));
    path.lineTo(map(p.centre - 0.6 * r, top + 0.1 * p.d));
    path.lineTo(map(p.centre + 0.6 * r, top + 0.1 * p.d));
    path.lineTo(map(p.centre + r, top));
    painter.drawPath(path);
    painter.setPen(QPen(palette.ink, fine()));
    for (const double side : {-1.0, 1.0}) {
        QPainterPath arc(map(p.centre + side * r, top));
        arc.quadTo(map(p.centre + side * 0.47 * p.d, top - 0.08 * p.d), map(p.centre + side * 0.51 * p.d, top));
        painter.drawPath(arc);
    }
    centreLine(p.centre, top - 6, 0.1 * p.d + 8);
}

QPen CutPainting::centrePen() const
{
    QPen pen(palette.hatch, 1);
    pen.setDashPattern({6, 2, 1, 2});
    pen.setCapStyle(Qt::FlatCap);
    return pen;
}

void CutPainting::centreLine(double x, double from, double to) const
{
    painter.setPen(centrePen());
    line(x, from, x, to);
}

/// A small arrow that winds out through the left wall: there is a leak, nobody knows where.
void CutPainting::leakSign() const
{
    const auto leftmost = std::min_element(cut.outline.begin(), cut.outline.end(),
                                           [](const QPointF& a, const QPointF& b) { return a.x() < b.x(); });
    const QPointF rim = map(leftmost->x() - cut.wall, cut.known ? leftmost->y() : 0);
    const double y = cut.known ? rim.y() : rim.y() + std::max(px(9), 5.0);
    painter.setPen(QPen(palette.air, 3));
    painter.drawLine(QPointF(rim.x() - 2, y), QPointF(rim.x() + 4 + px(cut.wall), y));
    painter.setPen(QPen(palette.accent, 1.4, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin));
    QPainterPath wave(QPointF(rim.x() + 7, y));
    wave.cubicTo(rim.x() + 3, y - 4, rim.x() + 1, y + 4, rim.x() - 5, y);
    painter.drawPath(wave);
    painter.drawPolyline(QPolygonF{QPointF(rim.x() - 2, y - 3), QPointF(rim.x() - 5, y), QPointF(rim.x() - 2, y + 3)});
}

/// Whether the sizes of its port are a line of words: where it stands in any direction, or is bent.
bool inWords(const CutGeometry& cut) { return cut.known || (!cut.tubes.empty() && cut.tubes.front().bent); }

struct Margins {
    double top, right, bottom;
};
Margins marginsOf(const CutFace& face, const CutGeometry& cut, double line)
{
    const bool sized = face.dimensions && !cut.tubes.empty();
    return {sized ? 1.3 * line : 0, sized && !inWords(cut) ? 1.9 * line : 0,
            (face.scaleBar ? 1.2 * line : 0) + (face.words ? 1.1 * line : 0)};
}

/// mm on the paper to px, with the bounds' top left at `at`.
QTransform mapOf(const QPointF& at, const CutGeometry& cut, const CutFace& face, double lineHeight)
{
    QTransform map;
    map.translate(at.x() + 8, at.y() + marginsOf(face, cut, lineHeight).top);
    map.scale(face.pixelsPerMm, face.pixelsPerMm);
    map.translate(-cut.bounds.left(), -cut.bounds.top());
    return map;
}

QString wordsOf(const CutGeometry& cut)
{
    if (cut.known)
        return cut.second.isEmpty() ? QObject::tr("measured shape, sections drawn round")
                                    : QObject::tr("measured shape, sections drawn round; the second cavity assumed");
    if (!cut.fits) return QObject::tr("outline assumed, the parts do not fit in it");
    return QObject::tr("outline assumed, volume true");
}

/// Whole millimetres, or the same in inches.
QString wholeSize(double mm, UnitSystem units)
{
    return QString::fromStdString(formatNumber(std::round(mm) / 1e3, Dimension::length, units));
}

/// Ports stand in any direction in a measured shape: their sizes are a line of words.
void paintPortWords(QPainter& painter, const CutPainting& p)
{
    const CutGeometry::Tube& t = p.cut.tubes.front();
    const QString unit = QString::fromStdString(shownUnit(Dimension::length, p.face.units).name);
    const QString words =
        QObject::tr("port %1%2\u00a0×\u00a0%3\u00a0%4%5")
            .arg(t.slot ? QString() : QStringLiteral("Ø\u00a0"), wholeSize(t.width, p.face.units),
                 wholeSize(t.whole, p.face.units), unit, t.bent ? QObject::tr(", along its bends") : QString());
    painter.setPen(p.palette.text);
    const QRectF bounds = p.at.mapRect(p.cut.bounds);
    painter.drawText(QPointF(bounds.left(), bounds.top() - 0.35 * QFontMetricsF(painter.font()).height()), words);
}

void paintDimensions(QPainter& painter, const CutPainting& p)
{
    if (inWords(p.cut)) return paintPortWords(painter, p);
    const CutGeometry::Tube& t = p.cut.tubes.front();
    const QFontMetricsF metrics(painter.font());
    painter.setPen(QPen(p.palette.steel, 1));
    const double y = p.map(0, -p.cut.baffle).y() - 6;
    const double x0 = p.map(t.left, 0).x(), x1 = p.map(t.left + t.width, 0).x();
    painter.drawLine(QPointF(x0, y), QPointF(x1, y));
    painter.drawLine(QPointF(x0, y - 3), QPointF(x0, y + 3));
    painter.drawLine(QPointF(x1, y - 3), QPointF(x1, y + 3));
    const double x = p.at.mapRect(p.cut.bounds).right() + 0.8 * metrics.height();
    const double top = p.map(0, -p.cut.baffle).y(), foot = p.map(0, t.length).y();
    painter.drawLine(QPointF(x, top), QPointF(x, foot));
    painter.drawLine(QPointF(x - 6, top), QPointF(x + 3, top));
    painter.drawLine(QPointF(x - 6, foot), QPointF(x + 3, foot));
    painter.setPen(p.palette.text);
    const QString bore = (t.slot ? QString() : QStringLiteral("Ø\u00a0")) + wholeSize(t.width, p.face.units);
    painter.drawText(QPointF((x0 + x1 - metrics.horizontalAdvance(bore)) / 2, y - 4), bore);
    const QString length = wholeSize(t.length, p.face.units);
    painter.save();
    painter.translate(x + metrics.ascent() + 2, (top + foot + metrics.horizontalAdvance(length)) / 2);
    painter.rotate(-90);
    painter.drawText(QPointF(0, 0), length);
    painter.restore();
}

void paintBar(QPainter& painter, const QPointF& left, const CutFace& face, const PlotPalette& palette, double room)
{
    const QFontMetricsF metrics(painter.font());
    const bool inches = face.units == UnitSystem::us;
    const QString words = inches ? QStringLiteral("4\u00a0in") : QStringLiteral("100\u00a0mm");
    const double length = (inches ? 101.6 : 100) * face.pixelsPerMm;
    if (length + 6 + metrics.horizontalAdvance(words) > room) return;
    painter.setPen(QPen(palette.ink, 1));
    painter.drawLine(left, left + QPointF(length, 0));
    for (const double x : {0.0, length})
        painter.drawLine(left + QPointF(x, -3), left + QPointF(x, 3));
    painter.setPen(palette.dim);
    painter.drawText(left + QPointF(length + 6, metrics.capHeight() / 2), words);
}

}  // namespace

double fittingPixelsPerMm(const CutGeometry& geometry, const QSizeF& box, const CutFace& face,
                          const QFontMetricsF& metrics)
{
    const Margins m = marginsOf(face, geometry, metrics.height());
    const double w = box.width() - m.right - 10, h = box.height() - m.top - m.bottom - 2;  // 10: the leak's sign
    return std::max(0.01, std::min(w / geometry.bounds.width(), h / geometry.bounds.height()));
}

QSizeF cutSize(const CutGeometry& geometry, const CutFace& face, const QFontMetricsF& metrics)
{
    const Margins m = marginsOf(face, geometry, metrics.height());
    double width = geometry.bounds.width() * face.pixelsPerMm + m.right + 10;
    if (face.words) width = std::max(width, metrics.horizontalAdvance(wordsOf(geometry)));
    return {width, geometry.bounds.height() * face.pixelsPerMm + m.top + m.bottom + 2};
}

void paintCut(QPainter& painter, const QPointF& at, const CutGeometry& geometry, const PlotPalette& palette,
              const CutFace& face, const CutAtCursor& cursor)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    const double s = face.pixelsPerMm, lineHeight = QFontMetricsF(painter.font()).height();
    const Margins m = marginsOf(face, geometry, lineHeight);
    const QTransform map = mapOf(at, geometry, face, lineHeight);
    const CutPainting painting{painter, geometry, palette, face, cursor, map};

    painting.cavity(geometry.outline, geometry.known);
    if (!geometry.second.isEmpty()) painting.cavity(geometry.second, false);
    if (!geometry.hole.isNull()) {
        painter.setPen(Qt::NoPen);
        painter.setBrush(palette.air);
        painter.drawRect(map.mapRect(geometry.hole.adjusted(-0.5, 0, 0.5, 0)));
        painter.setPen(QPen(palette.steel, 1.2));
        painter.drawLine(map.map(geometry.hole.topLeft()), map.map(geometry.hole.topRight()));
        painter.drawLine(map.map(geometry.hole.bottomLeft()), map.map(geometry.hole.bottomRight()));
    }
    painting.baffle();
    for (const auto& t : geometry.tubes)
        painting.placed(t.place).tube(t);
    for (const auto& p : geometry.passives) {
        if (geometry.known) painting.placed(p.place).mouth(p.centre, p.d);
        painting.placed(p.place).passive(p);
    }
    for (const auto& d : geometry.drivers) {
        if (geometry.known) painting.placed(d.place).mouth(d.centre, d.d);
        painting.placed(d.place).driver(d);
    }
    if (geometry.leak) painting.leakSign();
    if (face.dimensions && !geometry.tubes.empty()) paintDimensions(painter, painting);

    double y = at.y() + m.top + geometry.bounds.height() * s + 2;
    if (face.scaleBar) {
        paintBar(painter, {at.x() + 8, y + 0.7 * lineHeight}, face, palette,
                 std::max(geometry.bounds.width() * s, 7.5 * lineHeight));
        y += 1.2 * lineHeight;
    }
    if (face.words) {
        painter.setPen(palette.dim);
        painter.drawText(QPointF(at.x() + 8, y + 0.8 * lineHeight), wordsOf(geometry));
    }
    painter.restore();
}

CutView::CutView(QWidget* parent) : QWidget(parent), glide_(new QVariantAnimation(this))
{
    face_.pixelsPerMm = 0;
    glide_->setDuration(120);
    glide_->setEasingCurve(QEasingCurve::OutCubic);
    glide_->setStartValue(0.0);
    glide_->setEndValue(1.0);
    connect(glide_, &QVariantAnimation::valueChanged, this, [this](const QVariant& value) {
        const double t = value.toDouble();
        const auto mix = [t](double a, double b) { return a + t * (b - a); };
        shown_.coneTravel = mix(from_.coneTravel, target_.coneTravel);
        shown_.portAirSpeed.resize(target_.portAirSpeed.size());
        for (std::size_t i = 0; i < shown_.portAirSpeed.size(); ++i)
            shown_.portAirSpeed[i] =
                mix(i < from_.portAirSpeed.size() ? from_.portAirSpeed[i] : 0, target_.portAirSpeed[i]);
        update();
    });
}

void CutView::setCut(const CutGeometry& cut)
{
    cut_ = cut;
    setAccessibleDescription(wordsOf(cut));
    update();
}

void CutView::clearCut()
{
    cut_.reset();
    setAccessibleDescription({});
    update();
}

void CutView::setCursor(const CutAtCursor& cursor)
{
    if (cursor == target_) return;
    target_ = cursor;
    const bool still = reduced_ || !isVisible() || style()->styleHint(QStyle::SH_Widget_Animation_Duration) == 0;
    if (still) {
        glide_->stop();
        shown_ = target_;
        update();
        return;
    }
    glide_->stop();
    from_ = shown_;
    glide_->start();
}

void CutView::setFace(const CutFace& face)
{
    face_ = face;
    updateGeometry();
    update();
}

void CutView::setPixelsPerMm(double pixelsPerMm)
{
    face_.pixelsPerMm = pixelsPerMm;
    update();
}

void CutView::setPlotPalette(const PlotPalette& palette)
{
    palette_ = palette;
    update();
}

void CutView::setReducedMotion(bool reduced) { reduced_ = reduced; }

QSize CutView::sizeHint() const { return {fontMetrics().height() * 9, fontMetrics().height() * 7}; }
QSize CutView::minimumSizeHint() const { return {fontMetrics().height() * 5, fontMetrics().height() * 4}; }

QFont CutView::smallFont() const
{
    QFont small = font();
    small.setPixelSize(std::max(int(std::lround(QFontInfo(font()).pixelSize() * 0.92)), 1));
    return small;
}

CutFace CutView::fittedFace() const
{
    CutFace face = face_;
    if (cut_ && face.pixelsPerMm <= 0)
        face.pixelsPerMm = fittingPixelsPerMm(*cut_, size(), face, QFontMetricsF(smallFont()));
    return face;
}

std::vector<CutView::InnerEnd> CutView::innerEnds() const
{
    std::vector<InnerEnd> ends;
    if (!cut_) return ends;
    const CutFace face = fittedFace();
    const QTransform map = mapOf({0, 0}, *cut_, face, QFontMetricsF(smallFont()).height());
    for (const CutGeometry::Tube& t : cut_->tubes) {
        if (t.line.empty()) continue;
        const auto& station = t.line.back();
        const QTransform own = QTransform().translate(t.place.at.x(), t.place.at.y()).rotate(t.place.turn) * map;
        const QPointF at = own.map(station.at);
        const QPointF beyond = own.map(station.at + QPointF(-std::sin(station.turn), std::cos(station.turn)));
        ends.push_back({.port = t.port,
                        .at = at,
                        .inwards = (beyond - at) / std::max(face.pixelsPerMm, 1e-9),
                        .half = station.half * face.pixelsPerMm,
                        .length = t.whole / 1e3});
    }
    return ends;
}

void CutView::paintEvent(QPaintEvent*)
{
    if (!cut_) return;
    QPainter painter(this);
    painter.setFont(smallFont());
    paintCut(painter, QPointF(0, 0), *cut_, palette_, fittedFace(), shown_);
}

}  // namespace portwright
