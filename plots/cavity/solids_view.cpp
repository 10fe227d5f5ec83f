// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/solids_view.h"

#include "core/cavity/solids.h"
#include "plots/drawing_parts.h"

#include <QFontMetricsF>
#include <QKeyEvent>
#include <QMouseEvent>
#include <QPainter>

#include <algorithm>
#include <cmath>

namespace portwright {
namespace {

/// Where paper metres lie in the box.
struct SolidsLayout {
    double em = 1;
    QRectF title, picture, foot;
    double scale = 1;  ///< px per m
    QPointF zero;

    QPointF px(const QPointF& paper) const { return zero + paper * scale; }
    QPolygonF px(const QPolygonF& paper) const
    {
        QPolygonF out;
        for (const QPointF& p : paper)
            out.append(px(p));
        return out;
    }
    QPointF paper(const QPointF& px) const { return (px - zero) / scale; }
};

SolidsLayout layOut(const SolidsDrawing& drawing, const QRectF& box, const QFont& font)
{
    SolidsLayout at;
    at.em = emOf(font);
    const double line = QFontMetricsF(font).height(), margin = 8 * at.em;
    at.title = QRectF(box.left() + margin, box.top() + 4 * at.em, box.width() - 2 * margin, 1.4 * line);
    at.foot = QRectF(box.left() + margin, box.bottom() - 40 * at.em, box.width() - 2 * margin, 36 * at.em);
    at.picture = QRectF(QPointF(at.title.left(), at.title.bottom() + 6 * at.em), at.foot.topRight());
    const QRectF& bounds = drawing.bounds;
    at.scale = std::min(at.picture.width() / std::max(bounds.width(), 1e-9),
                        at.picture.height() / std::max(bounds.height(), 1e-9));
    at.zero = at.picture.center() - bounds.center() * at.scale;
    return at;
}

struct SolidsPainting {
    QPainter& painter;
    const SolidsDrawing& drawing;
    const PlotPalette& palette;
    const SolidsFace& face;
    const SolidsLayout& at;

