// SPDX-License-Identifier: GPL-3.0-or-later
// The four pictures of a cavity as widgets: keys, clicks, names, and nothing painted past their edges.
#include "plots/cavity/modes_view.h"
#include "plots/cavity/scan_view.h"
#include "plots/cavity/section_stack.h"
#include "plots/cavity/solids_view.h"

#include <QPainter>
#include <QSignalSpy>
#include <QTest>
#include <QWheelEvent>
#include <catch2/catch.hpp>

#include <cmath>
#include <functional>
#include <limits>

using namespace portwright;

namespace {

SectionsMeasurement stack()
{
    SectionsMeasurement m;
    for (int i = 0; i < 5; ++i) {
        Section s;
        s.at = 0.06 * i;
        s.shape = SectionShape(i);
        s.width = 0.18 - 0.02 * i, s.height = 0.12, s.corner = 0.02;
        m.sections.push_back(s);
    }
    m.firstCap = {CapShape::dome, 0.04};
    m.lastCap = {CapShape::point, 0.05};
    return m;
}

SolidsMeasurement solids()
{
    SolidsMeasurement m;
    m.steps.push_back({"body", false, BoxSolid{0.3, 0.2, 0.18}, {0, 0, 0}, SolidAxis::z});
    m.steps.push_back({"", false, RoundFrustumSolid{0.14, 0.08, 0.1}, {0.05, 0, 0.18}, SolidAxis::z});
    m.steps.push_back({"a recess with a name that is far longer than any picture is wide, so that it must be elided",
                       true,
                       CylinderSolid{0.07, 0.1},
                       {-0.08, -0.1, 0.09},
                       SolidAxis::y});
    return m;
}

/// A box with its upper face as a patch.
ScanPicture scan()
{
    ScanPicture p;
    for (int i = 0; i < 8; ++i)
        p.mesh.points.push_back({i & 1 ? 0.15F : -0.15F, i & 2 ? 0.1F : -0.1F, i & 4 ? 0.2F : 0.0F});
    p.mesh.triangles = {{0, 2, 1}, {1, 2, 3}, {0, 1, 4}, {1, 5, 4}, {2, 6, 3}, {3, 6, 7},
                        {0, 4, 2}, {2, 4, 6}, {1, 3, 5}, {3, 7, 5}, {4, 5, 6}, {5, 7, 6}};
    p.mesh.patchFrom = 10;
    p.openings = {{{0, 0, 0.2}, 0.06, "at the +z end, with words that go on far longer than the picture is wide"},
                  {{0.15, 0, 0.1}, 0.002, "half way on the +x side"}};
    return p;
}

ModeField field()
{
    ModeField f;
    f.frequency = 612, f.cell = 0.01, f.size = {30, 16, 12};
    for (int k = 0; k < 12; ++k)
        for (int j = 0; j < 16; ++j)
            for (int i = 0; i < 30; ++i) {
                const bool in = i > 0 && i < 29 && j > 0 && j < 15 && k > 0 && k < 11 && !(i > 20 && k > 6);
                f.inside.push_back(in ? 1 : 0);
                f.pressure.push_back(in ? float(std::cos(3.14159 * (i - 0.5) / 28)) : 0);
            }
    return f;
}
std::vector<MarkedPlace> places()
{
    return {{{0.02, 0.08, 0.06}, true, "driver"}, {{0.28, 0.02, 0.03}, false, "port"}};
}

using Paint = std::function<void(QPainter&, const QRectF&, const PlotPalette&, UnitSystem)>;

std::vector<Paint> pictures()
{
    return {[](QPainter& p, const QRectF& box, const PlotPalette& palette, UnitSystem units) {
                paintSectionStack(p, box, stack(), palette, {.units = units, .chosen = 2});
            },
            [](QPainter& p, const QRectF& box, const PlotPalette& palette, UnitSystem units) {
                paintSolids(p, box, solids(), drawingOf(solids()), palette, {.units = units, .chosen = 2});
            },
            [](QPainter& p, const QRectF& box, const PlotPalette& palette, UnitSystem units) {
                paintScan(p, box, scan(), {}, palette, {.units = units, .chosen = 0});
            },
            [](QPainter& p, const QRectF& box, const PlotPalette& palette, UnitSystem units) {
                paintMode(p, box, field(), places(), palette, {.units = units});
            }};
}

/// Least contrast that any text or line of a picture must reach somewhere: it is there at all.
int distinct(const QImage& image, const QRect& part, QRgb base)
{
    int n = 0;
    for (int y = part.top(); y <= part.bottom(); ++y)
        for (int x = part.left(); x <= part.right(); ++x)
            n += image.pixel(x, y) != base;
    return n;
}

}  // namespace

