// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/app_palette.h"

#include "app/desktop/components/workshop_style.h"

#include <QApplication>
#include <QToolTip>

namespace portwright {

namespace {

bool sameTheme(const QPalette& shown, const PlotPalette& palette)
{
    return shown.color(QPalette::Window) == palette.window && shown.color(QPalette::Dark) == palette.edge;
}

}  // namespace

QPalette appPalette(const PlotPalette& palette)
{
    QPalette p;
    const auto all = [&p](QPalette::ColorRole role, const QColor& colour) { p.setColor(role, colour); };
    all(QPalette::Window, palette.window);
    all(QPalette::WindowText, palette.text);
    all(QPalette::Base, palette.base);
    all(QPalette::AlternateBase, palette.raised);
    all(QPalette::Text, palette.text);
    all(QPalette::PlaceholderText, palette.dim);
    all(QPalette::Button, palette.window);
    all(QPalette::ButtonText, palette.text);
    all(QPalette::BrightText, palette.over);
    all(QPalette::Highlight, palette.ink);
    all(QPalette::HighlightedText, palette.onInk);
    all(QPalette::Link, palette.accent);
    all(QPalette::LinkVisited, palette.accent);
    all(QPalette::ToolTipBase, palette.raised);
    all(QPalette::ToolTipText, palette.text);
    all(QPalette::Light, palette.raised);
    all(QPalette::Midlight, palette.raised);
    all(QPalette::Mid, palette.line);
    all(QPalette::Dark, palette.edge);
    all(QPalette::Shadow, palette.edge);
    for (const QPalette::ColorRole role : {QPalette::WindowText, QPalette::Text, QPalette::ButtonText})
        p.setColor(QPalette::Disabled, role, palette.dim);
    return p;
}

bool isDark(const QPalette& palette)
{
    return palette.color(QPalette::WindowText).lightnessF() > palette.color(QPalette::Window).lightnessF();
}

PlotPalette paletteFor(Theme theme, bool systemIsDark, bool contrast)
{
    bool dark = theme == Theme::dark || (theme == Theme::system && systemIsDark);
    const QString asked = qEnvironmentVariable("PORTWRIGHT_TEST_PALETTE");
    if (theme == Theme::system && !asked.isEmpty()) {
        dark = asked.startsWith(QLatin1String("dark"));
        contrast = contrast || asked.endsWith(QLatin1String("contrast"));
    }
    if (contrast) return highContrast(dark);
    return dark ? darkPalette() : lightPalette();
}

void applyTheme(Theme theme, bool contrast)
{
    if (!qobject_cast<WorkshopStyle*>(QApplication::style())) QApplication::setStyle(new WorkshopStyle);
    if (theme == Theme::system) QApplication::setPalette(QPalette());  // lets the desktop's own palette show through
    const PlotPalette palette = paletteFor(theme, isDark(QApplication::palette()), contrast);
    QApplication::setPalette(appPalette(palette));
    QToolTip::setPalette(appPalette(palette));
}

PlotPalette currentPlotPalette()
{
    const QPalette shown = QApplication::palette();
    for (const PlotPalette& known : {lightPalette(), darkPalette(), highContrast(false), highContrast(true)})
        if (sameTheme(shown, known)) return known;
    return isDark(shown) ? darkPalette() : lightPalette();
}

}  // namespace portwright
