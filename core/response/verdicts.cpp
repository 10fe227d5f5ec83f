// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/verdicts.h"

#include "core/port/air_speed.h"
#include "core/port/classical.h"
#include "core/port/free_run.h"
#include "core/port/port_tuning.h"
#include "core/port/separation.h"
#include "core/quantity/quantity.h"
#include "core/response/compression.h"
#include "core/response/remedies.h"

#include <algorithm>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

constexpr double lowestJudged = 20;  // Hz: below it there is no music
constexpr double nearShare = 0.9;    // within 10 % of a limit
constexpr double turbulent = 34;     // m/s, 10 % of the sound speed: above it a linear port says too much

const char* const commonPractice = "common practice, no source";
const char* const givenLimit = "given limit";

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string volts(double v) { return formatQuantity(v, Dimension::voltage); }

// A size as bought or cut, in whole millimetres (square centimetres), in the unit shown.
std::string wholeMillimetres(double metres, UnitSystem units)
{
    return formatQuantity(std::round(metres * 1e3) / 1e3, Dimension::bore, units);
}
std::string wholeCentimetres(double squareMetres, UnitSystem units)
{
    return formatQuantity(std::round(squareMetres * 1e4) / 1e4, Dimension::area, units);
}

// A limit as given: 17 m/s rather than 17.0.
std::string speedLimit(double metresPerSecond, UnitSystem units)
{
    const double shown = fromSi(shownUnit(Dimension::airSpeed, units), metresPerSecond);
    return fmt::format("{:g}", std::round(shown * 10) / 10);
}

// A voltage to stay under, rounded down: never towards harm.
double safeVoltage(double v) { return roundedDown(v, v < 10 ? 2 : 3); }

// Where a curve is past its limit, on the grid from 20 Hz up.
struct Excess {
    double peak = 0, peakFrequency = 0;
    struct Region {
        double from, to;  // Hz; from 0: it begins below what is judged
    };
    std::vector<Region> regions;
};

Excess excessOf(const Eigen::ArrayXd& frequency, const Eigen::ArrayXd& value, double limit)
{
    Excess e;
    const auto crossing = [&](Eigen::Index i) {  // between i and i + 1, linear in log frequency
        const double share = (limit - value[i]) / (value[i + 1] - value[i]);
        return frequency[i] * std::pow(frequency[i + 1] / frequency[i], share);
    };
    bool before = false, first = true;
    for (Eigen::Index i = 0; i < frequency.size(); ++i) {
        if (frequency[i] < lowestJudged) continue;
        if (value[i] > e.peak) {
            e.peak = value[i];
            e.peakFrequency = frequency[i];
        }
        const bool past = value[i] > limit;
        if (past && !before) e.regions.push_back({first ? 0 : crossing(i - 1), frequency[i]});
        if (past) e.regions.back().to = i + 1 < frequency.size() && value[i + 1] <= limit ? crossing(i) : frequency[i];
        before = past;
        first = false;
    }
    return e;
}

std::string whereOf(const Excess& e)
{
    std::string where;
    for (const Excess::Region& r : e.regions) {
        if (!where.empty()) where += " and ";
        where += r.from > 0 ? "from " + hertz(r.from) + " to " + hertz(r.to) : "below " + hertz(r.to);
    }
    return where;
}

State stateOf(double value, double limit)
{
    return value > limit ? State::over : value >= nearShare * limit ? State::near : State::holds;
}

// The curves from the lowest judged frequency up, that one among them: a curve that falls from below has its greatest
// judged value there and not at the next point of the grid.
Curves judgedPart(const Model& model, const Curves& all)
{
    Eigen::Index first = 0;
    while (first < all.frequency.size() && all.frequency[first] < lowestJudged)
        ++first;
    if (first == 0) return all;
    const auto edge = curvesOf(model, logGrid(lowestJudged, lowestJudged, 1));
    const Eigen::Index rest = all.frequency.size() - first;
    const bool added = edge && (rest == 0 || all.frequency[first] > lowestJudged);
    const auto from20 = [&](const Eigen::ArrayXd& whole, const Eigen::ArrayXd& atEdge) -> Eigen::ArrayXd {
        if (!added) return whole.tail(rest);
        Eigen::ArrayXd part(rest + 1);
        part << atEdge[0], whole.tail(rest);
        return part;
    };
    const Curves& e = added ? *edge : all;
    Curves part;
    part.frequency = from20(all.frequency, e.frequency);
    part.coneTravel = from20(all.coneTravel, e.coneTravel);
    part.power = from20(all.power, e.power);
    part.portOpening = all.portOpening;
    for (std::size_t i = 0; i < all.portAir.size(); ++i)
        part.portAir.push_back(from20(all.portAir[i], e.portAir[i]));
    return part;
}