    void pen(const QColor& colour, double width, bool dashed) const
    {
        QPen pen(colour, width, Qt::SolidLine, dashed ? Qt::FlatCap : Qt::RoundCap, Qt::RoundJoin);
        if (dashed) pen.setDashPattern({4, 2.5});
        painter.setPen(pen);
    }
    void lines(const std::vector<QPolygonF>& all) const
    {
        for (const QPolygonF& line : all)
            painter.drawPolyline(at.px(line));
    }
    void hatch(const DrawnSolid& solid, const QColor& colour) const
    {
        std::vector<QPolygonF> patches;
        patches.reserve(solid.patches.size());
        for (const QPolygonF& patch : solid.patches)
            patches.push_back(at.px(patch));
        painter.setPen(QPen(colour, 0.8));
        painter.drawLines(hatchInside(patches, 7 * at.em));
    }
    void body(const DrawnSolid& solid) const;
    void axes() const;
};

void SolidsPainting::body(const DrawnSolid& solid) const
{
    const bool chosen = int(solid.step) == face.chosen;
    if (solid.subtract) {
        hatch(solid, chosen ? palette.accent : palette.hatch);
        pen(chosen ? palette.accent : palette.steel, chosen ? 2 : 1.2, true);
        lines(solid.hidden);
        lines(solid.seen);
        return;
    }
    pen(chosen ? palette.accent : palette.hatch, 1, true);
    lines(solid.hidden);
    pen(chosen ? palette.accent : palette.ink, chosen ? 2.2 : 1.6, false);
    lines(solid.seen);
}

/// The three directions of the list's places, at the bottom right.
void SolidsPainting::axes() const
{
    const double length = 18 * at.em;
    const QPointF foot(at.foot.right() - 26 * at.em, at.foot.center().y() + 2 * at.em);
    const QFontMetricsF metrics(painter.font());
    const std::array<std::pair<Point3, QString>, 3> all{
        {{{1, 0, 0}, QStringLiteral("x")}, {{0, 1, 0}, QStringLiteral("y")}, {{0, 0, 1}, QStringLiteral("z")}}};
    for (const auto& [direction, name] : all) {
        const QPointF to = onPaper(drawing.view, direction) * length;
        painter.setPen(QPen(palette.dim, 1));
        painter.drawLine(foot, foot + to);
        const QPointF middle = foot + to * 1.45;
        painter.drawText(QRectF(middle - QPointF(10, metrics.height() / 2), QSizeF(20, metrics.height())),
                         Qt::AlignCenter, name);
    }
}

QString stepWords(const SolidsMeasurement& solids, std::size_t step)
{
    const SolidStep& s = solids.steps[step];
    const QString name = QString::fromStdString(s.name.empty() ? nameOf(s.solid) : s.name);
    return s.subtract ? QObject::tr("%1: %2, taken off").arg(step + 1).arg(name)
                      : QObject::tr("%1: %2, added").arg(step + 1).arg(name);
}

QString nothingToDraw() { return QObject::tr("The first solid of the list shows here."); }

}  // namespace

void paintSolids(QPainter& painter, const QRectF& box, const SolidsMeasurement& solids, const SolidsDrawing& drawing,
                 const PlotPalette& palette, const SolidsFace& face)
{
    painter.save();
    painter.setRenderHint(QPainter::Antialiasing);
    painter.fillRect(box, palette.base);
    const QFont font = sizedFont(painter.font(), 1), bold = sizedFont(font, 1, QFont::DemiBold);
    if (drawing.bounds.isNull()) {
        paintSentence(painter, box, nothingToDraw(), palette);
    } else {
        const SolidsLayout at = layOut(drawing, box, font);
        painter.setFont(bold);
        painter.setPen(palette.text);
        const QString words = QObject::tr("Solids");
        painter.drawText(at.title, Qt::AlignLeft | Qt::AlignVCenter, words);
        if (face.chosen >= 0 && face.chosen < int(solids.steps.size())) {
            const double used = QFontMetricsF(bold).horizontalAdvance(words) + 12 * at.em;
            painter.setFont(font);
            painter.setPen(palette.accent);
            painter.drawText(at.title, Qt::AlignRight | Qt::AlignVCenter,
                             painter.fontMetrics().elidedText(stepWords(solids, std::size_t(face.chosen)),
                                                              Qt::ElideMiddle, int(at.title.width() - used)));
        }
        painter.setFont(sizedFont(font, 0.92));
        const SolidsPainting p{painter, drawing, palette, face, at};
        for (const DrawnSolid& solid : drawing.solids)
            if (int(solid.step) != face.chosen) p.body(solid);
        for (const DrawnSolid& solid : drawing.solids)  // on top
            if (int(solid.step) == face.chosen) p.body(solid);
        p.axes();
        paintScaleBar(painter, QPointF(at.foot.left(), at.foot.center().y() + 6 * at.em), at.scale,
                      at.foot.width() - 64 * at.em, face.units, palette);
    }
    if (face.focused) paintFocus(painter, box, palette);
    painter.restore();
}

SolidsView::SolidsView(QWidget* parent)
    : CavityDrawing(tr("Drawing of the solids"), QSize(340, 280), QSize(200, 170), parent)
{
    shownAnew();
}

void SolidsView::setSolids(const SolidsMeasurement& solids)
{
    solids_ = solids;
    drawing_ = drawingOf(solids_);
    if (face_.chosen >= int(solids_.steps.size())) face_.chosen = -1;
    shownAnew();
}

void SolidsView::setChosen(int step)
{
    face_.chosen = step >= 0 && step < int(solids_.steps.size()) ? step : -1;
    shownAnew();
}

void SolidsView::pick(int step)
{
    const int n = int(solids_.steps.size());
    if (n == 0) return;
    step = std::clamp(step, 0, n - 1);
    if (step == face_.chosen) return;
    setChosen(step);
    emit stepPicked(step);
}

/// The list as text, the chosen one first, for those who hear it.
QString SolidsView::description() const
{
    QStringList lines;
    if (solids_.steps.empty()) lines << nothingToDraw();
    if (face_.chosen >= 0) lines << tr("Chosen: %1").arg(stepWords(solids_, std::size_t(face_.chosen)));
    for (std::size_t i = 0; i < solids_.steps.size(); ++i)
        lines << stepWords(solids_, i);
    return lines.join(u'\n');
}

void SolidsView::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    face_.focused = hasFocus();
    face_.units = units();
    paintSolids(painter, QRectF(rect()), solids_, drawing_, plotPalette(), face_);
}

void SolidsView::mousePressEvent(QMouseEvent* event)
{
    if (event->button() != Qt::LeftButton || drawing_.bounds.isNull()) return CavityDrawing::mousePressEvent(event);
    const SolidsLayout at = layOut(drawing_, QRectF(rect()), sizedFont(font(), 1));
    const std::vector<int> under = stepsAt(drawing_, at.paper(event->position()));
    if (under.empty()) return;
    const auto now = std::find(under.begin(), under.end(), face_.chosen);
    const bool wrap = now == under.end() || now + 1 == under.end();
    pick(wrap ? under.front() : *(now + 1));
}

void SolidsView::keyPressEvent(QKeyEvent* event)
{
    if (const auto step = itemByKey(*event, face_.chosen, int(solids_.steps.size())))
        pick(*step);
    else
        CavityDrawing::keyPressEvent(event);
}

}  // namespace portwright
