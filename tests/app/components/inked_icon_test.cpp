// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/desktop/components/inked_icon.h"

#include "app/desktop/components/app_palette.h"
#include "tests/app/components/bench.h"

#include <QDir>
#include <QImage>

using namespace portwright;
using namespace portwright::test;

namespace {

/// The colour of the most opaque pixels, which anti-aliasing left alone.
QColor inkOf(const QPixmap& pixmap)
{
    const QImage image = pixmap.toImage().convertToFormat(QImage::Format_ARGB32);
    QColor ink;
    int most = 0;
    for (int y = 0; y < image.height(); ++y)
        for (int x = 0; x < image.width(); ++x)
            if (const QColor c = image.pixelColor(x, y); c.alpha() > most) most = c.alpha(), ink = c;
    ink.setAlpha(255);
    return ink;
}

bool near(const QColor& a, const QColor& b)
{
    return std::abs(a.red() - b.red()) + std::abs(a.green() - b.green()) + std::abs(a.blue() - b.blue()) <= 12;
}

}  // namespace

TEST_CASE("An icon takes the palette's colour for each mode")
{
    for (const PlotPalette& theme : {lightPalette(), darkPalette()}) {
        const QIcon icon = inkedIcon("station-driver", theme);
        CHECK(near(inkOf(icon.pixmap(64, QIcon::Normal)), theme.text));
        CHECK(near(inkOf(icon.pixmap(64, QIcon::Disabled)), theme.dim));
        CHECK(near(inkOf(icon.pixmap(64, QIcon::Selected)), theme.onInk));
        CHECK(near(inkOf(inkedIcon("holds", theme, Ink::holds).pixmap(64)), theme.holds));
    }
}

TEST_CASE("Icons are drawn at the screen's pixel ratio")
{
    const QPixmap pixmap = inkedPixmap("near", Qt::red, Qt::white, 16, 2.0);
    CHECK(pixmap.width() == 32);
    CHECK(pixmap.deviceIndependentSize() == QSizeF(16, 16));
    CHECK(inkedIcon("near", lightPalette()).pixmap(QSize(16, 16), 2.0).width() == 32);
}

TEST_CASE("All icons are there, each shows something and keeps to the one key colour")
{
    inkedIcon("near", lightPalette());  // loads the resources
    const QStringList files = QDir(":/icons").entryList();
    CHECK(files.size() >= 30);
    for (const QString& file : files) {
        INFO(file.toStdString());
        QFile svg(":/icons/" + file);
        REQUIRE(svg.open(QIODevice::ReadOnly));
        const QByteArray text = svg.readAll();
        CHECK(text.contains("#757B80"));
        CHECK(QByteArray(text).replace("#757B80", "").replace("#FFFFFF", "").count('#') == 0);
        CHECK(near(inkOf(inkedPixmap(file.chopped(4), Qt::blue, Qt::blue, 64, 1)), Qt::blue));
    }
    CHECK(inkedIcon("no-such-icon", lightPalette()).isNull());
}

TEST_CASE("A button's icon follows a live switch of the theme")
{
    Bench bench;
    auto& button = bench.put(new IconButton("undo", "Undo"));
    const QColor light = inkOf(button.icon().pixmap(64));
    applyTheme(Theme::dark);
    QApplication::processEvents();
    CHECK(near(inkOf(button.icon().pixmap(64)), darkPalette().text));
    applyTheme(Theme::light);
    QApplication::processEvents();
    CHECK(inkOf(button.icon().pixmap(64)) == light);
}
