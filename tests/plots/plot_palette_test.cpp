// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/plot_palette.h"

#include <catch2/catch.hpp>

#include <set>

using namespace portwright;

namespace {

std::vector<PlotPalette> palettes() { return {lightPalette(), darkPalette(), highContrast(false), highContrast(true)}; }

}  // namespace

TEST_CASE("every text colour stands out at least 5.5 to 1 on window, base and raised")
{
    for (const PlotPalette& p : palettes())
        for (const QColor& paper : {p.window, p.base, p.raised})
            for (const QColor& letters : {p.text, p.dim, p.accent, p.over, p.near, p.holds}) {
                INFO(letters.name().toStdString() << " on " << paper.name().toStdString());
                CHECK(contrastRatio(letters, paper) >= 5.5);
            }
}

TEST_CASE("frames of fields stand out at least 3 to 1 on the window")
{
    for (const PlotPalette& p : palettes())
        CHECK(contrastRatio(p.edge, p.window) >= 3.0);
}

TEST_CASE("letters on plates, switches and the main button can be read")
{
    for (const PlotPalette& p : palettes()) {
        CHECK(contrastRatio(p.onInk, p.ink) >= 5.5);
        CHECK(contrastRatio(p.onAccent, p.accent) >= 5.5);
        for (int slot = 0; slot < 2 * housingSlots; ++slot)
            CHECK(contrastRatio(onHousingColour(p, slot), housingColour(p, slot)) >= 4.5);
    }
}

TEST_CASE("each housing's colour stands out on charts and cards")
{
    for (int slot = 0; slot < housingSlots; ++slot) {
        CHECK(contrastRatio(housingColour(lightPalette(), slot), lightPalette().base) >= 3.2);
        CHECK(contrastRatio(housingColour(lightPalette(), slot), lightPalette().raised) >= 3.04);
        CHECK(contrastRatio(housingColour(darkPalette(), slot), darkPalette().base) >= 3.9);
        CHECK(contrastRatio(housingColour(darkPalette(), slot), darkPalette().raised) >= 3.6);
    }
}

TEST_CASE("colour and dash together differ for 36 housings, and in grey the dash alone tells the first six apart")
{
    std::set<std::pair<QString, QString>> pens;
    std::set<QString> dashes;
    const auto text = [](const QVector<qreal>& dash) {
        QString t;
        for (const qreal d : dash)
            t += QString::number(d) + u' ';
        return t;
    };
    for (int slot = 0; slot < 36; ++slot)
        pens.emplace(housingColour(lightPalette(), slot).name(), text(housingDash(slot)));
    for (int slot = 0; slot < housingSlots; ++slot)
        dashes.insert(text(housingDash(slot)));
    CHECK(pens.size() == 36);
    CHECK(dashes.size() == housingSlots);
    CHECK(housingDash(0).isEmpty());
    CHECK_FALSE(housingDash(6).isEmpty());
}

TEST_CASE("letters run from A to Z and on with two")
{
    CHECK(housingLetter(0) == "A");
    CHECK(housingLetter(25) == "Z");
    CHECK(housingLetter(26) == "AA");
    CHECK(housingLetter(27) == "AB");
    CHECK(housingLetter(52) == "BA");
}

TEST_CASE("contrast is 21 between black and white and 1 between equals")
{
    CHECK(contrastRatio(Qt::black, Qt::white) == Approx(21));
    CHECK(contrastRatio(QColor("#8B2F93"), QColor("#8B2F93")) == Approx(1));
}
