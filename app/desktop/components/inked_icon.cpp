// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/inked_icon.h"

#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/measures.h"

#include <QEvent>
#include <QFile>
#include <QIconEngine>
#include <QPainter>
#include <QSvgRenderer>

// A static library's resources are dropped by the linker unless somebody asks for them by name; macro, so no namespace.
static void loadIcons() { Q_INIT_RESOURCE(portwright); }

namespace portwright {

namespace {

QByteArray drawing(const QString& name)
{
    static const bool loaded = (loadIcons(), true);
    Q_UNUSED(loaded)
    QFile file(QStringLiteral(":/icons/%1.svg").arg(name));
    return file.open(QIODevice::ReadOnly) ? file.readAll() : QByteArray();
}

QByteArray inked(QByteArray svg, const QColor& ink, const QColor& behind)
{
    svg.replace("#FFFFFF", behind.name().toLatin1());  // first: the ink may be white
    return svg.replace("#757B80", ink.name().toLatin1());
}

/// Draws the SVG at whatever size and pixel ratio is asked for.
class InkedEngine : public QIconEngine {
public:
    InkedEngine(QByteArray svg, QColor normal, QColor disabled, QColor selected, QColor base, QColor selectedBase)
        : svg_(std::move(svg)), normal_(normal), disabled_(disabled), selected_(selected), base_(base),
          selectedBase_(selectedBase)
    {
    }

    void paint(QPainter* painter, const QRect& rect, QIcon::Mode mode, QIcon::State) override
    {
        const bool selected = mode == QIcon::Selected;
        const QColor ink = mode == QIcon::Disabled ? disabled_ : selected ? selected_ : normal_;
        QSvgRenderer(inked(svg_, ink, selected ? selectedBase_ : base_)).render(painter, rect);
    }

    QPixmap pixmap(const QSize& size, QIcon::Mode mode, QIcon::State state) override
    {
        QPixmap pixmap(size);
        pixmap.fill(Qt::transparent);
        QPainter painter(&pixmap);
        paint(&painter, QRect(QPoint(), size), mode, state);
        return pixmap;
    }

    QIconEngine* clone() const override { return new InkedEngine(*this); }

private:
    QByteArray svg_;
    QColor normal_, disabled_, selected_, base_, selectedBase_;
};

}  // namespace

QColor inkColour(const PlotPalette& palette, Ink ink)
{
    switch (ink) {
    case Ink::text:
        return palette.text;
    case Ink::dim:
        return palette.dim;
    case Ink::accent:
        return palette.accent;
    case Ink::over:
        return palette.over;
    case Ink::near:
        return palette.near;
    case Ink::holds:
        return palette.holds;
    case Ink::onInk:
        return palette.onInk;
    case Ink::onAccent:
        return palette.onAccent;
    }
    return palette.text;
}

QIcon inkedIcon(const QString& name, const PlotPalette& palette, Ink ink)
{
    const QByteArray svg = drawing(name);
    if (svg.isEmpty()) return {};
    return QIcon(new InkedEngine(svg, inkColour(palette, ink), palette.dim, palette.onInk, palette.base, palette.ink));
}

QPixmap inkedPixmap(const QString& name, const QColor& ink, const QColor& behind, int size, double pixelRatio)
{
    QPixmap pixmap(QSize(size, size) * pixelRatio);
    pixmap.setDevicePixelRatio(pixelRatio);
    pixmap.fill(Qt::transparent);
    QPainter painter(&pixmap);
    paintIcon(painter, QRectF(0, 0, size, size), name, ink, behind);
    return pixmap;
}

void paintIcon(QPainter& painter, const QRectF& box, const QString& name, const QColor& ink, const QColor& behind)
{
    const QByteArray svg = drawing(name);
    if (!svg.isEmpty()) QSvgRenderer(inked(svg, ink, behind)).render(&painter, box);
}

IconButton::IconButton(const QString& icon, const QString& accessibleName, QWidget* parent)
    : QToolButton(parent), icon_(icon)
{
    setAutoRaise(true);
    setAccessibleName(accessibleName);
    setToolTip(accessibleName);
    setFocusPolicy(Qt::TabFocus);
    this->ink();
}

void IconButton::setIconName(const QString& icon, Ink ink)
{
    icon_ = icon;
    ink_ = ink;
    this->ink();
}

void IconButton::setSmall(bool small)
{
    small_ = small;
    ink();
}

void IconButton::changeEvent(QEvent* event)
{
    if (event->type() == QEvent::PaletteChange || event->type() == QEvent::FontChange) ink();
    QToolButton::changeEvent(event);
}

void IconButton::ink()
{
    setIcon(inkedIcon(icon_, currentPlotPalette(), ink_));
    const int size = px(small_ ? 16 : 24);
    setIconSize({size, size});
}

}  // namespace portwright
