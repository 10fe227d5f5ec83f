// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/modes_view.h"

#include "plots/chart/chart_state.h"
#include "plots/drawing_parts.h"

#include <QFontMetricsF>
#include <QKeyEvent>
#include <QPainter>
#include <QWheelEvent>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

struct ModesLayout {
    double em = 1, scale = 1;
    QRectF title, keys, picture, foot;
    QPointF zero;  ///< px of 0, 0 on the slice

    QPointF px(const QPointF& m) const { return {zero.x() + m.x() * scale, zero.y() - m.y() * scale}; }
    QRectF px(const QRectF& m) const { return QRectF(px(m.topLeft()), px(m.bottomRight())).normalized(); }
    QLineF px(const QLineF& m) const { return {px(m.p1()), px(m.p2())}; }
};

ModesLayout layOut(const ModeSlice& slice, const QRectF& box, const QFont& font)
{
    ModesLayout at;
    at.em = emOf(font);
    const double line = QFontMetricsF(font).height(), margin = 8 * at.em;
    at.title = QRectF(box.left() + margin, box.top() + 4 * at.em, box.width() - 2 * margin, 1.4 * line);
    at.keys = QRectF(at.title.bottomLeft(), QSizeF(at.title.width(), 1.3 * line));
    at.foot = QRectF(at.title.left(), box.bottom() - 24 * at.em, at.title.width(), 20 * at.em);
    at.picture = QRectF(QPointF(at.title.left(), at.keys.bottom() + 10 * at.em),
                        QPointF(at.title.right(), at.foot.top() - 10 * at.em));
    at.scale =
        std::max(std::min(at.picture.width() / slice.box.width(), at.picture.height() / slice.box.height()), 1e-9);
    const QPointF middle = slice.box.center();
    at.zero = at.picture.center() + QPointF(-middle.x() * at.scale, middle.y() * at.scale);
    return at;
}

/// Tones of both signs: accent for positive pressure, the hatch's brown for negative, by size.
QColor toneOf(float pressure, const PlotPalette& palette)
{
    const double share = 0.06 + 0.6 * std::min(std::abs(double(pressure)), 1.0);
    return blended(pressure >= 0 ? palette.accent : palette.hatch, palette.base, share);
}

QString axisName(SolidAxis axis)
{
    return axis == SolidAxis::x   ? QStringLiteral("x")
           : axis == SolidAxis::y ? QStringLiteral("y")
                                  : QStringLiteral("z");
}

int layerOf(const ModeField& field, const ModesFace& face)
{
    const int layers = layersOf(field, face.across);
    return std::clamp(int(std::lround(face.position * (layers - 1))), 0, layers - 1);
}

double placeOf(const ModeField& field, const ModesFace& face)  // m, middle of the layer
{
    return field.origin[std::size_t(face.across)] + (layerOf(field, face) + 0.5) * field.cell;
}

QString titleWords(const ModeField& field, const ModesFace& face)
{
    return QObject::tr("Mode %1, %2")
        .arg(face.number)
        .arg(QString::fromStdString(formatQuantity(field.frequency, Dimension::frequency, face.units)));
}
QString sliceWords(const ModeField& field, const ModesFace& face)
{
    return QObject::tr("slice at %1\u00a0=\u00a0%2")
        .arg(axisName(face.across), shownLength(placeOf(field, face), face.units));
}

struct ModesPainting {
    QPainter& painter;
    const ModeField& field;
    const ModeSlice& slice;
    const PlotPalette& palette;
    const ModesFace& face;
    const ModesLayout& at;
    QFont font;

    void title() const;
    void keys() const;
    void key(double& x, const QString& words, const std::function<void(const QRectF&)>& sample) const;
    void pressure() const;
    void place(const MarkedPlace& place) const;
    void axes() const;
};

void ModesPainting::title() const
{
    const QFont bold = sizedFont(font, 1, QFont::DemiBold);
    painter.setFont(bold);
    painter.setPen(palette.text);
    const QString words = titleWords(field, face), where = sliceWords(field, face);
    painter.drawText(at.title, Qt::AlignLeft | Qt::AlignVCenter, words);
    if (QFontMetricsF(font).horizontalAdvance(where) >
        at.title.width() - QFontMetricsF(bold).horizontalAdvance(words) - 12)
        return;
    painter.setFont(font);
    painter.setPen(palette.dim);
    painter.drawText(at.title, Qt::AlignRight | Qt::AlignVCenter, where);
}

void ModesPainting::key(double& x, const QString& words, const std::function<void(const QRectF&)>& sample) const
{
    const double side = 12 * at.em, wide = side + 6 * at.em + QFontMetricsF(painter.font()).horizontalAdvance(words);
    if (x + wide > at.keys.right()) return;
    sample(QRectF(x, at.keys.center().y() - side / 2, side, side));
    painter.setPen(palette.dim);
    painter.drawText(QRectF(x + side + 6 * at.em, at.keys.top(), wide, at.keys.height()),
                     Qt::AlignLeft | Qt::AlignVCenter, words);
    x += wide + 14 * at.em;
}