struct Judge {
    const Model& m;
    const Curves& c;  // judged part: frequency, coneTravel, power, portAir
    const Summary& s;
    UnitSystem units = UnitSystem::metric;
    std::vector<Verdict> list;

    void add(Verdict v) { list.push_back(std::move(v)); }
    std::string travel(double metres) const { return formatQuantity(metres, Dimension::travel, units); }
    double shown(double si, Dimension d) const { return fromSi(shownUnit(d, units), si); }
    Verdict note(std::string subject, std::string text, std::string rule, std::string field = {}) const
    {
        return {State::note, std::move(subject), std::move(text), {}, {}, {}, std::move(rule), {},
                {},          std::move(field)};
    }

    void setFilterRemedy(Verdict& v, int order, double corner) const
    {
        v.remedy = SetHighPass{order, corner};
        v.remedyWords = "High-pass at " + hertz(corner);
        if (!m.housing.feed) v.remedyWords += ", every housing on this feed";
    }

    std::string aboveTuning(int order, double corner) const;
    void judgeCone();
    void judgeEndStop();
    void judgePorts();
    void noteCompression();
    void judgePower();
    void judgeAmplifier();
    void judgeLoad();
    void noteAirSpring();
    void noteHump();
    void noteLeak();
    void noteHighPass();
    void notePortArea();
    double pipeResonance(int opening) const;
    void judgeRoom();
    void noteTube();
    void noteTextbook();
    void notePeaks();
    void noteDriver();
};

// A corner above the tuning takes back the bass that the port gives: the usual one below it, and the voltage that then
// keeps the cone inside, are offered beside it.
std::string Judge::aboveTuning(int order, double corner) const
{
    const double usual = s.fb ? roundedDown(0.85 * *s.fb, 2) : 0;
    if (m.kind != SystemKind::vented || !s.fb || corner <= *s.fb || usual < lowestJudged) return "";
    Model filtered = m;
    filtered.highPass = HighPass{order, usual, {}};
    const auto curves = curvesOf(filtered, logGrid(lowestJudged, 2000, 300));
    if (!curves) return "";
    const double safe = safeVoltage(0.995 * voltageForTravel(filtered, *curves, *m.driver.Xmax).minCoeff());
    return fmt::format(" (a corner above the tuning of {} costs bass: with {}, stay under {})", hertz(*s.fb),
                       hertz(usual), volts(safe));
}

void Judge::judgeCone()
{
    if (!m.driver.Xmax) {
        add({State::missing,
             "cone travel",
             "no Xmax: cone travel is drawn, but not judged",
             {},
             {},
             {},
             givenLimit,
             {},
             {},
             "driver/xmax_mm"});
        return;
    }
    const double limit = *m.driver.Xmax;
    const Excess e = excessOf(c.frequency, c.coneTravel, limit);
    const std::string reached = formatNumber(e.peak, Dimension::travel, units) + " of " + travel(limit);
    Verdict v{stateOf(e.peak, limit),
              "cone travel",
              {},
              shown(e.peak, Dimension::travel),
              shown(limit, Dimension::travel),
              e.peakFrequency,
              givenLimit,
              {},
              {},
              "driver/xmax_mm"};
    if (v.state == State::holds)
        v.text = "cone travel peaks at " + reached + ", at " + hertz(e.peakFrequency);
    else if (v.state == State::near)
        v.text = "cone travel reaches " + reached + " at " + hertz(e.peakFrequency) + ": no louder than this";
    else {
        const int order = m.highPass ? m.highPass->order : 4;
        const auto corner = lowestHighPassCorner(m, order);
        const double safe = safeVoltage(voltageForTravel(m, c, limit).minCoeff());
        v.text = fmt::format("{} the cone passes its {} at {}: ", whereOf(e), travel(limit), volts(m.voltage));
        if (corner) {
            setFilterRemedy(v, order, roundedUp(*corner, *corner < 100 ? 2 : 3));
            v.text += fmt::format("high-pass at {}, {}\u00A0dB per octave, or ",
                                  hertz(std::get<SetHighPass>(*v.remedy).corner), 6 * order);
        } else {
            v.remedy = SetVoltage{safe};
            v.remedyWords = "Turn down to " + volts(safe);
        }
        v.text += "stay under " + volts(safe);
        if (const auto* filter = std::get_if<SetHighPass>(&*v.remedy)) v.text += aboveTuning(order, filter->corner);
    }
    add(std::move(v));
}

