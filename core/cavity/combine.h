// SPDX-License-Identifier: GPL-3.0-or-later
// Several readings of the same volume to one.
#pragma once

#include <span>
#include <string>
#include <vector>

namespace portwright {

struct VolumeEstimate {
    std::string name;        ///< for sentences: "water by weight, 3 readings"
    double volume = 0;       ///< m3
    double uncertainty = 0;  ///< m3, above 0
};

struct CombinedVolume {
    double volume = 0, uncertainty = 0;  ///< m3
    double disagreement =
        0;  ///< Birge ratio of the readings as given; 0 for a single reading, about 1 where readings agree
    std::vector<double> weights;       ///< one for each reading, in order; their sum is 1
    std::vector<std::string> remarks;  ///< which reading disagrees with the others, as whole sentences
};

/// The mean weighted with inverse variances (JCGM 100:2008; the least-squares estimate of independent readings). Where
/// the readings scatter more than their uncertainties allow, the Birge ratio sqrt(sum((x - mean)^2/u^2)/(n - 1)) above
/// 1 enlarges the uncertainty (R. T. Birge, Phys. Rev. 40 (1932) 207). Above 2 that is no chance any more: one more
/// variance, the same for all, is added to each reading until the ratio is 2, so that a slip that claims to be precise
/// does not win (after R. C. Paule, J. Mandel, "Consensus Values and Weighting Factors", J. Res. NBS 87 (1982) 377; all
/// pages from memory). A reading more than two standard uncertainties away from the mean of the others is named. Needs
/// at least one estimate.
CombinedVolume combined(std::span<const VolumeEstimate> estimates);

}  // namespace portwright
