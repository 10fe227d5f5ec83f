// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/combine.h"

#include <algorithm>
#include <cassert>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

double square(double x) { return x * x; }

// How many standard uncertainties one reading lies from the mean of the others.
double distanceFromOthers(std::span<const VolumeEstimate> estimates, std::size_t one)
{
    double weight = 0, sum = 0;
    for (std::size_t i = 0; i < estimates.size(); ++i) {
        if (i == one) continue;
        weight += 1 / square(estimates[i].uncertainty);
        sum += estimates[i].volume / square(estimates[i].uncertainty);
    }
    return std::abs(estimates[one].volume - sum / weight) / std::sqrt(square(estimates[one].uncertainty) + 1 / weight);
}

// The weighted mean, with `common` [m6] added to the variance of each.
CombinedVolume meanOf(std::span<const VolumeEstimate> estimates, double common)
{
    CombinedVolume result;
    double weight = 0;
    for (const VolumeEstimate& e : estimates) {
        result.weights.push_back(1 / (square(e.uncertainty) + common));
        weight += result.weights.back();
    }
    for (std::size_t i = 0; i < estimates.size(); ++i) {
        result.weights[i] /= weight;
        result.volume += result.weights[i] * estimates[i].volume;
    }
    result.uncertainty = 1 / std::sqrt(weight);
    double chiSquare = 0;
    for (const VolumeEstimate& e : estimates)
        chiSquare += square(e.volume - result.volume) / (square(e.uncertainty) + common);
    if (estimates.size() > 1) result.disagreement = std::sqrt(chiSquare / double(estimates.size() - 1));
    return result;
}

constexpr double noChance = 2;  // Birge ratio

// The common variance at which the ratio is noChance; it falls with the variance, and is below 1 at the upper end.
double commonVariance(std::span<const VolumeEstimate> estimates)
{
    const auto [least, most] = std::minmax_element(estimates.begin(), estimates.end(),
                                                   [](const auto& a, const auto& b) { return a.volume < b.volume; });
    double low = 0, high = double(estimates.size()) * square(most->volume - least->volume);
    while (high - low > 1e-12 * high) {
        const double middle = (low + high) / 2;
        (meanOf(estimates, middle).disagreement > noChance ? low : high) = middle;
    }
    return (low + high) / 2;
}

}  // namespace

CombinedVolume combined(std::span<const VolumeEstimate> estimates)
{
    assert(!estimates.empty());
    CombinedVolume result = meanOf(estimates, 0);
    if (estimates.size() < 2) return result;
    const double disagreement = result.disagreement;
    if (disagreement > noChance) result = meanOf(estimates, commonVariance(estimates));
    result.uncertainty *= std::clamp(disagreement, 1.0, noChance);
    result.disagreement = disagreement;

    constexpr double far = 2;
    for (std::size_t i = 0; i < estimates.size(); ++i)
        if (const double distance = distanceFromOthers(estimates, i); distance > far) {
            const std::string who = estimates.size() == 2
                                        ? fmt::format("{} and {}", estimates[0].name, estimates[1].name)
                                        : estimates[i].name;
            result.remarks.push_back(
                estimates.size() == 2
                    ? fmt::format(
                          "The readings by {} differ by {:.1f} times what their uncertainties explain; look for "
                          "a slip in one of them.",
                          who, distance)
                    : fmt::format("The reading by {} lies {:.1f} standard uncertainties from the others; look for a "
                                  "slip in it.",
                                  who, distance));
            if (estimates.size() == 2) break;
        }
    return result;
}

}  // namespace portwright
