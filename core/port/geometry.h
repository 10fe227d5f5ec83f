// SPDX-License-Identifier: GPL-3.0-or-later
// What a port is as a body: the room that it takes, its bends and flares. Lengths in m.
#pragma once

#include "core/housing/housing.h"

#include <array>
#include <vector>

namespace portwright {

double wallOf(const PortOpening& port);      ///< m, of the tube
double insideOf(const PortOpening& port);    ///< m of its length inside the cavity, by the defaults of the file
int sharedWallsOf(const PortOpening& port);  ///< 0 for round ports
double arcLength(const PortOpening& port);   ///< m along the centre line, of all its bends

/// How many of a slot's two sides, and of its two flats (top and bottom), are walls of its own.
struct OwnWalls {
    int sides = 2, flats = 2;
};
OwnWalls ownWalls(const PortOpening& port);

/// Width and height of one mouth, and of one tube with its own walls: what walls of the cavity serve adds none. Three
/// shared walls are both sides and the bottom of a slot, two a side and the bottom, one the bottom (its long side).
struct Outline {
    double width = 0, height = 0;
};
Outline boreOf(const PortOpening& port);
Outline outlineOf(const PortOpening& port);
double outlineArea(const PortOpening& port);  ///< m2, of one tube, straight part

/// Air that the port takes from the cavity inside, m3: the outline of all its tubes, bore included, the lip of an inner
/// flare with them. What sticks out takes nothing.
double outlineVolume(const PortOpening& port);

/// How tubes of one port stand: in a row along x, or in rows of `columns` where one row does not fit the width: about
/// as many rows as columns, fewer columns where these are still too wide.
/// Distances between centres are `spacing`, by default the outline's width and height: side by side.
struct Arrangement {
    int count = 1, columns = 1;
    double dx = 0, dy = 0;  ///< m
    /// Centres about the middle of the group.
    std::vector<std::array<double, 2>> centres() const;
    double width() const { return (columns - 1) * dx; }
    int rows() const { return (count + columns - 1) / columns; }
    double height() const { return (rows() - 1) * dy; }
};
Arrangement arrangementOf(const PortOpening& port, double roomWidth);

/// Inertance of a bent piece over that of a straight one of the same centre line, 0..1: round bore a, centre line R,
/// B = a/R: B^2/(2 (1 - sqrt(1 - B^2))); rectangular, w in the bend's plane: (w/R)/ln((R + w/2)/(R - w/2)). Slices at
/// low frequency; Nederveen, Acoustical Aspects of Woodwind Instruments, 1969; Keefe and Benade, JASA 74 (1983) 320
/// (from memory, re-derived). A slot is taken to bend over its height.
double bendFactor(const PortOpening& port, const Bend& bend);

/// Length of the straight port with the same inertance in its bore: the bends' shortening taken off, ends left out.
double straightLength(const PortOpening& port);

/// What a quarter-round flare of radius r, part of the length, adds to its end (less than 0), m: -0.434 a (r/a)^1.30.
/// Fitted to finite-element results of round ports, r <= a (tests/data/port_tuning.csv): 0.22 % of tuning flush, 0.48 %
/// on tubes reaching inside; beyond, and for slots (a = sqrt(S/pi)), carried on.
double flareLength(double flare, double radius);

}  // namespace portwright
