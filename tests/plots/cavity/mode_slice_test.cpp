// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/cavity/mode_slice.h"

#include <catch2/catch.hpp>
#include <rapidcheck/catch.h>

#include <cmath>
#include <functional>
#include <limits>

using namespace portwright;

namespace {

/// A box of air inside one layer of wall, with this pressure by place.
ModeField field(std::array<int, 3> air, const std::function<double(const Point3&)>& pressure)
{
    ModeField f;
    f.frequency = 500;
    f.cell = 0.01;
    f.origin = {0.1, -0.2, 0.3};
    for (std::size_t i = 0; i < 3; ++i)
        f.size[i] = air[i] + 2;
    for (int k = 0; k < f.size[2]; ++k)
        for (int j = 0; j < f.size[1]; ++j)
            for (int i = 0; i < f.size[0]; ++i) {
                const bool in = i > 0 && j > 0 && k > 0 && i <= air[0] && j <= air[1] && k <= air[2];
                f.inside.push_back(in ? 1 : 0);
                const Point3 at{f.origin[0] + (i + 0.5) * f.cell, f.origin[1] + (j + 0.5) * f.cell,
                                f.origin[2] + (k + 0.5) * f.cell};
                f.pressure.push_back(in ? float(pressure(at)) : std::numeric_limits<float>::quiet_NaN());
            }
    return f;
}

double lengthOf(const QVector<QLineF>& lines)
{
    double sum = 0;
    for (const QLineF& l : lines)
        sum += l.length();
    return sum;
}

}  // namespace

TEST_CASE("the node of a pressure that rises straight is a straight line from wall to wall where it is zero")
{
    rc::prop("any place of the node, across each axis", [] {
        const SolidAxis across = *rc::gen::element(SolidAxis::x, SolidAxis::y, SolidAxis::z);
        const std::size_t right = across == SolidAxis::x ? 1 : 0;
        const std::array<double, 3> start{0.11, -0.19, 0.31};  // of the air
        const double node = start[right] + *rc::gen::inRange(15, 85) / 1000.0;
        const ModeField f = field({10, 10, 10}, [&](const Point3& p) { return 7 * (p[right] - node); });
        const ModeSlice slice = sliceOf(f, across, 5);
        const QVector<QLineF> lines = nodeLine(slice);
        for (const QLineF& l : lines) {
            RC_ASSERT(std::abs(l.x1() - node) < 1e-6);  // of floats
            RC_ASSERT(std::abs(l.x2() - node) < 1e-6);
        }
        RC_ASSERT(std::abs(lengthOf(lines) - 0.1) < 1e-6);
    });
}

TEST_CASE("pressure of one sign has no node, and the wall goes once around the air")
{
    const ModeField f = field({8, 5, 3}, [](const Point3&) { return 2.5; });
    const ModeSlice slice = sliceOf(f, SolidAxis::y, 3);
    CHECK(nodeLine(slice).isEmpty());
    CHECK(lengthOf(wallLine(slice)) == Approx(2 * (0.08 + 0.03)));
    CHECK(wallLine(slice).size() == 4);
    CHECK(slice.pressure[std::size_t(1 + slice.columns)] == 1);
    CHECK(wallLine(sliceOf(f, SolidAxis::y, 0)).isEmpty());  // a layer of wall alone
}

TEST_CASE("a node runs through corners of the cavity only where there is air")
{
    ModeField f = field({10, 10, 10}, [](const Point3& p) { return p[0] - 0.1602; });
    for (int k = 0; k < 12; ++k)
        for (int j = 0; j < 12; ++j)
            for (int i = 0; i < 12; ++i)
                if (k > 6) f.inside[std::size_t(i + 12 * (j + 12 * k))] = 0;
    const QVector<QLineF> lines = nodeLine(sliceOf(f, SolidAxis::y, 5));
    CHECK(lengthOf(lines) == Approx(0.06).margin(1e-6));
    for (const QLineF& l : lines)
        CHECK(std::max(l.y1(), l.y2()) < 0.37 + 1e-9);
}

TEST_CASE("a slice has the places of its plane: right and up by the axis it crosses")
{
    const ModeField f = field({4, 5, 6}, [](const Point3& p) { return p[0] + 10 * p[1] + 100 * p[2]; });
    for (const SolidAxis across : {SolidAxis::x, SolidAxis::y, SolidAxis::z}) {
        const Point3 place{0.125, -0.175, 0.335};  // middle of an inner cell
        const int layer = layerAt(f, across, place[std::size_t(across)]);
        const ModeSlice slice = sliceOf(f, across, layer);
        CHECK(layersOf(f, across) == f.size[std::size_t(across)]);
        const QPointF at = onSlice(across, place);
        const auto column = int((at.x() - slice.box.left()) / f.cell), row = int((at.y() - slice.box.top()) / f.cell);
        const double greatest = 0.145 + 10 * -0.145 + 100 * 0.365;
        const double least = 0.115 + 10 * -0.185 + 100 * 0.315;
        const double wanted = (place[0] + 10 * place[1] + 100 * place[2]) / std::max(greatest, -least);
        CHECK(slice.pressure[std::size_t(column + slice.columns * row)] == Approx(wanted).epsilon(1e-5));
        CHECK(*pressureAt(f, place) == Approx(wanted).epsilon(1e-5));
    }
    CHECK(layerAt(f, SolidAxis::x, -9) == 0);
    CHECK(layerAt(f, SolidAxis::x, 9) == 5);
}

TEST_CASE("a place in the wall takes the pressure of the air beside it, one far away none")
{
    const ModeField f = field({4, 4, 4}, [](const Point3& p) { return p[2] - 0.33; });
    CHECK(*pressureAt(f, {0.125, -0.175, 0.295}) == Approx(-1));
    CHECK_FALSE(pressureAt(f, {2, 2, 2}));
    CHECK_FALSE(pressureAt(f, {std::nan(""), 0, 0}));
}

TEST_CASE("fields that do not hold together are told")
{
    ModeField f = field({2, 2, 2}, [](const Point3&) { return 1.0; });
    CHECK(consistent(f));
    f.pressure.pop_back();
    CHECK_FALSE(consistent(f));
    CHECK_FALSE(consistent({}));
    f = field({2, 2, 2}, [](const Point3&) { return std::nan(""); });
    CHECK_FALSE(consistent(f));
}