TEST_CASE("pictures of a cavity stay inside their box, with small and large letters, in both themes and units")
{
    const QRgb around = qRgb(255, 0, 255);
    for (const Paint& paint : pictures())
        for (const int letters : {12, 18})
            for (const PlotPalette& palette : {lightPalette(), darkPalette()})
                for (const UnitSystem units : {UnitSystem::metric, UnitSystem::us})
                    for (const QSize& size : {QSize(220, 220), QSize(420, 330), QSize(300, 500)}) {
                        const QSize scaled = size * (letters / 12.0);
                        const QRect box(QPoint(60, 60), scaled);
                        QImage image(scaled + QSize(120, 120), QImage::Format_RGB32);
                        image.fill(around);
                        QPainter painter(&image);
                        QFont font("DejaVu Sans");
                        font.setPixelSize(letters);
                        painter.setFont(font);
                        paint(painter, box, palette, units);
                        painter.end();
                        INFO(scaled.width() << " x " << scaled.height() << ", letters of " << letters);
                        CHECK(distinct(image, box, palette.base.rgb()) > 1500 * letters / 12);
                        CHECK(distinct(image, image.rect(), around) == box.width() * box.height());
                    }
}

TEST_CASE("pictures of nothing say what will be there")
{
    SectionStackView stackView;
    SolidsView solidsView;
    ScanView scanView;
    ModesView modesView;
    for (QWidget* view : std::initializer_list<QWidget*>{&stackView, &solidsView, &scanView, &modesView}) {
        CHECK_FALSE(view->accessibleName().isEmpty());
        CHECK_FALSE(view->accessibleDescription().isEmpty());
        CHECK(view->focusPolicy() == Qt::StrongFocus);
        view->resize(view->minimumSizeHint());
        const QImage image = view->grab().toImage().convertToFormat(QImage::Format_RGB32);
        CHECK(distinct(image, image.rect(), lightPalette().base.rgb()) > 100);
        for (const int key :
             {Qt::Key_Left, Qt::Key_Right, Qt::Key_Up, Qt::Key_Down, Qt::Key_Home, Qt::Key_End, Qt::Key_1})
            QTest::keyClick(view, Qt::Key(key));
        QTest::mouseClick(view, Qt::LeftButton, {}, view->rect().center());
    }
}

TEST_CASE("a section is picked by click and by keys, and told once")
{
    SectionStackView view;
    view.setSections(stack());
    view.resize(380, 340);
    QSignalSpy picked(&view, &SectionStackView::sectionPicked);
    QTest::keyClick(&view, Qt::Key_Right);
    CHECK(view.chosen() == 0);
    QTest::keyClick(&view, Qt::Key_End);
    CHECK(view.chosen() == 4);
    QTest::keyClick(&view, Qt::Key_Right);
    CHECK(picked.size() == 2);
    QTest::keyClick(&view, Qt::Key_Left);
    CHECK(view.chosen() == 3);
    CHECK(view.accessibleDescription().startsWith("Chosen: section 4 at 180"));
    view.setUnits(UnitSystem::us);
    CHECK(view.accessibleDescription().contains("in"));
    std::vector<int> found;  // along the profile, from left to right
    for (int x = 2; x < 380; x += 4) {
        QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(x, 300));
        if (found.empty() || found.back() != view.chosen()) found.push_back(view.chosen());
    }
    CHECK(found == std::vector<int>{0, 1, 2, 3, 4});
    found.clear();  // and along the stack, where the rightmost lies on top
    for (int x = 2; x < 380; x += 4) {
        QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(x, 120));
        if (found.empty() || found.back() != view.chosen()) found.push_back(view.chosen());
    }
    CHECK(found == std::vector<int>{0, 1, 2, 3, 4});
    view.setSections({});
    CHECK(view.chosen() == -1);
}

