// SPDX-License-Identifier: GPL-3.0-or-later
// From a project to a network with known element values: what each housing of a job is, acoustically and electrically.
#pragma once

#include "core/document/project.h"
#include "core/network/network.h"

#include <optional>
#include <vector>

namespace portwright {

enum class SystemKind { closed, vented, passive };

/// What can be added to "this driver in an endless baffle", in this order; see ledger.h.
enum class Cause {
    airSpring,
    leakAndLining,
    opening,
    secondCavity,
    inductance,
    sourceAndSeries,
    highPass,
    space,
    distance
};
inline constexpr int causeCount = 9;

/// An acoustic element of the housing with its final values, and which cause it belongs to.
struct HousingElement {
    Element element;  ///< joins mainCavity, secondCavityNode, stations and ground
    Cause cause;
    int opening = -1;         ///< index in Housing::openings, -1: cavity or hole
    bool toOutside = false;   ///< its flow reaches the outside air
    double sectionOfOne = 0;  ///< ports: m2 of one tube
    int count = 1;            ///< ports: tubes side by side
    double separation = 0;    ///< ports: r of p = r |U| U at the ends [Pa s2/m6], see separationFactor(); 0: none
};

/// A housing resolved: all element values are those of the final housing.
struct Model {
    Air air;
    CompleteDriver driver;
    int driverCount = 1;
    Wiring wiring = Wiring::parallel;
    SystemKind kind = SystemKind::closed;
    double Cab = 0;     ///< main cavity with fill, m3/Pa
    double omega0 = 0;  ///< the w0 of all losses given by Q, rad/s
    /// How the main cavity is reckoned. Unless it asks for one spring, ports that are not classical stand in segments:
    /// of its shape, or of the box that it is taken for (port_tuning.h); other cavities of known shape as modelChoice
    /// finds.
    CavityModel cavityModel = CavityModel::lumped;
    /// Names of the nodes along the axes of segmented cavities, besides the two below. The second cavity is segmented
    /// by itself, where ports that are not classical open from it, unless its own model asks for one spring.
    std::vector<std::string> stations;
    std::vector<HousingElement> elements;
    double voltage = 0;  ///< feed, V rms
    double sourceResistance = 0;
    std::vector<SeriesElement> seriesParts;  ///< in order, nodes unset
    std::optional<HighPass> highPass;
    std::optional<double> amplifierLimit;  ///< V rms
    std::optional<double> ratedImpedance;  ///< of the amplifier, ohm
    double distance = 1;                   ///< m
    double solidAngle = 0;                 ///< 2 pi or 4 pi
    double portAirLimit = 17;              ///< m/s peak
    Housing housing;                       ///< as given, for words
};

/// The model of one housing of a project. Errors carry a JSON pointer ("/housings/1/cavity/net_volume_l") as field.
Result<Model> modelOf(const Project& project, std::size_t housingIndex);

/// The model from its parts, all of them valid: air, completed driver, housing (openings in the second cavity only if
/// it has one), feed in force, place, port-air limit [m/s peak].
Model modelFrom(const Air& air, CompleteDriver driver, const Housing& housing, const Feed& feed, const Place& place,
                double portAirLimit = defaultPortAirLimit);

/// The same driver, air, feed and place with another housing.
Model withHousing(Model model, const Housing& housing);

/// Total impedance of the wired group of coils without inductance, ohm (Re n or Re/n).
double groupResistance(const Model& model);

/// Nodes of Model::elements, before assembling: where the drivers are in the main cavity, where the hole is in the
/// second one, and from firstStation on Model::stations. The main cavity's leaks and passive radiators and its end of
/// the hole are where the drivers are, those of the second cavity at the hole.
inline constexpr Node mainCavity{0}, secondCavityNode{1};
inline constexpr int firstStation = 2;

struct AssembleOptions {
    int causes = causeCount;  ///< the first n causes are in
    bool lossesOnly = false;  ///< every coil, capacitor and filter of driver and feed left out, resistances stay, and
                              ///< ports as at a small signal: without the separation that grows with loudness
};

/// The network of a model with some of its causes in, fed by 1 V, as it is at a small signal: the feed's voltage and
/// high-pass are factors on its solution (feedFactor), since all in it is linear. What separation at the ports' ends
/// adds at the feed in force: fed_network.h.
struct Assembled {
    struct Included {
        std::size_t network, model;  ///< index in network.elements, index in Model::elements
    };
    Network network;
    Node terminal;                     ///< plus terminal of the wired group
    std::vector<std::size_t> drivers;  ///< DriverElements in network.elements
    std::vector<Included> elements;
};
Assembled assemble(const Model& model, const AssembleOptions& options = {});

/// The housing's air alone, its drivers away, held at 1 Pa where they were: node 0 of a network that can be solved.
Network airOf(const Model& model);

/// Feed voltage times high-pass at w [rad/s] and its derivative, V rms at the amplifier's output.
FilterAt feedFactor(const Model& model, double omega, const AssembleOptions& options = {});

}  // namespace portwright
