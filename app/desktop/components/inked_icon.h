// SPDX-License-Identifier: GPL-3.0-or-later
#pragma once

#include "plots/plot_palette.h"

#include <QIcon>
#include <QPixmap>
#include <QString>
#include <QToolButton>

class QPainter;

namespace portwright {

enum class Ink { text, dim, accent, over, near, holds, onInk, onAccent };
QColor inkColour(const PlotPalette& palette, Ink ink);

/// An icon of resources/icons ("station-driver") with its key colour replaced; Normal in `ink`, Disabled in dim,
/// Selected and On in onink only where asked for by mode. Call anew when the palette changes. Empty if there is no such
/// icon.
QIcon inkedIcon(const QString& name, const PlotPalette& palette, Ink ink = Ink::text);
QPixmap inkedPixmap(const QString& name, const QColor& ink, const QColor& behind, int size, double pixelRatio);
/// Draws an icon straight into a painter.
void paintIcon(QPainter& painter, const QRectF& box, const QString& name, const QColor& ink, const QColor& behind);

/// A flat tool button whose icon follows the palette.
class IconButton : public QToolButton {
    Q_OBJECT
public:
    IconButton(const QString& icon, const QString& accessibleName, QWidget* parent = nullptr);
    void setIconName(const QString& icon, Ink ink = Ink::text);
    QString iconName() const { return icon_; }
    void setSmall(bool small);  ///< 16 px instead of 24

protected:
    void changeEvent(QEvent* event) override;

private:
    void ink();
    QString icon_;
    Ink ink_ = Ink::text;
    bool small_ = true;
};

}  // namespace portwright