TEST_CASE("a solid is picked by click, the one behind it by a second click, and by keys")
{
    SolidsView view;
    view.setSolids(solids());
    view.resize(380, 320);
    QSignalSpy picked(&view, &SolidsView::stepPicked);
    QTest::keyClick(&view, Qt::Key_Down);
    QTest::keyClick(&view, Qt::Key_Down);
    CHECK(view.chosen() == 1);
    CHECK(view.accessibleDescription().startsWith("Chosen: 2: Round frustum"));
    QTest::keyClick(&view, Qt::Key_End);
    CHECK(view.chosen() == 2);
    CHECK(picked.size() == 3);
    view.setChosen(-1);
    std::vector<int> found;
    for (int y = 40; y < 300; y += 6)
        for (int x = 10; x < 370; x += 6) {
            view.setChosen(-1);
            QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(x, y));
            const int first = view.chosen();
            if (first < 0) continue;
            QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(x, y));
            for (const int step : {first, view.chosen()})
                if (std::find(found.begin(), found.end(), step) == found.end()) found.push_back(step);
        }
    std::sort(found.begin(), found.end());
    CHECK(found == std::vector<int>{0, 1, 2});
}

TEST_CASE("a scan turns under the mouse and the arrows, zooms by the wheel, and fits by a double click")
{
    ScanView view;
    view.setScan(scan());
    view.resize(420, 360);
    const Orbit start = view.orbit();
    const QImage before = view.grab().toImage();
    QTest::mousePress(&view, Qt::LeftButton, {}, QPoint(200, 150));
    QTest::mouseMove(&view, QPoint(260, 170));
    QMouseEvent move(QEvent::MouseMove, QPointF(260, 170), view.mapToGlobal(QPointF(260, 170)), Qt::LeftButton,
                     Qt::LeftButton, {});
    QCoreApplication::sendEvent(&view, &move);
    QTest::mouseRelease(&view, Qt::LeftButton, {}, QPoint(260, 170));
    CHECK(view.orbit().turn < start.turn);
    CHECK(view.orbit().tilt > start.tilt);
    CHECK(view.grab().toImage() != before);
    const double turn = view.orbit().turn;
    QTest::keyClick(&view, Qt::Key_Left, Qt::ShiftModifier);
    CHECK(view.orbit().turn - turn == Approx(3.14159265 / 180).epsilon(1e-6));
    QTest::keyClick(&view, Qt::Key_Plus);
    CHECK(view.orbit().zoom == Approx(1.2));
    QWheelEvent wheel(QPointF(100, 100), view.mapToGlobal(QPointF(100, 100)), {}, {0, 240}, {}, {}, Qt::NoScrollPhase,
                      false);
    QCoreApplication::sendEvent(&view, &wheel);
    CHECK(view.orbit().zoom == Approx(1.2 * 1.44));
    QTest::mouseDClick(&view, Qt::LeftButton, {}, QPoint(200, 150));
    CHECK(view.orbit().zoom == 1);
    QTest::keyClick(&view, Qt::Key_Home);
    CHECK(view.orbit() == start);
}

TEST_CASE("an opening of a scan is picked by its number and in the list, and its line says size and place")
{
    ScanView view;
    view.setScan(scan());
    view.resize(420, 360);
    QSignalSpy picked(&view, &ScanView::openingPicked);
    QTest::keyClick(&view, Qt::Key_2);
    CHECK(view.chosen() == 1);
    QTest::keyClick(&view, Qt::Key_3);
    CHECK(view.chosen() == 1);
    QTest::mouseClick(&view, Qt::LeftButton, {}, QPoint(40, 360 - 28));
    CHECK(view.chosen() == 0);
    CHECK(picked.size() == 2);
    CHECK(openingLines(scan(), UnitSystem::metric)[1] == QString("2: 20\u00a0cm², half way on the +x side"));
    CHECK(openingLines(scan(), UnitSystem::us)[1].contains("in²"));
    CHECK(view.accessibleDescription().contains("half way on the +x side"));
}