void Judge::judgeEndStop()
{
    if (!m.driver.Xmech) return;
    const Excess e = excessOf(c.frequency, c.coneTravel, *m.driver.Xmech);
    if (e.peak <= *m.driver.Xmech) return;
    Verdict v{State::over,
              "end stop",
              {},
              shown(e.peak, Dimension::travel),
              shown(*m.driver.Xmech, Dimension::travel),
              e.peakFrequency,
              givenLimit,
              {},
              {},
              "driver/xmech_mm"};
    const double safe = safeVoltage(voltageForTravel(m, c, *m.driver.Xmech).minCoeff());
    v.text = fmt::format("{} the coil can strike its end stop at {} and be destroyed: stay under {}", whereOf(e),
                         travel(*m.driver.Xmech), volts(safe));
    v.remedy = SetVoltage{safe};
    v.remedyWords = "Turn down to " + volts(safe);
    add(std::move(v));
}

// What more a wider tube takes from the cavity, if it stands inside: a tenth of a litre and more is told.
std::string takes(const PortOpening& port, const SetPort& wider, UnitSystem units)
{
    const double more = moreTaken(port, wider);
    if (more < 0.1e-3) return "";
    return fmt::format(" if the {} more that it takes inside are made up",
                       formatQuantity(std::round(more * 1e4) / 1e4, Dimension::volume, units));
}

std::string boreWords(const PortOpening& port, const SetPort& wider, UnitSystem units)
{
    return fmt::format("{} {}, {} long", wholeMillimetres(wider.bore, units),
                       port.shape == PortShape::round ? "bore" : "slot height", wholeMillimetres(wider.length, units));
}

// Why no wider tube is offered, in the numbers of the one that was tried.
std::string noWiderWords(const PortOpening& port, const WiderPort& wider, const std::string& words, UnitSystem units)
{
    switch (wider.found) {
    case WiderPort::Found::noRoom:  // its reason speaks of millimetres
        return fmt::format("the {}, that would keep the tuning cannot be built in{}; ", words,
                           units == UnitSystem::metric ? " (" + wider.why + ")" : "");
    case WiderPort::Found::takesMuch:
        return fmt::format("the {}, that would keep the tuning takes {} more, over a tenth of this cavity; ", words,
                           formatQuantity(moreTaken(port, wider.port), Dimension::volume, units));
    default:
        return "no bore up to 500\u00A0mm and 3\u00A0m long keeps both this tuning and the limit; ";
    }
}

void Judge::judgePorts()
{
    for (std::size_t i = 0; i < c.portAir.size(); ++i) {
        const double limit = m.portAirLimit;
        const bool usual = limit == defaultPortAirLimit;
        const auto& port = std::get<PortOpening>(m.housing.openings[c.portOpening[i]].kind);
        const Excess e = excessOf(c.frequency, c.portAir[i], limit);
        const std::string which = c.portAir.size() > 1 ? fmt::format("port {} air", i + 1) : "port air";
        Verdict v{stateOf(e.peak, limit),
                  "port air",
                  {},
                  shown(e.peak, Dimension::airSpeed),
                  shown(limit, Dimension::airSpeed),
                  e.peakFrequency,
                  usual ? commonPractice : givenLimit,
                  {},
                  {},
                  fmt::format("openings/{}/diameter_mm", c.portOpening[i])};
        const std::string unit = "\u00A0" + shownUnit(Dimension::airSpeed, units).name;
        const std::string reached = formatNumber(e.peak, Dimension::airSpeed, units);
        const std::string allowed = speedLimit(limit, units);
        if (v.state == State::holds)
            v.text =
                fmt::format("{} peaks at {} of {}{}, at {}", which, reached, allowed, unit, hertz(e.peakFrequency));
        else if (v.state == State::near)
            v.text = fmt::format("{} reaches {} of {}{} at {}: no louder than this", which, reached, allowed, unit,
                                 hertz(e.peakFrequency));
        else {
            const double safe = safeVoltage(voltageForAir(m, c, i, limit).minCoeff());
            v.text = fmt::format(
                "{} reaches {}{} at {}, limit {}{}{}: ", which, reached, unit, hertz(e.peakFrequency), allowed,
                usual ? " (common practice)" : "",
                e.peak > turbulent && separationOf(port) == 0 ? "; without turbulence, so less in truth" : "");
            const WiderPort wider = widerPort(m, c.portOpening[i]);
            const std::string words = boreWords(port, wider.port, units);
            if (wider.found == WiderPort::Found::fits) {
                v.remedy = wider.port;
                v.remedyWords = words;
                v.text += "a " + words + ", keeps the tuning" + takes(port, wider.port, units) + ", or ";
            } else {
                v.text += noWiderWords(port, wider, words, units);
                v.remedy = SetVoltage{safe};
                v.remedyWords = "Turn down to " + volts(safe);
            }
            v.text += "stay under " + volts(safe);
        }
        if (const double flared = recommendedAirSpeed(port); v.state != State::holds && usual && flared > limit)
            v.text +=
                fmt::format("; with flares like these up to {}{} is common practice", speedLimit(flared, units), unit);
        add(std::move(v));
    }
}

