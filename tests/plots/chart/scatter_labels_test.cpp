// SPDX-License-Identifier: GPL-3.0-or-later
#include "plots/chart/scatter_labels.h"

#include <catch2/catch.hpp>

#include <cmath>
#include <random>

using namespace portwright;

namespace {

constexpr double radius = 5;
const QRectF picture(0, 0, 400, 250);

std::vector<MarkToLabel> crowd(unsigned seed, int count, double spread)
{
    std::mt19937 random(seed);
    std::normal_distribution<> about(0, spread);
    std::vector<MarkToLabel> marks;
    for (int i = 0; i < count; ++i)
        marks.push_back({QPointF(200 + about(random), 125 + about(random) / 2), QSizeF(i < 9 ? 9 : 17, 11)});
    return marks;
}

double gapTo(const QRectF& box, const QPointF& at)
{
    return std::hypot(std::max({box.left() - at.x(), at.x() - box.right(), 0.0}),
                      std::max({box.top() - at.y(), at.y() - box.bottom(), 0.0}));
}

}  // namespace

TEST_CASE("labels of crowded points overlap neither marks nor each other, and keep inside")
{
    for (unsigned seed = 1; seed <= 200; ++seed) {
        const auto marks = crowd(seed, 3 + int(seed % 12), 5.0 + seed % 70);
        const QRectF words(190, 90, 60, 14);
        const auto labels = placedLabels(marks, picture, radius, {words});
        REQUIRE(labels.size() == marks.size());
        for (std::size_t i = 0; i < labels.size(); ++i) {
            if (!labels[i]) continue;
            CHECK_FALSE(labels[i]->box.intersects(words));
            CHECK(picture.contains(labels[i]->box));
            CHECK(labels[i]->box.size() == marks[i].label);
            for (const MarkToLabel& mark : marks)
                CHECK(gapTo(labels[i]->box, mark.at) >= radius);
            for (std::size_t k = 0; k < i; ++k)
                if (labels[k]) CHECK_FALSE(labels[k]->box.intersects(labels[i]->box));
        }
    }
}

TEST_CASE("a label far from its mark has a leader from the one to the other, one beside it has none")
{
    for (unsigned seed = 1; seed <= 100; ++seed) {
        const auto marks = crowd(seed, 10, 12);
        const auto labels = placedLabels(marks, picture, radius);
        for (std::size_t i = 0; i < labels.size(); ++i) {
            if (!labels[i]) continue;
            const double gap = gapTo(labels[i]->box, marks[i].at) - radius;
            if (labels[i]->leader.isNull()) {
                CHECK(gap < 2 * radius);  // at a corner it is a little farther than straight
                continue;
            }
            CHECK(std::hypot((labels[i]->leader.p1() - marks[i].at).x(), (labels[i]->leader.p1() - marks[i].at).y()) ==
                  Approx(radius));
            CHECK(gapTo(labels[i]->box, labels[i]->leader.p2()) < 0.5 * gap + radius);
        }
    }
}

TEST_CASE("a point alone has its label beside it, and in any crowd the first one has a label")
{
    const auto alone = placedLabels({{QPointF(200, 125), QSizeF(9, 11)}}, picture, radius);
    REQUIRE(alone.front());
    CHECK(alone.front()->leader.isNull());
    CHECK(alone.front()->box.left() > 200);
    for (unsigned seed = 1; seed <= 50; ++seed)
        CHECK(placedLabels(crowd(seed, 12, 8), picture, radius).front());
    // Where there is no room at all there is no label.
    CHECK_FALSE(placedLabels({{QPointF(5, 5), QSizeF(9, 11)}}, QRectF(0, 0, 12, 12), radius).front());
    CHECK(placedLabels({}, picture, radius).empty());
}

TEST_CASE("twelve ports in a cluster as a search finds them nearly all have their numbers")
{
    std::size_t placed = 0, all = 0;
    for (unsigned seed = 1; seed <= 50; ++seed) {
        const auto labels = placedLabels(crowd(seed, 12, 15), picture, radius);
        all += labels.size();
        placed += std::size_t(std::count_if(labels.begin(), labels.end(), [](const auto& l) { return bool(l); }));
    }
    CHECK(double(placed) > 0.9 * double(all));
}

TEST_CASE("a label without a leader stands clearly nearest to its own mark, in a stack of marks, too")
{
    std::vector<MarkToLabel> stack;
    for (int i = 0; i < 5; ++i)
        stack.push_back({QPointF(200 + i, 80 + 17.0 * i), QSizeF(9, 11)});
    for (unsigned seed = 0; seed <= 60; ++seed) {
        const auto marks = seed == 0 ? stack : crowd(seed, 12, 6.0 + seed % 30);
        const auto labels = placedLabels(marks, picture, radius);
        if (seed == 0)
            CHECK(std::all_of(labels.begin(), labels.end(), [](const auto& label) { return label.has_value(); }));
        for (std::size_t i = 0; i < labels.size(); ++i) {
            if (!labels[i] || !labels[i]->leader.isNull()) continue;
            for (std::size_t k = 0; k < marks.size(); ++k)
                if (k != i) CHECK(gapTo(labels[i]->box, marks[k].at) >= 1.39 * gapTo(labels[i]->box, marks[i].at));
        }
    }
}
