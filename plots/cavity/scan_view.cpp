// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/scan_view.h"

#include "plots/chart/chart_state.h"
#include "plots/drawing_parts.h"

#include <QFontMetricsF>
#include <QKeyEvent>
#include <QLocale>
#include <QMouseEvent>
#include <QPainter>
#include <QWheelEvent>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

constexpr std::size_t mostTriangles = 30'000;  // of a picture that turns under the hand

Mesh partOf(const Mesh& mesh, std::size_t from, std::size_t to)
{
    Mesh part;
    part.triangles.assign(mesh.triangles.begin() + std::ptrdiff_t(from), mesh.triangles.begin() + std::ptrdiff_t(to));
    std::vector<std::uint32_t> numbers(mesh.points.size(), std::uint32_t(-1));
    for (Triangle& t : part.triangles)
        for (std::uint32_t& corner : t) {
            std::uint32_t& number = numbers[corner];
            if (number == std::uint32_t(-1)) {
                number = std::uint32_t(part.points.size());
                part.points.push_back(mesh.points[corner]);
            }
            corner = number;
        }
    return part;
}

void append(DrawnMesh& out, const Mesh& part)
{
    const auto from = std::uint32_t(out.points.size());
    for (const Point3& p : part.points)
        out.points.push_back({float(p[0]), float(p[1]), float(p[2])});
    for (const Triangle& t : part.triangles)
        out.triangles.push_back({t[0] + from, t[1] + from, t[2] + from});
}

struct ScanLayout {
    double em = 1, line = 15;
    QRectF title, picture, foot;
    std::vector<QRectF> lines;  ///< of the list
};

ScanLayout layOut(const QRectF& box, const QFont& font, std::size_t openings, bool list)
{
    ScanLayout at;
    at.em = emOf(font);
    at.line = QFontMetricsF(font).height() * 1.25;
    const double margin = 8 * at.em;
    at.title = QRectF(box.left() + margin, box.top() + 4 * at.em, box.width() - 2 * margin, 1.1 * at.line);
    double foot = box.bottom() - 4 * at.em;
    const auto room = std::size_t(std::max(0.0, 0.4 * box.height() / at.line));  // the picture comes first
    const std::size_t shown = list ? std::min(openings, room) : 0;
    for (std::size_t i = shown; i-- > 0;) {
        foot -= at.line;
        at.lines.insert(at.lines.begin(), QRectF(box.left() + margin, foot, box.width() - 2 * margin, at.line));
    }
    at.foot = QRectF(at.title.left(), foot - 20 * at.em, at.title.width(), 18 * at.em);
    at.picture = QRectF(QPointF(box.left(), at.title.bottom()), QPointF(box.right(), at.foot.top()));
    return at;
}

MeshTones tonesOf(const PlotPalette& palette)
{
    // Steel in the light, ink across it; the dark theme has its light tones in steel and ink, so the base darkens them.
    const QColor dark =
        palette.dark ? blended(palette.steel, palette.base, 0.22) : blended(palette.steel, palette.base, 0.85);
    const QColor light =
        palette.dark ? blended(palette.steel, palette.base, 0.72) : blended(palette.steel, palette.base, 0.12);
    MeshTones tones;
    tones.dark = dark.rgb(), tones.light = light.rgb();
    tones.patchDark = blended(palette.accent, palette.base, 0.55).rgb();
    tones.patchLight = blended(palette.accent, palette.base, 0.3).rgb();
    tones.patchHatch = palette.accent.rgb();
    tones.outline = palette.ink.rgb();
    return tones;
}

struct Tag {
    QRectF box;
    QPointF at;
    bool hidden = false;
};

/// Tags at their openings' places, moved upwards until none covers another.
std::vector<Tag> tagsOf(const ScanPicture& scan, const MeshProjection& projection, const QRectF& picture, double em)
{
    std::vector<Tag> tags;
    const double side = 16 * em;
    for (const MarkedOpening& opening : scan.openings) {
        const auto p = projection({float(opening.centre[0]), float(opening.centre[1]), float(opening.centre[2])});
        Tag tag;
        tag.at = picture.topLeft() + QPointF(double(p[0]), double(p[1]));
        QPointF corner = tag.at + QPointF(10 * em, -10 * em - side);
        corner.setX(
            std::clamp(corner.x(), picture.left() + 2, std::max(picture.right() - side - 2, picture.left() + 2)));
        corner.setY(
            std::clamp(corner.y(), picture.top() + 2, std::max(picture.bottom() - side - 2, picture.top() + 2)));
        tag.box = QRectF(corner, QSizeF(side, side));
        for (int i = 0; i < 40; ++i) {
            const bool covered =
                std::any_of(tags.begin(), tags.end(), [&](const Tag& t) { return t.box.intersects(tag.box); });
            if (!covered) break;
            tag.box.translate(0, tag.box.top() - side > picture.top() ? -side - 2 : (i + 2) * side);
        }
        tags.push_back(tag);
    }
    return tags;
}