void Judge::noteCompression()
{
    constexpr double worthTelling = 1;  // dB
    const auto peak = compressionPeak(m);
    if (!peak || peak->loss < worthTelling) return;
    std::vector<const HousingElement*> ports;
    for (const HousingElement& e : m.elements)
        if (e.separation > 0) ports.push_back(&e);
    const auto& first = std::get<PortOpening>(m.housing.openings[std::size_t(ports.front()->opening)].kind);
    Verdict v =
        note("compression",
             fmt::format("{} up {:.1f}\u00A0dB at {} at this feed, lost where the air leaves {}: {}",
                         ports.size() > 1 ? "the ports give" : "the port gives", peak->loss, hertz(peak->frequency),
                         ports.size() > 1 ? "their ends" : "its ends", "a larger section or flares give it back"),
             separationIsEstimated(first) ? "separation, 1/2 rho K u|u|; K by flares is an estimate"
                                          : "separation, 1/2 rho K u|u|, K as given",
             fmt::format("openings/{}/diameter_mm", ports.front()->opening));
    v.value = peak->loss;
    v.frequency = peak->frequency;
    add(std::move(v));
}

void Judge::judgePower()
{
    if (!m.driver.power) {
        add({State::missing,
             "power",
             "no rated power: coil heat is not judged",
             {},
             {},
             {},
             givenLimit,
             {},
             {},
             "driver/power_w"});
        return;
    }
    const Eigen::ArrayXd each = c.power / m.driverCount;
    const double limit = *m.driver.power;
    const Excess e = excessOf(c.frequency, each, limit);
    Verdict v{stateOf(e.peak, limit), "power",    {}, e.peak, limit,
              e.peakFrequency,        givenLimit, {}, {},     "driver/power_w"};
    const std::string taken = fmt::format("{:.3g} of {:g}\u00A0W", e.peak, limit);
    if (v.state == State::over) {
        const double safe = safeVoltage(voltageForPower(m, c, limit).minCoeff());
        v.text = fmt::format("{} takes {} at {}: stay under {}", m.driverCount > 1 ? "each coil" : "the coil", taken,
                             hertz(e.peakFrequency), volts(safe));
        v.remedy = SetVoltage{safe};
        v.remedyWords = "Turn down to " + volts(safe);
    } else
        v.text = fmt::format("{} takes at most {}, at {}", m.driverCount > 1 ? "each coil" : "the coil", taken,
                             hertz(e.peakFrequency));
    add(std::move(v));
}

void Judge::judgeAmplifier()
{
    if (!m.amplifierLimit) return;
    const double limit = *m.amplifierLimit;
    Verdict v{stateOf(m.voltage, limit), "amplifier", {}, m.voltage, limit, {}, givenLimit, {}, {}, "feed/voltage_v"};
    if (v.state == State::near && m.voltage <= limit)
        v.state = State::holds;  // at its rating an amplifier is meant to run
    if (v.state == State::over) {
        const double safe = safeVoltage(limit);
        v.text = "the feed asks " + volts(m.voltage) + ", the amplifier gives " + volts(limit) +
                 " before it clips: stay under " + volts(safe);
        v.remedy = SetVoltage{safe};
        v.remedyWords = "Turn down to " + volts(safe);
    } else
        v.text = "the amplifier gives " + volts(limit) + ", the feed asks " + volts(m.voltage);
    add(std::move(v));
}