void ModesPainting::keys() const
{
    painter.setFont(sizedFont(font, 0.92));
    double x = at.keys.left();
    key(x, QStringLiteral("+"), [this](const QRectF& box) { painter.fillRect(box, toneOf(0.7F, palette)); });
    key(x, QStringLiteral("\u2212"), [this](const QRectF& box) {
        painter.fillRect(box, toneOf(-0.7F, palette));
        painter.setPen(QPen(palette.ink, 0.8));
        painter.drawLines(hatchInside({QPolygonF(box)}, 5 * at.em));
    });
    key(x, QObject::tr("node: no pressure"), [this](const QRectF& box) {
        painter.setPen(QPen(palette.ink, 2));
        painter.drawLine(QPointF(box.left(), box.center().y()), QPointF(box.right(), box.center().y()));
    });
}

void ModesPainting::pressure() const
{
    std::vector<QPolygonF> negative;
    const double cell = field.cell;
    painter.setRenderHint(QPainter::Antialiasing, false);  // cells meet without seams
    painter.setPen(Qt::NoPen);
    for (int row = 0; row < slice.rows; ++row) {
        const double y = slice.box.top() + row * cell;
        int from = 0;  // of a run of negative cells
        for (int column = 0; column <= slice.columns; ++column) {
            const auto i = std::size_t(column + slice.columns * row);
            const bool in = column < slice.columns && slice.inside[i];
            if (in) {
                painter.setBrush(toneOf(slice.pressure[i], palette));
                painter.drawRect(at.px(QRectF(slice.box.left() + column * cell, y, cell, cell)).toAlignedRect());
            }
            if (in && slice.pressure[i] < 0) continue;
            if (column > from)
                negative.push_back(at.px(QRectF(slice.box.left() + from * cell, y, (column - from) * cell, cell)));
            from = column + 1;
        }
    }
    painter.setRenderHint(QPainter::Antialiasing, true);
    painter.setBrush(Qt::NoBrush);
    QColor line = palette.ink;
    line.setAlphaF(0.6F);
    painter.setPen(QPen(line, 0.8));
    painter.drawLines(hatchInside(negative, 6 * at.em));
    const auto draw = [this](const QVector<QLineF>& lines, double width) {
        painter.setPen(QPen(palette.ink, width, Qt::SolidLine, Qt::RoundCap));
        for (const QLineF& l : lines)
            painter.drawLine(at.px(l));
    };
    draw(wallLine(slice), 1.4);
    draw(nodeLine(slice), 2);
}

/// A driver is a cone's triangle, a port a square; open and dashed where the place lies beside the slice.
void ModesPainting::place(const MarkedPlace& place) const
{
    const double beside = std::abs(place.at[std::size_t(face.across)] - placeOf(field, face));
    const bool here = beside <= 0.75 * field.cell;
    const QPointF p = at.px(onSlice(face.across, place.at));
    QPen pen(palette.accent, 1.6, Qt::SolidLine, Qt::FlatCap, Qt::MiterJoin);
    if (!here) pen.setDashPattern({2, 1.5});
    painter.setPen(pen);
    painter.setBrush(here ? palette.accent : palette.base);
    const double r = 6 * at.em;
    if (place.driver)
        painter.drawPolygon(QPolygonF{p + QPointF(-r, -r), p + QPointF(r, -r), p + QPointF(0, r)});
    else
        painter.drawRect(QRectF(p - QPointF(r, r) * 0.8, QSizeF(1.6 * r, 1.6 * r)));
    painter.setBrush(Qt::NoBrush);
    const QFontMetricsF metrics(painter.font());
    const QString words = here ? place.name : QObject::tr("%1, beside the slice").arg(place.name);
    const QSizeF size(metrics.horizontalAdvance(words) + 6 * at.em, metrics.height());
    QPointF corner = p + QPointF(r + 3 * at.em, -size.height() / 2);
    if (corner.x() + size.width() > at.title.right()) corner.setX(p.x() - r - 3 * at.em - size.width());
    corner.setX(std::max(corner.x(), at.title.left()));
    const QRectF patch(corner, size);
    painter.fillRect(patch, palette.base);
    painter.setPen(palette.text);
    painter.drawText(patch, Qt::AlignCenter, words);
}

