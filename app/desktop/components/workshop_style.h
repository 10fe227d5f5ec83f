// SPDX-License-Identifier: GPL-3.0-or-later
// The frames: line edits, focus, push buttons, combo boxes. Fusion does the rest.
#pragma once

#include <QProxyStyle>

class QAbstractButton;

namespace portwright {

class WorkshopStyle : public QProxyStyle {
    Q_OBJECT
public:
    WorkshopStyle();

    void setReducedMotion(bool reduced) { reducedMotion_ = reduced; }

    void drawPrimitive(PrimitiveElement element, const QStyleOption* option, QPainter* painter,
                       const QWidget* widget) const override;
    void drawControl(ControlElement element, const QStyleOption* option, QPainter* painter,
                     const QWidget* widget) const override;
    void drawComplexControl(ComplexControl control, const QStyleOptionComplex* option, QPainter* painter,
                            const QWidget* widget) const override;
    QRect subControlRect(ComplexControl control, const QStyleOptionComplex* option, SubControl sub,
                         const QWidget* widget) const override;
    QSize sizeFromContents(ContentsType type, const QStyleOption* option, const QSize& size,
                           const QWidget* widget) const override;
    int pixelMetric(PixelMetric metric, const QStyleOption* option, const QWidget* widget) const override;
    int styleHint(StyleHint hint, const QStyleOption* option, const QWidget* widget,
                  QStyleHintReturn* data) const override;

private:
    bool reducedMotion_ = false;
};

enum class ButtonFace { plain, main, link };  ///< main: the one filled with the accent; link: accent words, no frame
void setButtonFace(QAbstractButton& button, ButtonFace face);
ButtonFace buttonFace(const QWidget* widget);

/// Marks a field as not taken: the style draws its frame in the colour of "over".
void setNotTaken(QWidget& field, bool notTaken);
bool isNotTaken(const QWidget* field);

}  // namespace portwright