void Judge::judgeLoad()
{
    if (!s.impedanceMinimum || !s.amplifierLoad) return;
    constexpr double allowed = 0.8;  // IEC 60268-5: |Z| not below 80 % of the rated value (from memory)
    const auto [f, Z] = *s.amplifierLoad;
    const auto [ownF, own] = *s.impedanceMinimum;
    if (m.ratedImpedance && Z < allowed * *m.ratedImpedance) {
        Verdict v{State::over,
                  "load",
                  {},
                  Z,
                  m.ratedImpedance,
                  f,
                  "IEC 60268-5, 80 % of the rated impedance (from memory)",
                  {},
                  {},
                  "feed/amplifier/rated_ohm"};
        v.text = fmt::format(
            "the load falls to {:.1f}\u00A0\u03A9 at {}, the amplifier is rated for {:g}\u00A0\u03A9: {}", Z, hertz(f),
            *m.ratedImpedance,
            m.driverCount > 1 && m.wiring == Wiring::parallel ? "wire in series, or use one rated for the load"
                                                              : "use one rated for the load");
        add(std::move(v));
    } else if (m.driver.nominalImpedance && m.driverCount == 1 && own < allowed * *m.driver.nominalImpedance)
        add(note("load",
                 fmt::format(
                     "the load falls to {:.1f}\u00A0\u03A9 at {}, less than 80\u00A0% of the nominal {:g}\u00A0\u03A9",
                     own, hertz(ownF), *m.driver.nominalImpedance),
                 "IEC 60268-5 (from memory)", "driver/nominal_ohm"));
}

void Judge::noteAirSpring()
{
    const double ratio = m.driverCount * Cas(m.driver.driver) / m.Cab;
    if (ratio < 3 || !s.f3 || m.housing.secondCavity) return;  // behind a hole there is more air than the spring's
    add(note("air spring",
             fmt::format("{} of air is {:.1f} times as stiff as the cone's suspension: 3\u00A0dB down already at {}",
                         formatQuantity(m.housing.cavity.netVolume, Dimension::volume, units), ratio, hertz(*s.f3)),
             "Small, Closed-Box Loudspeaker Systems, JAES 20 (1972) 798 (pages from memory)", "cavity/net_volume_l"));
}

void Judge::noteHump()
{
    if (!s.Qtc || *s.Qtc < 1 || !s.hump || s.hump->height < 1) return;
    const char* remedy =
        m.housing.cavity.absorptionQ ? "more volume takes it down" : "more volume or a lining takes it down";
    add(note("damping",
             fmt::format("the level humps by {:.1f}\u00A0dB at {}, Qtc {:.2f}: {}", s.hump->height,
                         hertz(s.hump->frequency), *s.Qtc, remedy),
             "from the response itself; that a Qtc of 1 is too much is common practice, no source",
             "cavity/net_volume_l"));
}

void Judge::noteLeak()
{
    for (std::size_t i = 0; i < m.housing.openings.size(); ++i) {
        if (const auto* leak = std::get_if<LeakByQ>(&m.housing.openings[i].kind); leak && leak->q < 5)
            add(note(
                "leak",
                fmt::format("a leak of Q\u00A0{:g} is strong, 5 to 20 is healthy: find it and seal it", leak->q),
                "Small, Vented-Box Loudspeaker Systems III, JAES 21 (1973) 549: 5 to 10 measured; 20 common practice",
                fmt::format("openings/{}/q", i)));
        if (const auto* slit = std::get_if<LeakSlit>(&m.housing.openings[i].kind); slit && slit->height > 2e-3)
            add(note("leak",
                     fmt::format("a gap of {} is too high to be reckoned as a laminar leak: enter it as a slot port",
                                 formatQuantity(slit->height, Dimension::length, units)),
                     "laminar flow holds while the gap is thinner than about twice the viscous layer, 2 mm at 50 Hz",
                     fmt::format("openings/{}/height_mm", i)));
        if (const auto* hole = std::get_if<LeakHole>(&m.housing.openings[i].kind); hole && hole->diameter > 5e-3)
            add(note("leak",
                     fmt::format("a hole of {} is too wide to be reckoned as a laminar leak: enter it as a port",
                                 formatQuantity(hole->diameter, Dimension::length, units)),
                     "laminar flow holds while the hole is thinner than about twice the viscous layer",
                     fmt::format("openings/{}/diameter_mm", i)));
    }
}