void ModesPainting::axes() const
{
    const QString right = axisName(face.across == SolidAxis::x ? SolidAxis::y : SolidAxis::x);
    const QString up = axisName(face.across == SolidAxis::z ? SolidAxis::y : SolidAxis::z);
    const QFontMetricsF metrics(painter.font());
    const QPointF foot(at.foot.right() - 30 * at.em, at.foot.bottom() - 3 * at.em);
    painter.setPen(QPen(palette.dim, 1));
    painter.drawLine(foot, foot + QPointF(14 * at.em, 0));
    painter.drawLine(foot, foot - QPointF(0, 14 * at.em));
    painter.drawText(foot + QPointF(17 * at.em, metrics.capHeight() / 2), right);
    painter.drawText(foot + QPointF(-metrics.horizontalAdvance(up) - 4 * at.em, -10 * at.em), up);
}

QString nothingToDraw() { return QObject::tr("A mode shows here once it is computed."); }

}  // namespace

void paintMode(QPainter& painter, const QRectF& box, const ModeField& field, const std::vector<MarkedPlace>& places,
               const PlotPalette& palette, const ModesFace& face)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(box, palette.base);
    const QFont font = sizedFont(painter.font(), 1);
    if (!consistent(field)) {
        paintSentence(painter, box, nothingToDraw(), palette);
    } else {
        const ModeSlice slice = sliceOf(field, face.across, layerOf(field, face));
        const ModesLayout at = layOut(slice, box, font);
        const ModesPainting p{painter, field, slice, palette, face, at, font};
        p.title();
        p.keys();
        p.pressure();
        painter.setFont(sizedFont(font, 0.92));
        for (const MarkedPlace& place : places)
            p.place(place);
        p.axes();
        paintScaleBar(painter, QPointF(at.foot.left(), at.foot.center().y()), at.scale, at.foot.width() - 60 * at.em,
                      face.units, palette);
    }
    if (face.focused) paintFocus(painter, box, palette);
    painter.restore();
}

ModesView::ModesView(QWidget* parent)
    : CavityDrawing(tr("Pressure of a mode"), QSize(380, 300), QSize(220, 180), parent)
{
    shownAnew();
}

void ModesView::setMode(ModeField field, int number)
{
    field_ = consistent(field) ? std::move(field) : ModeField{};
    face_.number = number;
    shownAnew();
}

void ModesView::clearMode() { setMode({}, 1); }

void ModesView::setPlaces(std::vector<MarkedPlace> places)
{
    places_ = std::move(places);
    shownAnew();
}

void ModesView::setAcross(SolidAxis axis)
{
    if (face_.across == axis) return;
    face_.across = axis;
    shownAnew();
    emit acrossChanged(axis);
}

void ModesView::setPosition(double position)
{
    if (!(position >= 0)) position = 0;
    position = std::min(position, 1.0);
    if (face_.position == position) return;
    face_.position = position;
    shownAnew();
    emit positionChanged(position);
}

/// The pressure at each marked place says what the picture is looked at for.
QString ModesView::description() const
{
    if (field_.inside.empty()) return nothingToDraw();
    QStringList lines{titleWords(field_, face()), sliceWords(field_, face())};
    for (const MarkedPlace& place : places_)
        if (const auto share = pressureAt(field_, place.at))
            lines << tr("%1: %2\u00a0% of the greatest pressure")
                         .arg(place.name)
                         .arg(QString::number(std::lround(100 * *share)).replace(u'-', QChar(0x2212)));
    return lines.join(u'\n');
}

ModesFace ModesView::face() const
{
    ModesFace now = face_;
    now.units = units();
    now.focused = hasFocus();
    return now;
}

void ModesView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    paintMode(painter, QRectF(rect()), field_, places_, plotPalette(), face());
}

void ModesView::keyPressEvent(QKeyEvent* event)
{
    const int layers = field_.inside.empty() ? 0 : layersOf(field_, face_.across);
    const auto go = [&](int layer) {
        if (layers > 1) setPosition(double(std::clamp(layer, 0, layers - 1)) / (layers - 1));
    };
    if (layers == 0) return CavityDrawing::keyPressEvent(event);
    const int now = layerOf(field_, face_), axis = int(face_.across);
    if (event->key() == Qt::Key_Right)
        go(now + 1);
    else if (event->key() == Qt::Key_Left)
        go(now - 1);
    else if (event->key() == Qt::Key_Home)
        go(0);
    else if (event->key() == Qt::Key_End)
        go(layers - 1);
    else if (event->key() == Qt::Key_Down)
        setAcross(SolidAxis((axis + 1) % 3));
    else if (event->key() == Qt::Key_Up)
        setAcross(SolidAxis((axis + 2) % 3));
    else
        CavityDrawing::keyPressEvent(event);
}

void ModesView::wheelEvent(QWheelEvent* event)
{
    if (!hasFocus() || field_.inside.empty()) return event->ignore();  // the page scrolls instead
    const int layers = layersOf(field_, face_.across), by = event->angleDelta().y() > 0 ? 1 : -1;
    if (layers > 1) setPosition(double(std::clamp(layerOf(field_, face_) + by, 0, layers - 1)) / (layers - 1));
    event->accept();
}

}  // namespace portwright
