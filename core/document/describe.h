// SPDX-License-Identifier: GPL-3.0-or-later
// The keys of the project file, once: what a reader reads and a writer writes, in the order written. A visitor offers
//   table(name)            the group of fieldInfo() that the numbers below belong to
//   number, whole          a number in SI by fieldInfo(); an optional one may be absent
//   text, name             text that may be absent, text that must be there
//   flag                   true, or absent
//   row, points, place     a list of numbers, of pairs, one triple; written when there is something in it
//   word, wordUnless       one of a table of words; the usual one may be absent
//   object, list, map      nested values
//   onlyOne, needs, shuts  rules between keys
//   unknown                the keys that are left over, kept
#pragma once

#include "core/document/describe_measurement.h"
#include "core/document/describe_tools.h"
#include "core/document/project.h"

namespace portwright {

inline constexpr std::array<Word<Origin>, 4> originWords{{{Origin::datasheet, "datasheet"},
                                                          {Origin::measured, "measured"},
                                                          {Origin::derived, "derived"},
                                                          {Origin::guessed, "guessed"}}};
inline constexpr std::array<Word<SensitivityAt>, 2> sensitivityWords{
    {{SensitivityAt::oneWatt, "1w"}, {SensitivityAt::voltage283, "2.83v"}}};
inline constexpr std::array<Word<Wiring>, 2> wiringWords{{{Wiring::parallel, "parallel"}, {Wiring::series, "series"}}};
inline constexpr std::array<Word<OutlineFamily>, 3> outlineWords{
    {{OutlineFamily::lower, "lower"}, {OutlineFamily::fairing, "fairing"}, {OutlineFamily::lid, "lid"}}};
inline constexpr std::array<Word<CavityId>, 2> cavityWords{{{CavityId::main, "main"}, {CavityId::second, "second"}}};
inline constexpr std::array<Word<TubeEnd>, 2> tubeEndWords{{{TubeEnd::free, "free"}, {TubeEnd::flush, "flush"}}};
inline constexpr std::array<Word<PortShape>, 2> portShapeWords{
    {{PortShape::round, "round"}, {PortShape::slot, "slot"}}};
inline constexpr std::array<Word<ReadAs>, 2> readAsWords{
    {{ReadAs::tuning, "tuning"}, {ReadAs::impedanceDip, "impedance-dip"}}};
inline constexpr std::array<Word<Space>, 2> spaceWords{{{Space::half, "half"}, {Space::full, "full"}}};
inline constexpr std::array<Word<bool>, 1> endCorrectionWords{{{true, "classical"}}};

enum class InductanceModel { twoInductor, semi };
inline constexpr std::array<Word<InductanceModel>, 2> inductanceWords{
    {{InductanceModel::twoInductor, "two-inductor"}, {InductanceModel::semi, "semi"}}};
enum class OpeningKind { leak, port, passive };
inline constexpr std::array<Word<OpeningKind>, 3> openingWords{
    {{OpeningKind::leak, "leak"}, {OpeningKind::port, "port"}, {OpeningKind::passive, "passive"}}};
enum class LeakShape { hole, slit };
inline constexpr std::array<Word<LeakShape>, 2> leakShapeWords{{{LeakShape::hole, "hole"}, {LeakShape::slit, "slit"}}};
enum class PartKind { capacitor, coil, resistor };
inline constexpr std::array<Word<PartKind>, 3> partWords{
    {{PartKind::capacitor, "capacitor"}, {PartKind::coil, "coil"}, {PartKind::resistor, "resistor"}}};

inline constexpr std::size_t mostDrivers = 500, mostHousings = 500, mostOpenings = 50, mostSeriesParts = 50,
                             mostBends = 50, mostPortReadings = 100;

template <class Visitor> void describe(Visitor& v, AirConditions& air)
{
    v.table("air");
    v.number("temperature_c", air.temperature);
    v.number("altitude_m", air.altitude);
    v.number("pressure_pa", air.pressure);
    v.number("relative_humidity_pct", air.relativeHumidity);
    v.onlyOne("pressure_pa", "altitude_m");
    v.unknown(air.unknown);
}

/// The object "inductance" with what else stands in it.
struct InductanceObject {
    Inductance inductance = TwoInductor{};
    UnknownKeys unknown;
};

template <class Visitor> void describe(Visitor& v, InductanceObject& object)
{
    InductanceModel model = std::holds_alternative<SemiInductance>(object.inductance) ? InductanceModel::semi
                                                                                      : InductanceModel::twoInductor;
    v.table("inductance");
    v.word("model", model, inductanceWords);
    if (model == InductanceModel::twoInductor) {
        auto& two = alternative<TwoInductor>(object.inductance);
        v.number("le_mh", two.Le);
        v.number("l2_mh", two.L2);
        v.number("r2_ohm", two.R2);
    } else {
        auto& semi = alternative<SemiInductance>(object.inductance);
        v.number("k", semi.K);
        v.number("n", semi.n);
    }
    v.unknown(object.unknown);
}

template <class Visitor> void describeInductance(Visitor& v, DriverSheet& d)
{
    std::optional<InductanceObject> object;
    if (d.inductance) object = InductanceObject{*d.inductance, d.inductanceUnknown};
    v.object("inductance", object);
    d.inductance = object ? std::optional(object->inductance) : std::nullopt;
    d.inductanceUnknown = object ? object->unknown : UnknownKeys{};
}

template <class Visitor> void describe(Visitor& v, DriverSheet& d)
{
    v.table("driver");
    v.name("id", d.id);
    v.text("name", d.name);
    v.number("fs_hz", d.fs);
    v.number("qes", d.Qes);
    v.number("qms", d.Qms);
    v.number("qts", d.Qts);
    v.number("vas_l", d.Vas);
    v.number("cms_mm_n", d.Cms);
    v.number("mms_g", d.Mms);
    v.number("bl_t_m", d.Bl);
    v.number("rms_kg_s", d.Rms);
    v.number("sensitivity_db", d.sensitivity);
    v.word("sensitivity_at", d.sensitivityAt, sensitivityWords);
    v.number("re_ohm", d.Re);
    v.number("le_mh", d.Le);
    describeInductance(v, d);
    v.number("sd_cm2", d.Sd);
    v.number("xmax_mm", d.Xmax);
    v.number("xmech_mm", d.Xmech);
    v.number("power_w", d.power);
    v.number("nominal_ohm", d.nominalImpedance);
    v.number("displacement_l", d.displacement);
    v.words("origin", d.origin, originWords);
    v.numbers("uncertainty", d.uncertainty);
    v.onlyOne("le_mh", "inductance");
    v.needs("sensitivity_db", "sensitivity_at",
            "say whether the sensitivity is at 1 W (\"1w\") or at 2.83 V (\"2.83v\")");
    v.unknown(d.unknown);
}

template <class Visitor> void describe(Visitor& v, RoomForPort& room)
{
    v.table("room_for_port");
    v.number("straight_mm", room.straight);
    v.number("across_mm", room.across);
    v.number("mouth_width_mm", room.mouthWidth);
    v.number("mouth_height_mm", room.mouthHeight);
    v.number("wall_mm", room.wall);
    v.unknown(room.unknown);
}

template <class Visitor> void describeCavity(Visitor& v, Cavity& cavity)
{
    v.table("cavity");
    v.list("measurements", cavity.measurements, mostMeasurements, Presence::optional);
    v.list("deductions", cavity.deductions, mostDeductions, Presence::optional);
    if (cavity.measurements.empty()) {
        v.number("net_volume_l", cavity.netVolume);
    } else {
        std::optional<double> stated = cavity.netVolume > 0 ? std::optional(cavity.netVolume) : std::nullopt;
        v.number("net_volume_l", stated);
        cavity.netVolume = stated.value_or(0);
    }
    v.number("net_uncertainty_l", cavity.netUncertainty);
    v.number("fill_factor", cavity.fillFactor);
    v.number("absorption_q", cavity.absorptionQ);
    v.word("outline", cavity.outline, outlineWords);
    v.word("model", cavity.model, cavityModelWords);
    v.number("driver_at_mm", cavity.driverAt);
    v.number("width_mm", cavity.width);
    v.number("breadth_mm", cavity.breadth);
    v.number("depth_mm", cavity.depth);
    v.object("room_for_port", cavity.roomForPort);
}

template <class Visitor> void describe(Visitor& v, Cavity& cavity)
{
    describeCavity(v, cavity);
    v.unknown(cavity.unknown);
}

template <class Visitor> void describe(Visitor& v, Hole& hole)
{
    v.table("hole");
    v.number("diameter_mm", hole.diameter);
    v.number("depth_mm", hole.depth);
    v.number("loss_q", hole.lossQ);
    v.unknown(hole.unknown);
}

template <class Visitor> void describe(Visitor& v, SecondCavity& second)
{
    describeCavity(v, second.cavity);
    v.object("hole", second.hole);
    v.unknown(second.cavity.unknown);
}

template <class Visitor> void describeLeak(Visitor& v, Opening& opening)
{
    std::optional<LeakShape> shape;
    if (std::holds_alternative<LeakHole>(opening.kind)) shape = LeakShape::hole;
    if (std::holds_alternative<LeakSlit>(opening.kind)) shape = LeakShape::slit;
    v.table("leak");
    v.onlyOne("q", "shape");
    v.word("shape", shape, leakShapeWords);
    if (!shape) {
        v.number("q", alternative<LeakByQ>(opening.kind).q);
    } else if (*shape == LeakShape::hole) {
        auto& hole = alternative<LeakHole>(opening.kind);
        v.shuts("q");
        v.whole("count", hole.count);
        v.number("diameter_mm", hole.diameter);
        v.number("depth_mm", hole.depth);
    } else {
        auto& slit = alternative<LeakSlit>(opening.kind);
        v.shuts("q");
        v.number("width_mm", slit.width);
        v.number("height_mm", slit.height);
        v.number("depth_mm", slit.depth);
    }
}

template <class Visitor> void describe(Visitor& v, Bend& bend)
{
    v.table("bend");
    v.number("angle_deg", bend.angle);
    v.number("radius_mm", bend.radius);
    v.unknown(bend.unknown);
}

template <class Visitor> void describe(Visitor& v, PortReading& reading)
{
    v.table("port_reading");
    v.number("length_mm", reading.length);
    v.number("fb_hz", reading.frequency);
    v.number("uncertainty_hz", reading.uncertainty);
    v.word("read_as", reading.readAs, readAsWords);
    v.unknown(reading.unknown);
}

template <class Visitor> void describePort(Visitor& v, PortOpening& port)
{
    std::optional<bool> classical = port.classical ? std::optional(true) : std::nullopt;
    v.table("port");
    v.word("shape", port.shape, portShapeWords);
    v.whole("count", port.count);
    if (port.shape == PortShape::round) {
        v.number("diameter_mm", port.diameter);
    } else {
        v.number("width_mm", port.width);
        v.number("height_mm", port.height);
    }
    v.number("length_mm", port.length);
    v.word("inner_end", port.innerEnd, tubeEndWords);
    v.word("outer_end", port.outerEnd, tubeEndWords);
    v.word("end_correction", classical, endCorrectionWords);
    v.number("loss_q", port.lossQ);
    v.number("at_mm", port.at);
    v.number("wall_mm", port.wall);
    v.number("inside_mm", port.inside);
    v.number("inner_flare_mm", port.innerFlare);
    v.number("outer_flare_mm", port.outerFlare);
    v.list("bends", port.bends, mostBends, Presence::optional);
    v.whole("shared_walls", port.sharedWalls);
    v.number("x_mm", port.x);
    v.number("y_mm", port.y);
    v.number("obstacle_mm", port.obstacle);
    v.number("front_mm", port.front);
    v.number("spacing_mm", port.spacing);
    v.number("separation_k", port.separationK);
    v.number("wanted_fb_hz", port.wantedTuning);
    v.list("readings", port.readings, mostPortReadings, Presence::optional);
    port.classical = classical.has_value();
}

template <class Visitor> void describePassive(Visitor& v, PassiveRadiator& radiator)
{
    v.table("passive");
    v.number("sd_cm2", radiator.Sd);
    v.number("mmp_g", radiator.Mmp);
    v.number("cms_mm_n", radiator.Cms);
    v.number("rms_kg_s", radiator.Rms);
}

template <class Visitor> void describe(Visitor& v, Opening& opening)
{
    OpeningKind kind = OpeningKind::leak;
    if (std::holds_alternative<PortOpening>(opening.kind)) kind = OpeningKind::port;
    if (std::holds_alternative<PassiveRadiator>(opening.kind)) kind = OpeningKind::passive;
    v.word("kind", kind, openingWords);
    v.word("cavity", opening.cavity, cavityWords);
    if (kind == OpeningKind::leak) describeLeak(v, opening);
    if (kind == OpeningKind::port) describePort(v, alternative<PortOpening>(opening.kind));
    if (kind == OpeningKind::passive) describePassive(v, alternative<PassiveRadiator>(opening.kind));
    v.unknown(opening.unknown);
}

template <class Visitor> void describe(Visitor& v, SeriesPart& part)
{
    PartKind kind = PartKind::capacitor;
    if (std::holds_alternative<SeriesCoil>(part.part)) kind = PartKind::coil;
    if (std::holds_alternative<SeriesResistor>(part.part)) kind = PartKind::resistor;
    v.table("series_part");
    v.word("kind", kind, partWords);
    if (kind == PartKind::capacitor) v.number("uf", alternative<SeriesCapacitor>(part.part).C);
    if (kind == PartKind::coil) {
        auto& coil = alternative<SeriesCoil>(part.part);
        v.number("mh", coil.L);
        v.number("ohm", coil.resistance);
    }
    if (kind == PartKind::resistor) v.number("ohm", alternative<SeriesResistor>(part.part).R);
    v.unknown(part.unknown);
}

template <class Visitor> void describe(Visitor& v, HighPass& filter)
{
    v.table("high_pass");
    v.whole("order", filter.order);
    v.number("corner_hz", filter.corner);
    v.unknown(filter.unknown);
}

template <class Visitor> void describe(Visitor& v, AmplifierRating& rating)
{
    v.table("amplifier");
    v.number("rated_w", rating.power);
    v.number("rated_ohm", rating.impedance);
    v.unknown(rating.unknown);
}

template <class Visitor> void describe(Visitor& v, Feed& feed)
{
    v.table("feed");
    v.number("voltage_v", feed.voltage);
    v.number("power_w", feed.power);
    v.number("into_ohm", feed.into);
    v.number("source_ohm", feed.sourceResistance);
    v.list("series_parts", feed.seriesParts, mostSeriesParts, Presence::optional);
    v.object("high_pass", feed.highPass);
    v.object("amplifier", feed.amplifier);
    v.onlyOne("voltage_v", "power_w");
    v.needs("power_w", "into_ohm", "a feed power needs the load it is meant for");
    v.needs("into_ohm", "power_w", "a load alone says no voltage; give the power too");
    v.unknown(feed.unknown);
}

template <class Visitor> void describe(Visitor& v, Place& place)
{
    v.table("place");
    v.number("distance_m", place.distance);
    v.word("space", place.space, spaceWords);
    v.unknown(place.unknown);
}

template <class Visitor> void describe(Visitor& v, LimitSettings& limits)
{
    v.table("limits");
    v.number("port_air_m_s", limits.portAir);
    v.unknown(limits.unknown);
}

template <class Visitor> void describe(Visitor& v, Housing& h)
{
    v.table("housing");
    v.name("id", h.id);
    v.text("name", h.name);
    v.name("driver", h.driver);
    v.whole("driver_count", h.driverCount);
    v.word("wiring", h.wiring, wiringWords);
    v.object("cavity", h.cavity);
    v.object("second_cavity", h.secondCavity);
    v.list("openings", h.openings, mostOpenings, Presence::written);
    v.object("feed", h.feed);
    v.unknown(h.unknown);
}

template <class Visitor> void describe(Visitor& v, Project& project)
{
    v.heading();
    v.text("title", project.title);
    v.text("notes", project.notes);
    v.object("air", project.air);
    v.list("drivers", project.drivers, mostDrivers, Presence::required);
    v.list("housings", project.housings, mostHousings, Presence::required);
    v.object("feed", project.feed);
    v.object("place", project.place);
    v.object("limits", project.limits);
    v.unknown(project.unknown);
}

}  // namespace portwright
