// SPDX-License-Identifier: GPL-3.0-or-later
// A housing with one port, reckoned a million times a second for the ranking of a search: what does not change with the
// port is worked out once for some two dozen frequencies. Same physics as the network: driver, feed, filter and other
// openings as they are, port and cavity as lines with the ends of port_tuning.h, the driver where the housing has
// it. Separation at the ends is in the clean level, where the flow at the limit says what it takes; travel and flatness
// are those of a small signal. Left out: friction at the cavity's walls, and any measured shape (a box as deep stands
// for it). The ports that a search shows are reckoned again with all of it.
#pragma once

#include "core/port/port_tuning.h"
#include "core/response/model.h"

#include <array>
#include <vector>

namespace portwright {

inline constexpr int fastPoints = 24;
struct alignas(32) FastArray : std::array<double, fastPoints> {};

/// A complex value at each frequency.
struct FastComplex {
    FastArray re{}, im{};
};

/// What is judged, and over which frequencies [Hz].
struct FastBand {
    double from = 60, to = 160;  ///< level and flatness
    double lowest = 20;          ///< cone travel and the rest from here
};

/// All that does not depend on the port.
struct FastModel {
    FastArray frequency{}, omega{};  ///< both ends of the band among them
    FastArray frequencyStep{};       ///< logarithm of the next one over each
    int bandFrom = 0, bandTo = 0;    ///< indices, the second past the end
    int f3From = fastPoints - 1;     ///< index; f3 is looked for from here down, below the first standing wave
    FastComplex mechanical;          ///< Zm of one driver without its motor, N s/m
    FastComplex motor;               ///< Bl^2 over the electrical impedance, inductance and all
    double motorPlain = 0;           ///< the same with resistances alone
    double loadArea = 0;             ///< n Sd^2, m4
    FastComplex others;         ///< admittance of all other openings but leaks by q, and of a second cavity, m3/(Pa s)
    FastComplex othersOutside;  ///< the part of it that reaches the outside
    double leakLoss = 0;        ///< sum of 1/q
    double absorption = 0;      ///< 1/Q of the lining; 0: none
    double otherPorts = 0;      ///< sum of 1/M of the other ports, m4/kg
    FastArray level{};          ///< |p|^2 over |outflow|^2, the driver's force in it, Pa2
    FastArray plain{};          ///< the same over the level at high frequency, no inductance, no filter
    FastArray travel{};         ///< peak travel squared
    FastArray travelLimit{};    ///< over Xmax squared; 0: not judged
    FastArray flow{};           ///< peak volume velocity of the port squared, m6/s2
    FastArray power{};          ///< over the limit; 0: not judged
    FastArray amplifier{};      ///< over the limit, squared; 0: not judged
    Air air;
    double fill = 1;
    double driverAt = 0;  ///< m from the wall that the port is in
};

/// The model of a housing without the port that is looked for; other openings, ports too, stay. Errors as solve(), of
/// these.
Result<FastModel> fastModelOf(const Model& model, const FastBand& band);

/// What depends on the port but not on its length.
struct FastPort {
    FastComplex gamma, characteristic;  ///< of the line, 1/m; of one tube, Pa s/m3
    FastComplex outer;                  ///< impedance of one outer mouth
    double area = 0;                    ///< m2 of one tube
    int count = 1;
    double heldFrom = 0;      ///< of the inner end, 1/m
    double textbookEnds = 0;  ///< m, for the w0 of losses given by Q
    double airLimit = 17;     ///< m/s peak
    double separation = 0;    ///< r of p = r |U| U at the ends, U of all tubes [Pa s2/m6]
};
/// `same`: one of the same bore and outer end, whose line and mouth are taken over.
FastPort fastPortOf(const PortOpening& port, const PortInCavity& placed, double airLimit, const FastModel& model,
                    const FastPort* same = nullptr);

/// Where one candidate stands: what PortInCavity says of it.
struct FastPlace {
    double length = 0;                   ///< m of the line
    double nominal = 0;                  ///< m, mouth to mouth
    double l0 = 0, l2 = 0;               ///< inner end
    double A = 0, d = 0, A1 = 0, P = 0;  ///< the cavity's two lines
    double volume = 0;                   ///< m3
};

/// What a candidate is ranked by. Levels in dB re 20 uPa at the rider.
struct FastScores {
    double loudest = 0;  ///< the lowest over the band of the level at which the first limit is met
    double f3 = 0;       ///< Hz; infinite: below half the power wherever it is looked for
    double ripple = 0;   ///< dB, highest less lowest level over the band
    double travel = 0;   ///< m peak at the feed in force, the largest
    double over = 0;     ///< the largest ratio to a limit at the feed in force, 1: at the limit
    bool operator==(const FastScores&) const = default;
};

/// Reckons candidates of one port one after the other, each by turning the line of the one before it on: quickest with
/// equal steps of length. Results do not depend on the order beyond rounding (1e-12).
class FastResponse {
public:
    FastResponse(const FastModel& model, const FastPort& port) : model_(model), port_(port) {}
    FastScores at(const FastPlace& place);

private:
    const FastModel& model_;
    FastPort port_;
    FastComplex cosh_, sinh_;          // of gamma times the length
    FastComplex coshStep_, sinhStep_;  // of gamma times the step
    /// A length of the cavity's air with the cosine and sine of its phase.
    struct Turned {
        double length = -1, step = 0;
        FastArray cos{}, sin{}, cosStep{}, sinStep{};
    };
    Turned across_, beside_;  // between driver and mouth, and beyond the mouth
    FastArray driverStub_{};  // tan of the air beyond the driver
    double length_ = -1, step_ = 0, stubLength_ = 0;
    int turned_ = 0;
    void advanceLine(double length);
    void advanceAir(Turned& air, double length);
};

}  // namespace portwright