void paintTag(QPainter& painter, const QRectF& box, int number, const PlotPalette& palette, bool filled, bool hidden)
{
    QPen pen(palette.accent, 1.4);
    if (hidden) pen.setDashPattern({2.5, 2});
    painter.setPen(pen);
    painter.setBrush(filled ? palette.accent : palette.base);
    painter.drawRoundedRect(box, 3, 3);
    painter.setBrush(Qt::NoBrush);
    painter.setPen(filled ? palette.onAccent : palette.accent);
    painter.drawText(box, Qt::AlignCenter, QString::number(number));
}

struct ScanPainting {
    QPainter& painter;
    const ScanPicture& scan;
    const PlotPalette& palette;
    const ScanFace& face;
    const ScanLayout& at;
    QFont font;

    void title() const;
    void picture(const Orbit& orbit) const;
    void tags(const MeshProjection& projection, const std::vector<float>& nearness, int width, double ratio) const;
    void list() const;
};

void ScanPainting::title() const
{
    painter.setFont(sizedFont(font, 1, QFont::DemiBold));
    painter.setPen(palette.text);
    painter.drawText(at.title, Qt::AlignLeft | Qt::AlignVCenter, QObject::tr("Scan"));
    const double used = QFontMetricsF(painter.font()).horizontalAdvance(QObject::tr("Scan")) + 12 * at.em;
    const QString words = QObject::tr("closed openings are hatched");
    painter.setFont(sizedFont(font, 0.92));
    if (scan.openings.empty() || QFontMetricsF(painter.font()).horizontalAdvance(words) > at.title.width() - used)
        return;
    painter.setPen(palette.dim);
    painter.drawText(at.title, Qt::AlignRight | Qt::AlignVCenter, words);
}

void ScanPainting::picture(const Orbit& orbit) const
{
    const double ratio = painter.device()->devicePixelRatioF();
    const int width = std::max(int(std::lround(at.picture.width() * ratio)), 1);
    const int height = std::max(int(std::lround(at.picture.height() * ratio)), 1);
    QImage image(width, height, QImage::Format_RGB32);
    image.fill(palette.base);
    std::vector<float> nearness;
    MeshProjection projection = projectionOf(scan.mesh, orbit, width, height);
    rasterise(image, nearness, scan.mesh, projection, tonesOf(palette), int(std::lround(6 * at.em * ratio)));
    painter.drawImage(QRectF(at.picture.topLeft(), QSizeF(width / ratio, height / ratio)), image);
    const double scale = projection.pixelsPerMetre / ratio;
    for (auto& row : projection.rows)
        for (double& factor : row)
            factor /= ratio;
    tags(projection, nearness, width, ratio);
    painter.setFont(sizedFont(font, 0.92));
    paintScaleBar(painter, QPointF(at.foot.left(), at.foot.center().y()), scale, at.foot.width(), face.units, palette);
}

void ScanPainting::tags(const MeshProjection& projection, const std::vector<float>& nearness, int width,
                        double ratio) const
{
    const std::vector<Tag> all = tagsOf(scan, projection, at.picture, at.em);
    painter.setFont(sizedFont(font, 0.92, QFont::DemiBold));
    for (std::size_t i = 0; i < all.size(); ++i) {
        const Tag& tag = all[i];
        if (!at.picture.contains(tag.at)) continue;
        const MarkedOpening& o = scan.openings[i];
        const double near = double(projection({float(o.centre[0]), float(o.centre[1]), float(o.centre[2])})[2]);
        const auto x = std::size_t((tag.at.x() - at.picture.left()) * ratio);
        const auto y = std::size_t((tag.at.y() - at.picture.top()) * ratio);
        const std::size_t k = std::min(y * std::size_t(width) + x, nearness.size() - 1);
        const bool hidden = double(nearness[k]) / ratio > near + 6 * at.em;  // a patch may bulge a little
        QPen pen(palette.accent, 1.4);
        if (hidden) pen.setDashPattern({2.5, 2});
        painter.setPen(pen);
        painter.drawLine(tag.at, tag.box.center());
        painter.setBrush(hidden ? palette.base : palette.accent);
        painter.drawEllipse(tag.at, 2.6 * at.em, 2.6 * at.em);
        paintTag(painter, tag.box, int(i) + 1, palette, int(i) == face.chosen, hidden);
    }
}

