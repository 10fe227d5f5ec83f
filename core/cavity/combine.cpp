// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/combine.h"

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

}  // namespace

CombinedVolume combined(std::span<const VolumeEstimate> estimates)
{
    assert(!estimates.empty());
    CombinedVolume result;
    double weight = 0;
    for (const VolumeEstimate& e : estimates)
        weight += 1 / square(e.uncertainty);
    for (const VolumeEstimate& e : estimates) {
        result.weights.push_back(1 / (square(e.uncertainty) * weight));
        result.volume += result.weights.back() * e.volume;
    }
    result.uncertainty = 1 / std::sqrt(weight);
    if (estimates.size() < 2) return result;

    double chiSquare = 0;
    for (const VolumeEstimate& e : estimates)
        chiSquare += square((e.volume - result.volume) / e.uncertainty);
    result.disagreement = std::sqrt(chiSquare / double(estimates.size() - 1));
    if (result.disagreement > 1) result.uncertainty *= result.disagreement;

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
