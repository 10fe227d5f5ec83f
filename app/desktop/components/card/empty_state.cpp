// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/card/empty_state.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/workshop_style.h"

#include <QEvent>
#include <QPainter>
#include <QPainterPath>
#include <QPushButton>

#include <algorithm>

namespace portwright {

namespace {

struct Question {
    const char* icon;
    QString name, answer;
};

std::array<Question, 3> questions()
{
    return {
        {{"station-driver", EmptyState::tr("1  Driver"), EmptyState::tr("off its datasheet; six values are enough")},
         {"station-cavity", EmptyState::tr("2  Cavity"), EmptyState::tr("its net volume, in litres")},
         {"station-opening", EmptyState::tr("3  Opening"), EmptyState::tr("closed, a port, or the leak it has")}}};
}

/// Everything is placed from the middle of the widget; heights at a 12 px font.
constexpr double wholeWidth = 560, wholeHeight = 400;
constexpr double boardAt = 57, bowlHeight = 330, rowsAt = 80, rowPitch = 54, buttonsAt = 264, dropAt = 300;
constexpr double contentLeft = 95;

QPointF origin(const QWidget& widget)
{
    return {(widget.width() - pxf(wholeWidth)) / 2, std::max(0.0, (widget.height() - pxf(wholeHeight)) / 2)};
}

/// A round cavity hanging from the board, as the cut draws one.
QPainterPath bowl(const QPointF& at)
{
    const double w = pxf(wholeWidth), h = pxf(bowlHeight);
    QPainterPath path(at);
    path.cubicTo(at + QPointF(0, h * 0.52), at + QPointF(w * 0.12, h), at + QPointF(w * 0.31, h));
    path.lineTo(at + QPointF(w * 0.69, h));
    path.cubicTo(at + QPointF(w * 0.88, h), at + QPointF(w, h * 0.52), at + QPointF(w, 0));
    return path;
}

}  // namespace

EmptyState::EmptyState(QWidget* parent)
    : QWidget(parent), main_(new QPushButton(tr("Enter the driver"), this)),
      sample_(new QPushButton(tr("Open the sample job"), this))
{
    setAccessibleName(tr("What goes into the cavity?"));
    setButtonFace(*main_, ButtonFace::main);
    setButtonFace(*sample_, ButtonFace::plain);
    connect(main_, &QPushButton::clicked, this, &EmptyState::mainActionWanted);
    connect(sample_, &QPushButton::clicked, this, &EmptyState::sampleWanted);
    dress();
    setAnswered(false, false, false);
}

void EmptyState::setAnswered(bool driver, bool cavity, bool opening)
{
    answered_ = {driver, cavity, opening};
    QStringList lines;
    const std::array<Question, 3> all = questions();
    for (std::size_t i = 0; i < all.size(); ++i)
        lines += QStringLiteral("%1: %2").arg(all[i].name, answered_[i] ? tr("answered") : all[i].answer);
    setAccessibleDescription(lines.join(QLatin1String("; ")));
    update();
}

QSize EmptyState::sizeHint() const { return {px(640), px(440)}; }
QSize EmptyState::minimumSizeHint() const { return {px(wholeWidth) + px(20), px(wholeHeight)}; }

void EmptyState::dress()
{
    const PlotPalette palette = currentPlotPalette();
    main_->setIcon(inkedIcon(QStringLiteral("station-driver"), palette, Ink::onAccent));
    sample_->setIcon(inkedIcon(QStringLiteral("open"), palette));
}

void EmptyState::place()
{
    const QPointF at = origin(*this) + QPointF(pxf(contentLeft), pxf(buttonsAt));
    main_->resize(main_->sizeHint());
    sample_->resize(sample_->sizeHint());
    main_->move(at.toPoint());
    sample_->move(at.toPoint() + QPoint(main_->width() + px(10), 0));
}

void EmptyState::paintEvent(QPaintEvent*)
{
    const PlotPalette palette = currentPlotPalette();
    const QPointF at = origin(*this);
    QPainter painter(this);
    painter.fillRect(rect(), palette.base);
    painter.setRenderHint(QPainter::Antialiasing);

    const auto words = [&](double y, Letters letters, const QColor& colour, const QString& text) {
        painter.setFont(lettersFont(letters));
        painter.setPen(colour);
        painter.drawText(QRectF(0, at.y() + pxf(y), width(), pxf(26)), Qt::AlignHCenter | Qt::AlignVCenter, text);
    };
    words(2, Letters::emptyTitle, palette.text, tr("What goes into the cavity?"));
    words(28, Letters::body, palette.dim, tr("Three answers, and the charts draw themselves."));

    const QPointF board = at + QPointF(0, pxf(boardAt));
    QPen outline(palette.hatch, pxf(1.6));
    outline.setDashPattern({6, 4});
    painter.setPen(Qt::NoPen);
    painter.setBrush(palette.air);
    painter.drawPath(bowl(board));
    painter.setBrush(Qt::NoBrush);
    painter.setPen(outline);
    painter.drawPath(bowl(board));
    painter.fillRect(QRectF(board - QPointF(0, pxf(3)), QSizeF(pxf(wholeWidth), pxf(5))), palette.hatch);

    const std::array<Question, 3> all = questions();
    for (std::size_t i = 0; i < all.size(); ++i) {
        const double y = at.y() + pxf(rowsAt + rowPitch * static_cast<double>(i)), ring = pxf(34), icon = pxf(22);
        const QPointF centre(at.x() + pxf(contentLeft) + ring / 2, y + ring / 2);
        painter.setPen(QPen(palette.hatch, std::max(1.0, pxf(1))));
        painter.setBrush(palette.field);
        painter.drawEllipse(centre, ring / 2, ring / 2);
        const QString drawn = answered_[i] ? QStringLiteral("holds") : QLatin1String(all[i].icon);
        paintIcon(painter, {centre.x() - icon / 2, centre.y() - icon / 2, icon, icon}, drawn,
                  answered_[i] ? palette.holds : palette.text, palette.field);
        const QRectF line(centre.x() + ring / 2 + pxf(15), y - pxf(1), pxf(390), pxf(18));
        painter.setFont(lettersFont(Letters::readout));
        painter.setPen(palette.text);
        painter.drawText(line, Qt::AlignLeft | Qt::AlignVCenter, all[i].name);
        painter.setFont(lettersFont(Letters::body));
        painter.setPen(palette.dim);
        painter.drawText(line.translated(0, pxf(18)), Qt::AlignLeft | Qt::AlignVCenter, all[i].answer);
    }
    painter.setFont(lettersFont(Letters::body));
    painter.setPen(palette.dim);
    painter.drawText(QRectF(at.x() + pxf(contentLeft), at.y() + pxf(dropAt), pxf(400), pxf(20)),
                     Qt::AlignLeft | Qt::AlignVCenter, tr("or drop a .portwright file anywhere in this window"));
}

void EmptyState::resizeEvent(QResizeEvent*) { place(); }

void EmptyState::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::ApplicationFontChange) {
        dress();
        place();
    }
    QWidget::changeEvent(event);
}

}  // namespace portwright
