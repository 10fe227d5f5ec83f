// SPDX-License-Identifier: GPL-3.0-or-later
// Length for a tuning and tuning from a length, in the model that knows the cavity, with what the port itself takes of
// the cavity in the same solution.
#pragma once

#include "core/port/port_tuning.h"
#include "core/quantity/quantity.h"
#include "core/response/model.h"

#include <functional>
#include <optional>
#include <string>

namespace portwright {

/// The room that is left once the port is in: `empty` holds the net volume without it.
CavityRoom roomWith(CavityRoom empty, const PortOpening& port);

/// A length to try, and how far the real thing is off from the model: its net volume times `volume`, and `end` more
/// length [m] beyond the mouths.
struct Cut {
    double length = 0;  ///< m
    double volume = 1, end = 0;
};

/// A port of any length in its cavity.
struct TuningOfCut {
    std::function<std::optional<double>(const Cut&)> tuning;  ///< Hz; nothing where such a port cannot be
    std::function<std::optional<std::string>(double length)> whyNot;
    double shortest = 0, longest = 3;  ///< m; flares and bends need some length
    /// Hz: the tuning that the other ports of its cavity give without it, below which none of any length brings it.
    std::optional<double> others = {};
};

/// By the equation of lines (port_tuning.h), microseconds each. `empty`: net volume without the port.
TuningOfCut tuningOfCut(const PortOpening& port, const CavityRoom& empty, const Air& air);

/// By the whole model of a housing, with all its other openings and the cavity's measured shape; some milliseconds
/// each. The net volume of the port's cavity is with the port as it now is.
TuningOfCut tuningOfCut(const Model& model, int opening);

/// A port and what comes of it.
struct SizedPort {
    double length = 0;           ///< m
    double tuning = 0;           ///< Hz
    double tuningPerLength = 0;  ///< Hz/m, what the port takes of the cavity included; below 0: longer tunes lower
};

/// Errors, as sentences: no length gives that tuning (even the shortest tunes lower, or the port would fill the cavity
/// before it gets there), or there can be no such port at all.
Result<SizedPort> lengthFor(double tuning, const TuningOfCut& cut);
Result<SizedPort> tuningAt(double length, const TuningOfCut& cut);

/// How far the tuning goes with a length that is off by `tolerance` [m] either way, Hz.
double tuningSpread(const SizedPort& port, double tolerance);

}  // namespace portwright