void Judge::noteHighPass()
{
    if (m.kind != SystemKind::vented || m.highPass || !s.fb || 0.85 * *s.fb < lowestJudged) return;
    for (const Verdict& v : list)
        if (v.remedy && std::holds_alternative<SetHighPass>(*v.remedy)) return;  // said already
    const double corner = roundedDown(0.85 * *s.fb, 2);
    Verdict v = note("high-pass",
                     "no high-pass under the tuning of " + hertz(*s.fb) +
                         ", where the cone has no air spring: set one at " + hertz(corner) + ", 24\u00A0dB per octave",
                     "common practice, no source: 0.8 to 0.9 of the tuning", "feed/high_pass");
    setFilterRemedy(v, 4, corner);
    add(std::move(v));
}

void Judge::notePortArea()
{
    if (m.kind != SystemKind::vented || !s.fb || !m.driver.Xmax) return;
    double area = 0;
    for (const Opening& o : m.housing.openings)
        if (const auto* port = std::get_if<PortOpening>(&o.kind)) area += countOf(*port) * areaOf(*port);
    const double displaced = m.driverCount * m.driver.driver.Sd * *m.driver.Xmax;
    const double wanted = 0.8 * *s.fb * displaced;
    if (area >= wanted) return;
    add(note("port area",
             fmt::format("{} of port is less than the {} that full cone travel wants at this tuning (a {} bore)",
                         wholeCentimetres(area, units), wholeCentimetres(wanted, units),
                         wholeMillimetres(startingBore(*s.fb, displaced), units)),
             "Small, Vented-Box Loudspeaker Systems II, JAES 21 (1973) 438: S >= 0.8 fb Vd (numbers from memory)",
             "openings"));
}

// A line has its own resonance; a textbook port that of an open pipe of its effective length.
double Judge::pipeResonance(int opening) const
{
    for (const HousingElement& e : m.elements)
        if (const auto* line = std::get_if<PortLine>(&e.element); line && e.opening == opening)
            return pipeResonanceOf(*line, m.air);
    const auto& port = std::get<PortOpening>(m.housing.openings[std::size_t(opening)].kind);
    return m.air.c / (2 * (port.length + endCorrections(port)));
}

void Judge::noteTube()
{
    // A cone radiates evenly up to ka = 1; what a port rings at below that lies in the open.
    const double bandEnd = m.air.c / (2 * pi * std::sqrt(m.driver.driver.Sd / pi));
    for (std::size_t i = 0; i < m.housing.openings.size(); ++i) {
        if (!std::holds_alternative<PortOpening>(m.housing.openings[i].kind)) continue;
        const double rings = pipeResonance(int(i));
        if (rings >= bandEnd) continue;
        Verdict v = note("tube",
                         fmt::format("the port rings at {}, inside the driver's band (to {}): a shorter port rings "
                                     "higher, a mouth that faces away is heard less",
                                     hertz(rings), hertz(bandEnd)),
                         "half a wave from mouth to mouth with both ends; that the band ends at ka = 1 is common "
                         "practice",
                         fmt::format("openings/{}/length_mm", i));
        v.frequency = rings;
        add(std::move(v));
    }
}

// Against the run that was measured for ports: whatever fits needs no word.
void Judge::judgeRoom()
{
    int number = 0;
    for (std::size_t i = 0; i < m.housing.openings.size(); ++i) {
        const auto* port = std::get_if<PortOpening>(&m.housing.openings[i].kind);
        if (!port) continue;
        ++number;
        const auto trouble = whyNotInRun(*port, cavityOf(m.housing, int(i)), units);
        if (!trouble) continue;
        Verdict v = note("port room",
                         fmt::format("port {} {}: {}", number,
                                     trouble->tight ? "has little room" : "does not fit its room", trouble->words),
                         trouble->tight ? "one bore free before the inner end is common practice, no source"
                                        : "the run measured for ports",
                         fmt::format("openings/{}/length_mm", i));
        if (!trouble->tight) v.state = State::over;
        add(std::move(v));
    }
}

