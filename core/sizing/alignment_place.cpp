// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/sizing/alignment_place.h"

#include "core/response/summary.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>
#include <limits>
#include <unsupported/Eigen/Polynomials>

namespace portwright {

namespace {

constexpr double infinity = std::numeric_limits<double>::infinity();
double square(double x) { return x * x; }
double decibels(double power) { return 10 * std::log10(power); }

// G = S^4/(S^4 + a1 S^3 + a2 S^2 + a3 S + 1), S over sqrt(ws wb).
struct FilterShape {
    double a1, a2, a3;
};

// |G|^2 = y^4/(y^4 + A1 y^3 + A2 y^2 + A3 y + 1), y the square of the frequency.
struct PowerShape {
    double A1, A2, A3;
    explicit PowerShape(const FilterShape& f)
        : A1(square(f.a1) - 2 * f.a2), A2(square(f.a2) + 2 - 2 * f.a1 * f.a3), A3(square(f.a3) - 2 * f.a2)
    {
    }
    double at(double y) const { return 1 / (1 + A1 / y + A2 / (y * y) + A3 / (y * y * y) + 1 / (y * y * y * y)); }
};

FilterShape shapeOf(const VentedRatios& b)
{
    const double leak = std::isinf(b.QL) ? 0 : 1 / b.QL, r = std::sqrt(b.h);
    return {1 / (r * b.Qt) + r * leak, (b.alpha + 1 + square(b.h)) / b.h + leak / b.Qt, r / b.Qt + leak / r};
}

// Real positive roots of sum c[i] y^i, rising.
std::vector<double> positiveRoots(std::initializer_list<double> c)
{
    std::vector<double> roots;
    Eigen::PolynomialSolver<double, Eigen::Dynamic> solver(
        Eigen::Map<const Eigen::VectorXd>(c.begin(), Eigen::Index(c.size())));
    for (const auto& root : solver.roots())
        if (root.real() > 0 && std::abs(root.imag()) < 1e-7 * std::abs(root)) roots.push_back(root.real());
    std::sort(roots.begin(), roots.end());
    return roots;
}

// Where |G|^2 is level: A1 y^3 + 2 A2 y^2 + 3 A3 y + 4 = 0. Where A1 is next to nothing the highest turn is so far up,
// or so slight, that it does not show.
std::vector<double> levelPlaces(const PowerShape& p)
{
    constexpr double nothing = 1e-9;
    if (std::abs(p.A1) > nothing) return positiveRoots({4, 3 * p.A3, 2 * p.A2, p.A1});
    if (std::abs(p.A2) > nothing) return positiveRoots({4, 3 * p.A3, 2 * p.A2});
    return {};
}

FilterShape chebyshev(double k)
{
    const double k2 = k * k, D = (k2 * k2 + 6 * k2 + 1) / 8, root = std::sqrt(D), sqrt2 = std::sqrt(2.0);
    const double a3 = k * std::sqrt(4 + 2 * sqrt2) / std::sqrt(root);
    return {a3 / root * (1 - (1 - k2) / (2 * sqrt2)), (1 + k2 * (1 + sqrt2)) / root, a3};
}

FilterShape quasiButterworth(double a1)
{
    const double a2 = a1 * a1 / 2;  // A1 = 0, and a3 from A2 = 0
    return {a1, a2, (a2 * a2 + 2) / (2 * a1)};
}

// The box that has this shape with that leak: r = sqrt h solves r^4 - a1 QL r^3 + a3 QL r - 1 = 0 near sqrt(a3/a1).
VentedRatios boxOf(const FilterShape& f, double QL)
{
    if (std::isinf(QL)) {
        const double h = f.a3 / f.a1;
        return {1 / std::sqrt(f.a1 * f.a3), f.a2 * h - h * h - 1, h, QL};
    }
    // By Newton's steps: as eigenvalues of the polynomial two roots that lie close come out complex, and are missed.
    double r = std::sqrt(f.a3 / f.a1);
    for (int i = 0; i < 50; ++i) {
        const double r2 = r * r;
        const double step = (r2 * r2 - QL * r * (f.a1 * r2 - f.a3) - 1) / (4 * r * r2 - QL * (3 * f.a1 * r2 - f.a3));
        r -= step;
        if (std::abs(step) < 1e-15 * std::abs(r)) break;
    }
    const double h = r * r, Qt = QL * h / (f.a3 * r * QL - 1);
    return {Qt, f.a2 * h - h / (QL * Qt) - 1 - h * h, h, QL};
}

// The parameter between two at which the family's box has the wanted Qt, which rises from the first to the second.
template <class Shape> double parameterFor(double Qt, double QL, double low, double high, const Shape& shape)
{
    for (int i = 0; i < 60; ++i) {
        const double middle = std::sqrt(low * high);
        (boxOf(shape(middle), QL).Qt < Qt ? low : high) = middle;
    }
    return std::sqrt(low * high);
}

constexpr double lowestShare = 0.5;  // of fs; lower, a port does next to nothing

// Lowest f3 with no more than a tenth of a decibel above the least ripple that any tuning of this volume has.
VentedRatios bestTuned(VentedRatios box)
{
    constexpr int tunings = 600;
    constexpr double highest = 3, hardly = 0.1;  // of fs; dB
    std::vector<VentedFigures> figures;
    double least = infinity;
    const auto at = [&](int i) { return lowestShare * std::pow(highest / lowestShare, double(i) / (tunings - 1)); };
    for (int i = 0; i < tunings; ++i) {
        box.h = at(i);
        figures.push_back(figuresOf(box));
        least = std::min(least, figures.back().ripple);
    }
    int best = -1;
    for (int i = 0; i < tunings; ++i)
        if (figures[i].ripple <= least + hardly && (best < 0 || figures[i].f3 < figures[best].f3)) best = i;
    box.h = at(best);
    return box;
}

TunedVolume tunedVolume(const VentedRatios& box, double fs)
{
    const VentedFigures f = figuresOf(box);
    return {box.h * fs, f.f3 * fs, f.ripple};
}

// By q of the first leak that says so; several in parallel.
std::optional<double> leakOf(const Model& model)
{
    double losses = 0;
    for (const Opening& o : model.housing.openings)
        if (const auto* leak = std::get_if<LeakByQ>(&o.kind); leak && o.cavity != CavityId::second)
            losses += 1 / leak->q;
    return losses > 0 ? std::optional<double>(1 / losses) : std::nullopt;
}

// A housing as it is summed up anywhere else.
std::optional<TunedVolume> summedUp(const Model& m)
{
    const auto summary = summaryOf(m);
    if (!summary || !summary->f3) return std::nullopt;
    return TunedVolume{summary->fb, *summary->f3, summary->hump ? summary->hump->height : 0};
}

// With its ports away and its volume as it stands: its leaks then refer to the closed resonance, not to a tuning that
// is hardly there.
Model withoutPorts(const Model& m)
{
    Housing housing = m.housing;
    std::erase_if(housing.openings, [](const Opening& o) { return std::holds_alternative<PortOpening>(o.kind); });
    return withHousing(m, housing);
}

std::string rippleWords(double ripple)
{
    constexpr double unheard = 0.1;  // dB
    return ripple < unheard ? std::string("no hump") : fmt::format("a hump of {:.1f}\u00A0dB", ripple);
}

}  // namespace

std::string nameOf(Alignment alignment)
{
    return alignment == Alignment::QB3 ? "QB3" : alignment == Alignment::B4 ? "B4" : "C4";
}

VentedFigures figuresOf(const VentedRatios& box)
{
    const PowerShape p(shapeOf(box));
    VentedFigures f;
    const auto half = positiveRoots({-1, -p.A3, -p.A2, -p.A1, 1});  // y^4 = A1 y^3 + ...: half the power
    const double last = half.empty() ? 0 : half.back();
    f.f3 = std::sqrt(last * box.h);
    for (double y : levelPlaces(p)) {
        f.ripple = std::max(f.ripple, decibels(p.at(y)));
        if (y > last) f.sag = std::max(f.sag, -decibels(p.at(y)));
    }
    return f;
}

std::optional<AlignedBox> alignedBox(double Qt, double QL)
{
    constexpr double lowestQt = 0.1, butterworth = 2.6131259297527530;  // sqrt(4 + 2 sqrt 2)
    if (!(Qt >= lowestQt) || !(QL > 0)) return std::nullopt;
    AlignedBox found;
    found.box = boxOf(quasiButterworth(butterworth), QL);
    constexpr double same = 1e-6;
    if (Qt < found.box.Qt * (1 - same)) {
        found.alignment = Alignment::QB3;
        const double a1 = parameterFor(Qt, QL, 40, butterworth, quasiButterworth);
        found.box = boxOf(quasiButterworth(a1), QL);
    } else if (Qt > found.box.Qt * (1 + same)) {
        found.alignment = Alignment::C4;
        found.box = boxOf(chebyshev(parameterFor(Qt, QL, 1, 0.05, chebyshev)), QL);
    }
    // Past the family's end the search stops at another Qt.
    if (std::abs(found.box.Qt / Qt - 1) > 1e-6 || !(found.box.alpha > 0) || !std::isfinite(found.box.h))
        return std::nullopt;
    found.figures = figuresOf(found.box);
    return found;
}

AlignmentPlace alignmentPlace(const Model& m)
{
    AlignmentPlace place;
    const double R = groupResistance(m);
    double series = m.sourceResistance;
    for (const SeriesElement& part : m.seriesParts)
        series += part.R;
    const double Qe = m.driver.Qes * (R + series) / R, fs = m.driver.fs;
    place.Qt = Qe * m.driver.Qms / (Qe + m.driver.Qms);
    const auto leak = leakOf(m);
    place.assumedLeak = !leak;
    place.QL = leak.value_or(7);
    place.volume = m.housing.cavity.netVolume;
    const double spring = m.driverCount * Cas(m.driver.driver);  // m3/Pa of the suspensions
    place.alpha = spring / m.Cab;
    const auto box = [&](double h) { return VentedRatios{place.Qt, place.alpha, h, place.QL}; };
    const VentedRatios best = bestTuned(box(1));
    place.best = tunedVolume(best, fs);
    place.bestSealed = best.h <= lowestShare * 1.001;
    if (place.bestSealed) {
        place.best = summedUp(withoutPorts(m)).value_or(place.best);
        place.best.tuning.reset();
    }
    if (m.kind != SystemKind::closed) place.now = summedUp(m);
    if (place.now && !place.now->tuning) place.now.reset();
    place.wanted = alignedBox(place.Qt, place.QL);
    if (place.wanted) {
        place.wantedVolume = place.volume * place.alpha / place.wanted->box.alpha;
        place.aligned = tunedVolume(place.wanted->box, fs);
    }
    return place;
}

std::vector<std::string> alignmentWords(const AlignmentPlace& p, UnitSystem units)
{
    const auto hertz = [&](double f) { return formatQuantity(f, Dimension::frequency, units); };
    const auto volume = [&](double V) { return formatQuantity(V, Dimension::volume, units); };
    std::vector<std::string> words;
    const std::string leak = fmt::format(
        "QL {:.3g}{}", p.QL, p.assumedLeak ? ", the published default for boxes, since no leak is given" : "");
    if (p.wanted)
        words.push_back(fmt::format("With Qt {:.2f} ({}) the {} alignment wants {} tuned to {}: f3 {}, {}.", p.Qt, leak,
                                    nameOf(p.wanted->alignment), volume(p.wantedVolume), hertz(*p.aligned.tuning),
                                    hertz(p.aligned.f3), rippleWords(p.aligned.ripple)));
    else
        words.push_back(fmt::format("Qt {:.2f} ({}) is outside the classical alignments: no volume gives a flat vented "
                                    "response; any port makes a hump or a sag.",
                                    p.Qt, leak));
    std::string actual =
        p.bestSealed
            ? fmt::format("No port serves the {} there better than none: the less it does, the flatter, and without "
                          "one f3 is {}",
                          volume(p.volume), hertz(p.best.f3))
            : fmt::format("In the {} there, the lowest f3 without much of a hump comes with a tuning of {}: f3 {}, {}",
                          volume(p.volume), hertz(*p.best.tuning), hertz(p.best.f3), rippleWords(p.best.ripple));
    if (p.wanted)
        actual += fmt::format("; against the alignment that is {:.1f}\u00A0Hz {} in f3",
                              std::abs(p.best.f3 - p.aligned.f3), p.best.f3 > p.aligned.f3 ? "lost" : "won");
    words.push_back(actual + ".");
    if (p.now)
        words.push_back(fmt::format("As tuned now, to {}: f3 {}, {}.", hertz(*p.now->tuning), hertz(p.now->f3),
                                    rippleWords(p.now->ripple)));
    return words;
}

}  // namespace portwright
