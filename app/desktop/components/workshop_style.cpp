// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/workshop_style.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/inked_icon.h"
#include "app/desktop/components/measures.h"

#include <QAbstractButton>
#include <QPainter>
#include <QStyleOption>

#include <algorithm>

namespace portwright {

namespace {

constexpr char faceProperty[] = "portwrightFace";
constexpr char notTakenProperty[] = "portwrightNotTaken";

struct Frame {
    QColor edge, fill;
    double width = 1, radius = 3;
};

void paintFrame(QPainter* painter, const QRectF& rect, const Frame& frame)
{
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    painter->setPen(frame.width > 0 ? QPen(frame.edge, frame.width) : QPen(Qt::NoPen));
    painter->setBrush(frame.fill.isValid() ? QBrush(frame.fill) : QBrush(Qt::NoBrush));
    const double inset = frame.width / 2;
    painter->drawRoundedRect(rect.adjusted(inset, inset, -inset, -inset), frame.radius, frame.radius);
    painter->restore();
}

double focusWidth() { return pxf(2); }

/// The inside and frame of a field: not taken comes before focus.
void paintField(QPainter* painter, const QRect& rect, const QStyleOption& option, const QWidget* widget)
{
    const PlotPalette palette = currentPlotPalette();
    const bool enabled = option.state & QStyle::State_Enabled;
    Frame frame{palette.edge, palette.field, std::max(1.0, pxf(1)), pxf(3)};
    if (!enabled) frame.edge = palette.line, frame.fill = palette.window;
    if (option.state & QStyle::State_HasFocus) frame.edge = palette.accent, frame.width = focusWidth();
    if (isNotTaken(widget)) frame.edge = palette.over, frame.width = focusWidth();
    paintFrame(painter, rect, frame);
}

void paintButton(QPainter* painter, const QStyleOption& option, const QWidget* widget)
{
    const PlotPalette palette = currentPlotPalette();
    const bool enabled = option.state & QStyle::State_Enabled, focus = option.state & QStyle::State_HasFocus;
    const bool down = option.state & (QStyle::State_Sunken | QStyle::State_On);
    const bool hover = enabled && (option.state & QStyle::State_MouseOver);
    Frame frame{palette.edge, palette.field, std::max(1.0, pxf(1)), pxf(4)};
    switch (buttonFace(widget)) {
    case ButtonFace::plain:
        if (hover) frame.fill = palette.raised;
        if (down) frame.fill = palette.line;
        break;
    case ButtonFace::main:
        frame.fill = frame.edge = enabled ? palette.accent : palette.line;
        if (hover || down)
            frame.fill = frame.edge = palette.dark ? palette.accent.lighter(110) : palette.accent.darker(112);
        break;
    case ButtonFace::link:
        frame = {QColor(), down ? palette.line : QColor(), 0, pxf(3)};
        break;
    }
    paintFrame(painter, option.rect, frame);
    if (!focus) return;
    const bool filled = buttonFace(widget) == ButtonFace::main;  // the ring must show on the accent, too
    const double inset = filled ? pxf(2.5) : 0;
    const QColor ring = filled ? palette.onAccent : option.palette.color(QPalette::Link);
    paintFrame(painter, QRectF(option.rect).adjusted(inset, inset, -inset, -inset),
               {ring, QColor(), filled ? pxf(1.5) : focusWidth(), pxf(filled ? 2.5 : 4)});
}

/// Icon and words of a push button, both in the ink of its face.
void paintButtonWords(const QStyle& style, const QStyleOptionButton& button, QPainter* painter, const QWidget* widget)
{
    const bool enabled = button.state & QStyle::State_Enabled;
    const ButtonFace face = buttonFace(widget);
    QColor ink = button.palette.color(QPalette::ButtonText);
    if (face == ButtonFace::main && enabled) ink = currentPlotPalette().onAccent;
    if (face == ButtonFace::link && enabled) ink = button.palette.color(QPalette::Link);
    int flags = Qt::AlignCenter | Qt::TextShowMnemonic;
    if (!style.styleHint(QStyle::SH_UnderlineShortcut, &button, widget)) flags |= Qt::TextHideMnemonic;
    QRect words = button.rect;
    if (!button.icon.isNull()) {
        const int gap = button.text.isEmpty() ? 0 : px(7), icon = button.iconSize.width();
        const int whole = icon + gap + button.fontMetrics.size(Qt::TextShowMnemonic, button.text).width();
        const int left = button.rect.left() + (button.rect.width() - whole) / 2;
        const QRect box(left, button.rect.center().y() - icon / 2, icon, icon);
        button.icon.paint(painter, box, Qt::AlignCenter, enabled ? QIcon::Normal : QIcon::Disabled);
        words.setLeft(left + icon + gap);
        flags = (flags & ~Qt::AlignHCenter) | Qt::AlignLeft;
    }
    painter->save();
    painter->setPen(ink);
    painter->drawText(words, flags, button.text);
    painter->restore();
}

void paintChevron(QPainter* painter, const QRectF& box, const QColor& colour)
{
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    painter->setPen(QPen(colour, pxf(1.6), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
    const QPointF c = box.center();
    const double w = pxf(4), h = pxf(2);
    const QPointF points[] = {{c.x() - w, c.y() - h}, {c.x(), c.y() + h}, {c.x() + w, c.y() - h}};
    painter->drawPolyline(points, 3);
    painter->restore();
}

void paintTick(QPainter* painter, const QStyleOption& option, bool round)
{
    const PlotPalette palette = currentPlotPalette();
    const bool on = option.state & QStyle::State_On, enabled = option.state & QStyle::State_Enabled;
    const QRectF box(option.rect);
    Frame frame{enabled ? palette.edge : palette.line, on ? palette.ink : palette.field, std::max(1.0, pxf(1)),
                round ? box.width() / 2 : pxf(3)};
    if (on) frame.edge = palette.ink;
    paintFrame(painter, box, frame);
    if (!on) return;
    painter->save();
    painter->setRenderHint(QPainter::Antialiasing);
    const double side = box.width();
    if (round) {
        painter->setPen(Qt::NoPen);
        painter->setBrush(palette.onInk);
        painter->drawEllipse(box.center(), side * 0.18, side * 0.18);
    } else {
        painter->setPen(QPen(palette.onInk, pxf(1.8), Qt::SolidLine, Qt::RoundCap, Qt::RoundJoin));
        const QPointF at = box.topLeft();
        const QPointF tick[] = {at + QPointF(side * 0.25, side * 0.52), at + QPointF(side * 0.43, side * 0.7),
                                at + QPointF(side * 0.76, side * 0.3)};
        painter->drawPolyline(tick, 3);
    }
    painter->restore();
}

void paintScrollBar(const QStyle& style, const QStyleOptionSlider& bar, QPainter* painter, const QWidget* widget)
{
    const PlotPalette palette = currentPlotPalette();
    painter->fillRect(bar.rect, bar.palette.color(QPalette::Window));
    if (bar.minimum == bar.maximum) return;
    const QRectF slider = style.subControlRect(QStyle::CC_ScrollBar, &bar, QStyle::SC_ScrollBarSlider, widget);
    const double inset = pxf(2.5);
    const bool held = bar.state & (QStyle::State_MouseOver | QStyle::State_Sunken);
    const QRectF grip = slider.adjusted(inset, inset, -inset, -inset);
    paintFrame(painter, grip,
               {QColor(), held ? palette.dim : palette.edge, 0, std::min(grip.width(), grip.height()) / 2});
}

void paintToolButton(const QStyle& style, const QStyleOptionToolButton& given, QPainter* painter, const QWidget* widget)
{
    const PlotPalette palette = currentPlotPalette();
    QStyleOptionToolButton button = given;
    button.features &= ~QStyleOptionToolButton::HasMenu;  // the icon says it; an arrow on 16 px would hide it
    const bool hover = (button.state & QStyle::State_Enabled) && (button.state & QStyle::State_MouseOver);
    const bool down = button.state & (QStyle::State_Sunken | QStyle::State_On);
    if (hover || down) paintFrame(painter, button.rect, {QColor(), palette.line, 0, pxf(3)});
    style.drawControl(QStyle::CE_ToolButtonLabel, &button, painter, widget);
    if (button.state & QStyle::State_HasFocus)
        paintFrame(painter, button.rect, {button.palette.color(QPalette::Link), QColor(), focusWidth(), pxf(3)});
}

}  // namespace

void setButtonFace(QAbstractButton& button, ButtonFace face)
{
    button.setProperty(faceProperty, static_cast<int>(face));
    QFont font;
    font.setWeight(face == ButtonFace::main ? QFont::DemiBold : QFont::Normal);
    button.setFont(font);
    button.setCursor(face == ButtonFace::link ? Qt::PointingHandCursor : Qt::ArrowCursor);
    button.update();
}

ButtonFace buttonFace(const QWidget* widget)
{
    const QVariant face = widget ? widget->property(faceProperty) : QVariant();
    return face.isValid() ? static_cast<ButtonFace>(face.toInt()) : ButtonFace::plain;
}

void setNotTaken(QWidget& field, bool notTaken)
{
    field.setProperty(notTakenProperty, notTaken);
    field.update();
}

bool isNotTaken(const QWidget* field) { return field && field->property(notTakenProperty).toBool(); }

WorkshopStyle::WorkshopStyle() : QProxyStyle(QStringLiteral("Fusion")) {}

void WorkshopStyle::drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                                  const QWidget* widget) const
{
    switch (element) {
    case PE_FrameLineEdit:
        return paintField(painter, option->rect, *option, widget);
    case PE_PanelLineEdit:
        if (const auto* frame = qstyleoption_cast<const QStyleOptionFrame*>(option); frame && frame->lineWidth > 0)
            paintField(painter, option->rect, *option, widget);
        return;  // inside a spin or combo box the box has drawn it
    case PE_FrameFocusRect:
        return paintFrame(painter, option->rect,
                          {option->palette.color(QPalette::Link), QColor(), focusWidth(), pxf(4)});
    case PE_PanelButtonCommand:
        return paintButton(painter, *option, widget);
    case PE_IndicatorCheckBox:
        return paintTick(painter, *option, false);
    case PE_IndicatorRadioButton:
        return paintTick(painter, *option, true);
    default:
        QProxyStyle::drawPrimitive(element, option, painter, widget);
    }
}

void WorkshopStyle::drawControl(ControlElement element, const QStyleOption* option, QPainter* painter,
                                const QWidget* widget) const
{
    const PlotPalette palette = currentPlotPalette();
    switch (element) {
    case CE_PushButtonBevel:
        return paintButton(painter, *option, widget);
    case CE_PushButtonLabel:
        if (const auto* button = qstyleoption_cast<const QStyleOptionButton*>(option))
            return paintButtonWords(*this, *button, painter, widget);
        break;
    case CE_Splitter: {
        const bool upright = option->state & State_Horizontal;
        QRect line = option->rect;
        if (upright)
            line.setLeft(line.center().x()), line.setWidth(1);
        else
            line.setTop(line.center().y()), line.setHeight(1);
        painter->fillRect(option->rect, option->palette.color(QPalette::Window));
        return painter->fillRect(line, palette.line);
    }
    case CE_HeaderSection:
        painter->fillRect(option->rect, palette.window);
        return painter->fillRect(QRect(option->rect.bottomLeft(), QSize(option->rect.width(), 1)), palette.line);
    default:
        break;
    }
    QProxyStyle::drawControl(element, option, painter, widget);
}

void WorkshopStyle::drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter,
                                       const QWidget* widget) const
{
    switch (control) {
    case CC_SpinBox:
        return paintField(painter, option->rect, *option, widget);
    case CC_ComboBox: {
        paintField(painter, option->rect, *option, widget);
        const QRect arrow = subControlRect(CC_ComboBox, option, SC_ComboBoxArrow, widget);
        return paintChevron(painter, arrow, option->palette.color(QPalette::Text));
    }
    case CC_ScrollBar:
        if (const auto* bar = qstyleoption_cast<const QStyleOptionSlider*>(option))
            return paintScrollBar(*this, *bar, painter, widget);
        break;
    case CC_ToolButton:
        if (const auto* button = qstyleoption_cast<const QStyleOptionToolButton*>(option))
            return paintToolButton(*this, *button, painter, widget);
        break;
    default:
        break;
    }
    QProxyStyle::drawComplexControl(control, option, painter, widget);
}

QRect WorkshopStyle::subControlRect(ComplexControl control, const QStyleOptionComplex* option, SubControl sub,
                                    const QWidget* widget) const
{
    const QRect r = option->rect;
    const int arrow = px(22);
    if (control == CC_SpinBox && sub == SC_SpinBoxEditField) return r.adjusted(px(4), 1, -px(4), -1);
    if (control == CC_ComboBox && sub == SC_ComboBoxArrow)
        return visualRect(option->direction, r, {r.right() - arrow + 1, r.top(), arrow, r.height()});
    if (control == CC_ComboBox && sub == SC_ComboBoxEditField)
        return visualRect(option->direction, r, r.adjusted(px(5), 1, -arrow, -1));
    return QProxyStyle::subControlRect(control, option, sub, widget);
}

QSize WorkshopStyle::sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                                      const QWidget* widget) const
{
    switch (type) {
    case CT_PushButton:
        if (buttonFace(widget) == ButtonFace::link)
            return {size.width() + px(6), std::max(size.height() + px(2), px(18))};
        return {size.width() + px(24), std::max(size.height() + px(6), px(25))};
    case CT_ToolButton:
        return size + QSize(px(2), px(2));
    case CT_LineEdit:
        return {size.width() + px(6), std::max(size.height() + px(2), px(22))};
    case CT_ComboBox: {
        const QSize fusion = QProxyStyle::sizeFromContents(type, option, size, widget);
        return {std::max(size.width() + px(30), px(64)),
                std::max(std::min(fusion.height(), size.height() + px(6)), px(22))};
    }
    default:
        return QProxyStyle::sizeFromContents(type, option, size, widget);
    }
}

int WorkshopStyle::pixelMetric(PixelMetric metric, const QStyleOption* option, const QWidget* widget) const
{
    switch (metric) {
    case PM_ButtonShiftHorizontal:
    case PM_ButtonShiftVertical:
        return 0;
    case PM_SmallIconSize:
    case PM_ButtonIconSize:
        return px(16);
    case PM_ScrollBarExtent:
        return px(11);
    case PM_IndicatorWidth:
    case PM_IndicatorHeight:
    case PM_ExclusiveIndicatorWidth:
    case PM_ExclusiveIndicatorHeight:
        return px(14);
    default:
        return QProxyStyle::pixelMetric(metric, option, widget);
    }
}

int WorkshopStyle::styleHint(StyleHint hint, const QStyleOption* option, const QWidget* widget,
                             QStyleHintReturn* data) const
{
    if (hint == SH_Widget_Animation_Duration && reducedMotion_) return 0;
    if (hint == SH_EtchDisabledText) return 0;
    return QProxyStyle::styleHint(hint, option, widget, data);
}

}  // namespace portwright
