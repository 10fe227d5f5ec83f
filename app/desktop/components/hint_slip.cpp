// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/hint_slip.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"
#include "app/desktop/components/workshop_style.h"

#include <QEvent>
#include <QGraphicsOpacityEffect>
#include <QHBoxLayout>
#include <QKeyEvent>
#include <QLabel>
#include <QPainter>
#include <QPainterPath>
#include <QPropertyAnimation>
#include <QPushButton>
#include <QVBoxLayout>

#include <algorithm>

namespace portwright {

namespace {

int arrowHeight() { return px(8); }
int slipWidth() { return px(290); }

void fadeIn(QWidget& widget)
{
    if (!motionAllowed(widget)) return;
    auto* effect = new QGraphicsOpacityEffect(&widget);
    effect->setOpacity(0);
    widget.setGraphicsEffect(effect);
    auto* fade = new QPropertyAnimation(effect, "opacity", effect);
    fade->setDuration(motionMilliseconds);
    fade->setEasingCurve(QEasingCurve::OutCubic);
    fade->setEndValue(1.0);
    QObject::connect(fade, &QPropertyAnimation::finished, &widget, [&widget] { widget.setGraphicsEffect(nullptr); });
    fade->start(QAbstractAnimation::DeleteWhenStopped);
}

}  // namespace

HintSlip::HintSlip(QWidget* parent)
    : QWidget(parent), title_(new QLabel(this)), text_(new QLabel(this)), count_(new QLabel(this)),
      gotIt_(new QPushButton(tr("Got it"), this)),
      close_(new IconButton(QStringLiteral("remove"), tr("No more hints"), this))
{
    setFocusPolicy(Qt::NoFocus);
    text_->setWordWrap(true);
    setButtonFace(*gotIt_, ButtonFace::link);
    close_->setIconName(QStringLiteral("remove"), Ink::onInk);
    gotIt_->setAccessibleName(gotIt_->text());
    connect(gotIt_, &QPushButton::clicked, this, &HintSlip::gotIt);
    connect(close_, &QToolButton::clicked, this, &HintSlip::dismissed);
    auto* rows = new QVBoxLayout(this);
    rows->setSpacing(px(3));
    auto* head = new QHBoxLayout;
    head->addWidget(title_, 1);
    head->addWidget(close_);
    auto* foot = new QHBoxLayout;
    foot->addWidget(count_, 1);
    foot->addWidget(gotIt_);
    rows->addLayout(head);
    rows->addWidget(text_);
    rows->addLayout(foot);
    dress();
    if (parent) parent->installEventFilter(this);
    hide();
}

void HintSlip::dress()
{
    const PlotPalette palette = currentPlotPalette();
    QPalette inks = appPalette(palette);
    for (const QPalette::ColorRole role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText, QPalette::Link})
        inks.setColor(role, palette.onInk);
    inks.setColor(QPalette::Window, palette.ink);
    setPalette(inks);
    title_->setFont(lettersFont(Letters::readout));
    count_->setFont(lettersFont(Letters::remark));
    QFont strong;
    strong.setWeight(QFont::DemiBold);
    gotIt_->setFont(strong);
}

void HintSlip::setHint(const QString& title, const QString& text, int number, int count)
{
    title_->setText(title);
    text_->setText(text);
    count_->setText(tr("%1 of %2").arg(number).arg(count));
    setAccessibleName(title);
    setAccessibleDescription(text);
    gotIt_->setAccessibleDescription(QStringLiteral("%1. %2").arg(title, text));
}

void HintSlip::pointAt(QWidget* target, const QRect& within)
{
    if (target_) target_->removeEventFilter(this);
    target_ = target;
    within_ = within;
    if (target_) target_->installEventFilter(this);
    place();
    show();
    raise();
    fadeIn(*this);
    gotIt_->setFocus();
}

void HintSlip::place()
{
    if (!target_ || !parentWidget()) return;
    const QRect local = within_.isValid() ? within_ : target_->rect();
    const QRect there(target_->mapTo(parentWidget(), local.topLeft()), local.size());
    const int w = std::min(slipWidth(), parentWidget()->width()), arrow = arrowHeight(), edge = px(13);
    layout()->setContentsMargins(edge, px(8), edge, px(6));
    const int h = layout()->heightForWidth(w) + arrow;
    above_ = there.bottom() + h + px(4) > parentWidget()->height() && there.top() - h > 0;
    layout()->setContentsMargins(edge, px(8) + (above_ ? 0 : arrow), edge, px(6) + (above_ ? arrow : 0));
    const int x = std::clamp(there.center().x() - px(40), 0, std::max(0, parentWidget()->width() - w));
    const int y = above_ ? there.top() - h - px(2) : std::min(there.bottom() + px(3), parentWidget()->height() - h);
    arrowX_ = std::clamp(there.center().x() - x, px(18), w - px(18));
    setGeometry(x, std::max(0, y), w, h);
}

QPoint HintSlip::tip() const { return mapToParent(QPoint(arrowX_, above_ ? height() : 0)); }

void HintSlip::paintEvent(QPaintEvent*)
{
    QPainter painter(this);
    painter.setRenderHint(QPainter::Antialiasing);
    const double arrow = arrowHeight();
    const QRectF slip = above_ ? QRectF(0, 0, width(), height() - arrow) : QRectF(0, arrow, width(), height() - arrow);
    const double base = above_ ? slip.bottom() : slip.top(), point = above_ ? height() : 0.0;
    QPainterPath path;
    path.addRoundedRect(slip, pxf(4), pxf(4));
    QPainterPath triangle(QPointF(arrowX_ - arrow, base));
    triangle.lineTo(arrowX_, point);
    triangle.lineTo(arrowX_ + arrow, base);
    triangle.closeSubpath();
    painter.fillPath(path.united(triangle), palette().color(QPalette::Window));
}

void HintSlip::keyPressEvent(QKeyEvent* event)
{
    if (event->key() == Qt::Key_Escape)
        emit dismissed();
    else
        QWidget::keyPressEvent(event);
}

bool HintSlip::eventFilter(QObject* watched, QEvent* event)
{
    if (watched == parentWidget() && event->type() == QEvent::Resize && isVisible()) place();
    if (watched == target_.data() && event->type() == QEvent::Hide) {
        gotIt_->clearFocus();  // else it would go to the next in line, which is a station
        hide();                // it would point at nothing, over something else
    }
    return false;
}

void HintSlip::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::ApplicationPaletteChange) dress();
    QWidget::changeEvent(event);
}

}  // namespace portwright