TEST_CASE("a scan that was read keeps its patches behind its walls, and large ones are made lighter")
{
    Scan read;
    constexpr std::uint32_t side = 200;  // 2 side^2 triangles: a bowl, and a patch over a corner of it
    for (std::uint32_t j = 0; j <= side; ++j)
        for (std::uint32_t i = 0; i <= side; ++i) {
            const double x = i / double(side) - 0.5, y = j / double(side) - 0.5;
            read.mesh.points.push_back({0.3 * x, 0.3 * y, x * x + y * y});
        }
    const auto put = [&](std::uint32_t i, std::uint32_t j) {
        const std::uint32_t k = i + (side + 1) * j;
        read.mesh.triangles.push_back({k, k + 1, k + side + 2});
        read.mesh.triangles.push_back({k, k + side + 2, k + side + 1});
    };
    for (std::uint32_t j = 0; j < side; ++j)
        for (std::uint32_t i = 0; i < side; ++i)
            put(i, j);
    read.patchFrom = read.mesh.triangles.size();
    put(0, 0);
    read.openings.push_back({.centre = {0, 0, 0.1}, .area = 0.01, .place = "on top"});
    const ScanPicture picture = scanPictureOf(read);
    CHECK(picture.mesh.patchFrom <= 30000);
    CHECK(picture.mesh.patchFrom > 5000);
    CHECK(picture.mesh.triangles.size() == picture.mesh.patchFrom + 2);
    REQUIRE(picture.openings.size() == 1);
    CHECK(picture.openings[0].place == "on top");
    const auto& patch = picture.mesh.triangles.back();
    CHECK(picture.mesh.points[patch[0]][0] == Approx(-0.15F));
}

TEST_CASE("a mode's slice moves by keys and by its property, and the places are told with their pressure")
{
    ModesView view;
    view.setMode(field(), 2);
    view.setPlaces(places());
    view.resize(380, 300);
    QSignalSpy moved(&view, &ModesView::positionChanged), turned(&view, &ModesView::acrossChanged);
    QTest::keyClick(&view, Qt::Key_Home);
    CHECK(view.position() == 0);
    QTest::keyClick(&view, Qt::Key_Right);
    CHECK(view.position() == Approx(1.0 / 15));  // 16 layers across y
    QTest::keyClick(&view, Qt::Key_End);
    CHECK(view.position() == 1);
    CHECK(moved.size() == 3);
    CHECK(view.setProperty("position", 0.25));
    CHECK(view.position() == 0.25);
    view.setPosition(std::numeric_limits<double>::quiet_NaN());
    CHECK(view.position() == 0);
    QTest::keyClick(&view, Qt::Key_Down);
    CHECK(view.across() == SolidAxis::z);
    CHECK(turned.size() == 1);
    CHECK(view.accessibleDescription().contains("Mode 2, 612"));
    CHECK(view.accessibleDescription().contains("driver: 100"));
    CHECK(view.accessibleDescription().contains(QString("port: ") + QChar(0x2212)));
    ModeField broken = field();
    broken.inside.pop_back();
    view.setMode(broken, 1);
    CHECK_FALSE(view.accessibleDescription().contains("Mode"));
}

TEST_CASE("negative pressure is told from positive by a hatch, not by colour alone")
{
    ModeField f = field();
    const auto uneven = [&](float sign) {  // changes of tone along a row through the middle of the slice
        for (float& p : f.pressure)
            p = sign;
        QImage image(300, 240, QImage::Format_RGB32);
        QPainter painter(&image);
        paintMode(painter, QRectF(image.rect()), f, {}, lightPalette(), {});
        painter.end();
        int changes = 0;
        for (int x = 60; x < 150; ++x)
            changes += image.pixel(x, 130) != image.pixel(x + 1, 130);
        return changes;
    };
    CHECK(uneven(1) == 0);
    CHECK(uneven(-1) > 20);
}