// Textbook sums against lines, told where a single port makes the tuning.
void Judge::noteTextbook()
{
    constexpr double worthTelling = 0.01;
    int at = -1, ports = 0;
    for (std::size_t i = 0; i < m.housing.openings.size(); ++i)
        if (std::holds_alternative<PortOpening>(m.housing.openings[i].kind)) at = int(i), ++ports;
    if (ports != 1 || m.housing.secondCavity || !s.fb || m.housing.cavity.model == CavityModel::lumped) return;
    const auto& port = std::get<PortOpening>(m.housing.openings[std::size_t(at)].kind);
    const bool boxed = m.housing.cavity.measurements.empty();
    const CavityRoom room = roomOf(m.housing.cavity);
    if (port.classical && (!boxed || whyImpossible(port, room))) return;  // no lines to compare with
    const double textbook = m.omega0 / (2 * pi);
    const double reckoned = port.classical ? tuningOf(portInCavity(port, room, m.air)) : *s.fb;
    const double off = reckoned / textbook - 1;
    if (std::abs(off) <= worthTelling) return;
    std::string text = fmt::format("textbook end corrections say {}, this port in this cavity {} ({:.1f}\u00A0% {})",
                                   hertz(textbook), hertz(reckoned), 100 * std::abs(off), off < 0 ? "lower" : "higher");
    if (port.classical) text += "; the file asks for the textbook";
    const double spread = boxed ? assumedShapeSpread(port, room, m.air) : 0;
    if (spread > 0.005)
        text += fmt::format("; with the cavity's inner sizes not given, \u00B1\u00A0{:.1f}\u00A0%", 100 * spread);
    Verdict v = note("textbook tuning", text,
                     "port and cavity as lines, ends by modes of the section; " + knownAccuracy(port, room),
                     fmt::format("openings/{}/length_mm", at));
    v.value = reckoned;
    v.limit = textbook;
    v.frequency = reckoned;
    add(std::move(v));
}

void Judge::notePeaks()
{
    if (m.kind == SystemKind::vented && !s.fb) {
        add(note("tuning",
                 "friction in so narrow a bore leaves no tuning: the port is a leak; use a wider or a shorter one",
                 "the air load on the cone turns nowhere from mass to spring", "openings"));
        return;
    }
    if (m.kind != SystemKind::vented || s.impedancePeaks.size() != 1) return;
    add(note("tuning", "one impedance peak with a port fitted: the leak is too strong, or the tuning is out of reach",
             "common practice, no source", "openings"));
}

void Judge::noteDriver()
{
    for (const Finding& finding : m.driver.findings) {
        Verdict v = note("driver data", finding.text, "Thiele-Small relations; ranges are common practice, no source",
                         "driver/" + finding.key);
        v.value = finding.given;
        if (finding.reckoned != 0) v.limit = finding.reckoned;
        add(std::move(v));
    }
}

int rank(State state)
{
    switch (state) {
    case State::over:
        return 0;
    case State::near:
        return 1;
    case State::missing:
        return 2;
    case State::note:
        return 3;
    case State::holds:
        return 4;
    }
    return 5;
}

}  // namespace

std::string nameOf(State state)
{
    switch (state) {
    case State::holds:
        return "holds";
    case State::near:
        return "near";
    case State::over:
        return "over";
    case State::missing:
        return "missing";
    case State::note:
        return "note";
    }
    return "note";
}

std::vector<Verdict> verdictsOf(const Model& model, const Curves& curves, const Summary& summary, UnitSystem units)
{
    const Curves part = judgedPart(model, curves);
    Judge judge{model, part, summary, units, {}};
    if (model.voltage <= 0)
        return {judge.note("feed", "the feed is 0\u00A0V: nothing moves, so nothing is judged", givenLimit,
                           "feed/voltage_v")};
    judge.judgeCone();
    judge.judgeEndStop();
    judge.judgePorts();
    judge.judgePower();
    judge.judgeAmplifier();
    judge.judgeLoad();
    judge.noteCompression();
    judge.noteHighPass();
    judge.noteAirSpring();
    judge.noteHump();
    judge.noteLeak();
    judge.notePortArea();
    judge.judgeRoom();
    judge.noteTube();
    judge.noteTextbook();
    judge.notePeaks();
    judge.noteDriver();
    std::stable_sort(judge.list.begin(), judge.list.end(),
                     [](const Verdict& a, const Verdict& b) { return rank(a.state) < rank(b.state); });
    return std::move(judge.list);
}

}  // namespace portwright
