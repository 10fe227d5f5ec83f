// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/app_palette.h"
#include "app/desktop/components/mark.h"
#include "app/desktop/components/measures.h"
#include "tests/app/components/bench.h"

#include <QFontDatabase>

using namespace portwright;

namespace {

std::vector<PlotPalette> themes() { return {lightPalette(), darkPalette(), highContrast(false), highContrast(true)}; }

}  // namespace

TEST_CASE("All words reach a contrast of 4.5 on every surface, frames of fields 3.0")
{
    for (const PlotPalette& theme : themes()) {
        for (const QColor& surface : {theme.window, theme.base, theme.raised, theme.field}) {
            CHECK(contrastRatio(theme.text, surface) >= 4.5);
            CHECK(contrastRatio(theme.dim, surface) >= 4.5);
            CHECK(contrastRatio(theme.accent, surface) >= 4.5);
            for (const Mark mark : {Mark::holds, Mark::near, Mark::over, Mark::cannot, Mark::missing, Mark::note})
                CHECK(contrastRatio(markColour(theme, mark), surface) >= 4.5);
        }
        CHECK(contrastRatio(theme.edge, theme.window) >= 3.0);
        CHECK(contrastRatio(theme.onInk, theme.ink) >= 4.5);
        CHECK(contrastRatio(theme.onAccent, theme.accent) >= 4.5);
    }
}

TEST_CASE("The palette of the program keeps text readable in every role that is drawn on another")
{
    for (const PlotPalette& theme : themes()) {
        const QPalette p = appPalette(theme);
        for (const QPalette::ColorGroup group : {QPalette::Active, QPalette::Inactive, QPalette::Disabled}) {
            const auto contrast = [&](QPalette::ColorRole on, QPalette::ColorRole words) {
                return contrastRatio(p.color(group, words), p.color(group, on));
            };
            CHECK(contrast(QPalette::Window, QPalette::WindowText) >= 4.5);
            CHECK(contrast(QPalette::Base, QPalette::Text) >= 4.5);
            CHECK(contrast(QPalette::Button, QPalette::ButtonText) >= 4.5);
            CHECK(contrast(QPalette::Highlight, QPalette::HighlightedText) >= 4.5);
            CHECK(contrast(QPalette::ToolTipBase, QPalette::ToolTipText) >= 4.5);
            CHECK(contrast(QPalette::Window, QPalette::Link) >= 4.5);
        }
    }
}

TEST_CASE("A theme put in force is the one that is read back, and a switch is live")
{
    const auto restore = [] { applyTheme(Theme::light); };
    for (const auto& [theme, contrast, wanted] : {std::tuple{Theme::dark, false, darkPalette()},
                                                  {Theme::light, false, lightPalette()},
                                                  {Theme::dark, true, highContrast(true)},
                                                  {Theme::light, true, highContrast(false)}}) {
        applyTheme(theme, contrast);
        CHECK(currentPlotPalette() == wanted);
        CHECK(isDark(QApplication::palette()) == (theme == Theme::dark));
    }
    restore();
}

TEST_CASE("The environment chooses the palette for pictures, but not over the user's choice")
{
    qputenv("PORTWRIGHT_TEST_PALETTE", "dark");
    CHECK(paletteFor(Theme::system, false) == darkPalette());
    CHECK(paletteFor(Theme::light, false) == lightPalette());
    qputenv("PORTWRIGHT_TEST_PALETTE", "dark-contrast");
    CHECK(paletteFor(Theme::system, false) == highContrast(true));
    qunsetenv("PORTWRIGHT_TEST_PALETTE");
    CHECK(paletteFor(Theme::system, true) == darkPalette());
    CHECK(paletteFor(Theme::system, false) == lightPalette());
}

TEST_CASE("Figures stand in letters whose ten digits are equally wide")
{
    CHECK(digitsEquallyWide(figureFont(Letters::body)));
    if (QFontDatabase::hasFamily("Open Sans")) CHECK(digitsEquallyWide(QFont("Open Sans", 9)));
}

TEST_CASE("Measures follow the size of the desktop's letters")
{
    const QFont before = QApplication::font();
    QFont large = before;
    large.setPixelSize(24);
    QApplication::setFont(large);
    CHECK(em() == 24);
    CHECK(px(22) == 44);
    QApplication::setFont(before);
    CHECK(px(0.1) == 1);
    CHECK(px(0) == 0);
}
