// SPDX-License-Identifier: GPL-3.0-or-later
// A visitor of describe.h that fills every key at random within its range: what is described is tested.
#pragma once

#include "core/document/describe.h"
#include "core/document/fields.h"

#include <cmath>
#include <random>

namespace portwright {

class ArbitraryVisitor {
public:
    explicit ArbitraryVisitor(std::mt19937_64& random) : random_(random) {}

    void table(std::string_view name) { table_ = name; }
    void heading() {}

    void number(std::string_view key, double& si)
    {
        const FieldInfo& info = *fieldInfo(table_, key);
        double number = std::uniform_real_distribution<double>(info.min, info.max)(random_);
        const double low = info.min > 0 ? info.min : 1e-9 * info.max;
        if (info.min >= 0 && chance(0.6))
            number = std::clamp(low * std::pow(info.max / low, part()), info.min, info.max);
        if (chance(0.3)) number = std::clamp(std::round(number * 100) / 100, info.min, info.max);
        // Half of the values are doubles as a computation leaves them: no decimal need hold them exactly.
        si = chance(0.5) ? number / info.perSi
                         : std::nextafter(number * (1 / info.perSi), (info.min + info.max) / 2 / info.perSi);
    }
    void number(std::string_view key, std::optional<double>& si)
    {
        maybe(si, [&](double& v) { number(key, v); });
    }
    void whole(std::string_view key, int& count)
    {
        const FieldInfo& info = *fieldInfo(table_, key);
        count = std::uniform_int_distribution<int>(static_cast<int>(info.min), static_cast<int>(info.max))(random_);
    }
    void whole(std::string_view key, std::optional<int>& count)
    {
        maybe(count, [&](int& v) { whole(key, v); });
    }
    void text(std::string_view, std::string& text, Presence = Presence::written)
    {
        constexpr std::array<const char*, 6> pieces{"pod", "\u03A9 ", "\"quoted\"", "line\nbreak\t", "\\", "\x01"};
        text.clear();
        for (int i = pick(4); i > 0; --i)
            text += pieces[static_cast<std::size_t>(pick(6))];
    }
    void flag(std::string_view, bool& set) { set = chance(0.3); }
    void row(std::string_view key, std::vector<double>& values, std::size_t)
    {
        values.resize(static_cast<std::size_t>(pick(4)));
        for (double& value : values)
            number(key, value);
    }
    void place(std::string_view key, Point3& place)
    {
        place = {};
        if (chance(0.5))
            for (double& part : place)
                number(key, part);
    }
    void points(std::string_view key, std::vector<Point2>& points, std::size_t)
    {
        points.resize(static_cast<std::size_t>(pick(5)));
        for (Point2& point : points)
            for (double& part : point)
                number(key, part);
    }
    void name(std::string_view key, std::string& text)
    {
        text = key == "driver" ? "d0" : key == "id" ? "d" + std::to_string(serial_++) : "x";
    }
    void numbers(std::string_view, std::map<std::string, double>& values)
    {
        values.clear();
        if (chance(0.3)) values["fs_hz"] = 10 * part();
        if (chance(0.3)) values["mms_g"] = part();
    }
    void onlyOne(std::string_view, std::string_view) {}
    void needs(std::string_view, std::string_view, std::string_view) {}
    void shuts(std::string_view) {}
    void unknown(UnknownKeys& keys)
    {
        keys.clear();
        if (chance(0.2)) keys.emplace_back("colour", R"({"name":"blue","parts":[1,2.50,null,{"deep":true}]})");
        if (chance(0.2)) keys.emplace_back("z/~\" key", "\"text\"");
    }
    template <class E, std::size_t N> void word(std::string_view, E& chosen, const std::array<Word<E>, N>& words)
    {
        chosen = words[static_cast<std::size_t>(pick(static_cast<int>(N)))].first;
    }
    template <class E, std::size_t N>
    void word(std::string_view key, std::optional<E>& chosen, const std::array<Word<E>, N>& words)
    {
        if (key == "cavity") return;  // "second" needs a second cavity
        maybe(chosen, [&](E& v) { word(key, v, words); });
    }
    template <class E, std::size_t N>
    void wordUnless(E usual, std::string_view key, E& chosen, const std::array<Word<E>, N>& words)
    {
        chosen = usual;
        if (chance(0.5)) word(key, chosen, words);
    }
    template <class E, std::size_t N>
    void words(std::string_view, std::map<std::string, E>& chosen, const std::array<Word<E>, N>& words)
    {
        chosen.clear();
        if (chance(0.5)) word("", chosen["qes"], words);
    }
    template <class T> void object(std::string_view, T& target)
    {
        ArbitraryVisitor inside(random_);
        describe(inside, target);
    }
    template <class T> void object(std::string_view key, std::optional<T>& target)
    {
        maybe(target, [&](T& v) { object(key, v); });
    }
    template <class T> void list(std::string_view, std::vector<T>& items, std::size_t, Presence presence)
    {
        items.resize(static_cast<std::size_t>(pick(4)) + (presence == Presence::required ? 1 : 0));
        for (std::size_t i = 0; i < items.size(); ++i) {
            ArbitraryVisitor inside(random_);
            inside.serial_ = static_cast<int>(i);
            describe(inside, items[i]);
        }
    }

private:
    template <class T, class Fill> void maybe(std::optional<T>& value, Fill fill)
    {
        value.reset();
        if (chance(0.6)) fill(value.emplace());
    }
    double part() { return std::uniform_real_distribution<double>(0, 1)(random_); }
    bool chance(double p) { return part() < p; }
    int pick(int n) { return std::uniform_int_distribution<int>(0, n - 1)(random_); }

    std::mt19937_64& random_;
    std::string_view table_;
    int serial_ = 0;
};

/// A project that the file can hold, every key possible; the same for the same seed.
inline Project arbitraryProject(unsigned seed)
{
    std::mt19937_64 random(seed);
    Project project;
    ArbitraryVisitor visitor(random);
    describe(visitor, project);
    if (project.air && project.air->pressure) project.air->altitude.reset();
    for (DriverSheet& d : project.drivers) {
        if (d.inductance) d.Le.reset();
        if (d.sensitivity && !d.sensitivityAt) d.sensitivityAt = SensitivityAt::oneWatt;
    }
    const auto settle = [](std::optional<Feed>& feed) {
        if (!feed) return;
        if (feed->voltage || !feed->power || !feed->into) feed->power = feed->into = std::nullopt;
    };
    settle(project.feed);
    for (Housing& h : project.housings) {
        settle(h.feed);
        if (h.secondCavity && !h.openings.empty()) h.openings.front().cavity = CavityId::second;
    }
    return project;
}

}  // namespace portwright
