// SPDX-License-Identifier: GPL-3.0-or-later
// What cuts of assumed and of known outline share. Internal to plots. mm.
#pragma once

#include "plots/cut/cut_geometry.h"

namespace portwright {

// Proportions of a driver from its effective cone diameter d, used where only Sd is known.
inline constexpr double frameOf = 1.27, depthOf = 0.53, magnetWide = 0.62, magnetHigh = 0.2, coneDeep = 0.2;
inline constexpr double besideDriver = 12, besideTube = 14;  // mm
inline constexpr int mostTubes = 4;                          // that are drawn of one port

/// Gives a tube that has its other values its centre line, bends and flares. `below`: mm from the wall's inner face
/// that the first bend clears, as far as the straight parts reach.
void layTube(CutGeometry::Tube& tube, const CutPort& port, double below);

double coneDiameter(double Sd);  ///< mm from m2

/// Volume a driver takes, from the drawn parts: the magnet, and a frustum of basket and cone. mm3.
double drawnDriverVolume(double d);

/// The second cavity, with outline assumed, to the right of the first one, whose outline and breadth are there.
void placeSecond(const CutInput& input, CutGeometry& out);

/// The cut of an input with a profile.
CutGeometry profiledCut(const CutInput& input);

}  // namespace portwright