void ScanPainting::list() const
{
    const QStringList lines = openingLines(scan, face.units);
    for (std::size_t i = 0; i < at.lines.size(); ++i) {
        const QRectF& line = at.lines[i];
        const double side = std::min(16 * at.em, line.height() - 1);
        painter.setFont(sizedFont(font, 0.92, QFont::DemiBold));
        paintTag(painter, QRectF(line.left(), line.center().y() - side / 2, side, side), int(i) + 1, palette,
                 int(i) == face.chosen, false);
        painter.setFont(font);
        painter.setPen(palette.text);
        const QRectF words = line.adjusted(side + 8 * at.em, 0, 0, 0);
        const bool more = i + 1 == at.lines.size() && at.lines.size() < scan.openings.size();
        QString text = lines[qsizetype(i)].section(QStringLiteral(": "), 1);
        if (more) text = QObject::tr("%1; and %2 more").arg(text).arg(scan.openings.size() - at.lines.size());
        painter.drawText(words, Qt::AlignLeft | Qt::AlignVCenter,
                         QFontMetricsF(font).elidedText(text, Qt::ElideRight, words.width()));
    }
}

QString nothingToDraw() { return QObject::tr("A scan that was read turns here."); }

}  // namespace

ScanPicture scanPictureOf(const Scan& scan)
{
    ScanPicture out;
    const std::size_t n = scan.mesh.triangles.size(), patchFrom = std::min(scan.patchFrom, n);
    Mesh wall = partOf(scan.mesh, 0, patchFrom), patch = partOf(scan.mesh, patchFrom, n);
    if (wall.triangles.size() > mostTriangles) wall = reduced(wall, mostTriangles);
    if (patch.triangles.size() > mostTriangles / 4) patch = reduced(patch, mostTriangles / 4);
    append(out.mesh, wall);
    out.mesh.patchFrom = out.mesh.triangles.size();
    append(out.mesh, patch);
    for (const ScanOpening& opening : scan.openings)
        out.openings.push_back({opening.centre, opening.area, QString::fromStdString(opening.place)});
    return out;
}

QStringList openingLines(const ScanPicture& scan, UnitSystem units)
{
    QStringList lines;
    for (std::size_t i = 0; i < scan.openings.size(); ++i) {
        const MarkedOpening& o = scan.openings[i];
        const QString area = QString::fromStdString(formatQuantity(o.area, Dimension::area, units));
        lines << QStringLiteral("%1: ").arg(i + 1) +
                     (o.place.isEmpty() ? area : QStringLiteral("%1, %2").arg(area, o.place));
    }
    return lines;
}

void paintScan(QPainter& painter, const QRectF& box, const ScanPicture& scan, const Orbit& orbit,
               const PlotPalette& palette, const ScanFace& face)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(box, palette.base);
    const QFont font = sizedFont(painter.font(), 1);
    if (scan.mesh.triangles.empty()) {
        paintSentence(painter, box, nothingToDraw(), palette);
    } else {
        const ScanLayout at = layOut(box, font, scan.openings.size(), face.list);
        const ScanPainting p{painter, scan, palette, face, at, font};
        p.picture(orbit);
        p.title();
        p.list();
    }
    if (face.focused) paintFocus(painter, box, palette);
    painter.restore();
}

ScanView::ScanView(QWidget* parent) : CavityDrawing(tr("Turning scan"), QSize(420, 340), QSize(220, 200), parent)
{
    shownAnew();
}

void ScanView::setScan(ScanPicture scan)
{
    scan_ = std::move(scan);
    face_.chosen = -1;
    orbit_ = {};
    shownAnew();
}

void ScanView::clearScan() { setScan({}); }

void ScanView::setOrbit(const Orbit& orbit)
{
    orbit_ = portwright::clamped(orbit);
    update();
}

void ScanView::setChosen(int opening)
{
    face_.chosen = opening >= 0 && opening < int(scan_.openings.size()) ? opening : -1;
    shownAnew();
}

void ScanView::turn(double by, double tilt)
{
    Orbit orbit = orbit_;
    orbit.turn += by;
    orbit.tilt += tilt;
    setOrbit(orbit);
}

void ScanView::zoom(double factor)
{
    Orbit orbit = orbit_;
    orbit.zoom *= factor;
    setOrbit(orbit);
}

void ScanView::pick(int opening)
{
    if (opening < 0 || opening >= int(scan_.openings.size()) || opening == face_.chosen) return;
    setChosen(opening);
    emit openingPicked(opening);
}

QString ScanView::description() const
{
    QStringList lines;
    if (scan_.mesh.triangles.empty())
        lines << nothingToDraw();
    else if (scan_.openings.empty())
        lines << tr("No opening was closed.");
    else
        lines << tr("Closed openings:") << openingLines(scan_, units());
    if (face_.chosen >= 0) lines << tr("Chosen: %1").arg(face_.chosen + 1);
    return lines.join(u'\n');
}

void ScanView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    face_.focused = hasFocus();
    face_.units = units();
    paintScan(painter, QRectF(rect()), scan_, orbit_, plotPalette(), face_);
}

void ScanView::mousePressEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton) return CavityDrawing::mousePressEvent(event);
    pressed_ = last_ = event->position();
    dragged_ = false;
}

void ScanView::mouseMoveEvent(QMouseEvent* event)
{
    if (!(event->buttons() & Qt::LeftButton)) return;
    const QPointF by = event->position() - last_;
    dragged_ = dragged_ || (event->position() - pressed_).manhattanLength() > 4;
    if (!dragged_) return;
    last_ = event->position();
    const double turnAcross = pi / std::max(width(), 1);  // half a turn over the whole width
    turn(-by.x() * turnAcross, by.y() * turnAcross);
}

void ScanView::mouseReleaseEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton || dragged_ || scan_.mesh.triangles.empty()) return;
    const ScanLayout at = layOut(QRectF(rect()), sizedFont(font(), 1), scan_.openings.size(), face_.list);
    const MeshProjection projection =
        projectionOf(scan_.mesh, orbit_, int(std::lround(at.picture.width())), int(std::lround(at.picture.height())));
    const std::vector<Tag> tags = tagsOf(scan_, projection, at.picture, at.em);
    for (std::size_t i = 0; i < tags.size(); ++i)
        if (tags[i].box.adjusted(-3, -3, 3, 3).contains(event->position())) return pick(int(i));
    for (std::size_t i = 0; i < at.lines.size(); ++i)
        if (at.lines[i].contains(event->position())) return pick(int(i));
}

void ScanView::mouseDoubleClickEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton) return;
    dragged_ = true;  // its release picks nothing
    Orbit orbit = orbit_;
    orbit.zoom = 1;
    setOrbit(orbit);
}

void ScanView::wheelEvent(QWheelEvent* event)
{
    if (scan_.mesh.triangles.empty() || event->angleDelta().y() == 0) return event->ignore();
    zoom(std::pow(1.2, event->angleDelta().y() / 120.0));
    event->accept();
}

void ScanView::keyPressEvent(QKeyEvent* event)
{
    const double step = (event->modifiers() & Qt::ShiftModifier ? 1 : 15) * pi / 180;
    const int key = event->key();
    if (key == Qt::Key_Left)
        turn(step, 0);
    else if (key == Qt::Key_Right)
        turn(-step, 0);
    else if (key == Qt::Key_Up)
        turn(0, -step);
    else if (key == Qt::Key_Down)
        turn(0, step);
    else if (key == Qt::Key_Plus || key == Qt::Key_Equal)
        zoom(1.2);
    else if (key == Qt::Key_Minus)
        zoom(1 / 1.2);
    else if (key == Qt::Key_Home)
        setOrbit({});
    else if (key >= Qt::Key_1 && key <= Qt::Key_9)
        pick(key - Qt::Key_1);
    else
        CavityDrawing::keyPressEvent(event);
}

}  // namespace portwright
