// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/response/uncertainty.h"

#include "core/cavity/net_volume.h"
#include "core/document/fields.h"
#include "core/port/port_tuning.h"
#include "core/quantity/ranged.h"
#include "core/response/summary.h"

#include <algorithm>
#include <array>
#include <cmath>
#include <fmt/format.h>

namespace portwright {

namespace {

using From = UncertainInput::From;

// The keys of a driver that reach the model. Tolerance: of a guessed value without a stated uncertainty, relative,
// 0 where nobody has one (common practice, no source).
struct DriverKey {
    const char* key;
    std::optional<double> DriverSheet::* value;
    double guessed;
};
constexpr std::array driverKeys{
    DriverKey{"fs_hz", &DriverSheet::fs, 0.10},  DriverKey{"qes", &DriverSheet::Qes, 0.15},
    DriverKey{"qms", &DriverSheet::Qms, 0},      DriverKey{"qts", &DriverSheet::Qts, 0.15},
    DriverKey{"vas_l", &DriverSheet::Vas, 0.20}, DriverKey{"cms_mm_n", &DriverSheet::Cms, 0},
    DriverKey{"mms_g", &DriverSheet::Mms, 0},    DriverKey{"bl_t_m", &DriverSheet::Bl, 0},
    DriverKey{"rms_kg_s", &DriverSheet::Rms, 0}, DriverKey{"sensitivity_db", &DriverSheet::sensitivity, 0},
    DriverKey{"re_ohm", &DriverSheet::Re, 0},    DriverKey{"sd_cm2", &DriverSheet::Sd, 0},
    DriverKey{"le_mh", &DriverSheet::Le, 0},
};

bool counts(double uncertainty) { return std::isfinite(uncertainty) && uncertainty > 0; }

void addVolume(std::vector<UncertainInput>& inputs, const Cavity& cavity, From from)
{
    if (!cavity.netUncertainty || !counts(*cavity.netUncertainty)) return;
    inputs.push_back({.from = from,
                      .key = "net_volume_l",
                      .name = from == From::volume ? "the volume" : "the second cavity",
                      .value = cavity.netVolume,
                      .uncertainty = *cavity.netUncertainty,
                      .dimension = Dimension::volume});
}

void addDriverValues(std::vector<UncertainInput>& inputs, const DriverSheet& sheet)
{
    for (const DriverKey& k : driverKeys) {
        const std::optional<double>& value = sheet.*k.value;
        const FieldInfo* field = fieldInfo("driver", k.key);
        if (!value || !field) continue;
        UncertainInput input{.from = From::driver,
                             .key = k.key,
                             .name = std::string(field->symbol),
                             .value = *value,
                             .dimension = field->dimension};
        const auto stated = sheet.uncertainty.find(k.key);
        const auto origin = sheet.origin.find(k.key);
        if (stated != sheet.uncertainty.end()) {
            input.uncertainty = stated->second / field->perSi;
        } else if (origin != sheet.origin.end() && origin->second == Origin::guessed) {
            input.uncertainty = k.guessed * *value;
            input.assumed = true;
        }
        if (counts(input.uncertainty)) inputs.push_back(std::move(input));
    }
}

// --- One evaluation of the model, and its derivatives by one input ---

// The curves that get a band, each a row: the level in dB, all others as logarithms.
constexpr double perNeper = 20 / std::numbers::ln10;

std::vector<Eigen::ArrayXd> bandRows(const Curves& c)
{
    std::vector<Eigen::ArrayXd> rows{c.level / perNeper, c.impedance.log(), c.coneTravel.log()};
    for (const auto* many : {&c.portAir, &c.passiveTravel})
        for (const Eigen::ArrayXd& row : *many)
            rows.push_back(row.log());
    return rows;
}

void setBandRows(Curves& c, const std::vector<Eigen::ArrayXd>& rows)
{
    std::size_t next = 3;
    c.level = rows[0] * perNeper;
    c.impedance = rows[1].exp();
    c.coneTravel = rows[2].exp();
    for (auto* many : {&c.portAir, &c.passiveTravel})
        for (Eigen::ArrayXd& row : *many)
            row = rows[next++].exp();
}

// How far the level is above its 3 dB point at a frequency, dB: 0 at f3.
std::optional<double> aboveThreeDecibel(const Model& model, double f3)
{
    const auto level = levelOverLimit(model, f3);
    return level ? std::optional(*level + 10 * std::log10(2.0)) : std::nullopt;
}

struct Evaluated {
    std::vector<Eigen::ArrayXd> rows;
    std::optional<double> tuning, resonance, f3Margin;
};

// The margin is taken at a fixed frequency: f3 itself then moves by -dm/dx / dm/df, where following it could jump.
Result<Evaluated> evaluate(const Project& project, std::size_t housing, const Grid& grid, std::optional<double> f3)
{
    const auto model = modelOf(project, housing);
    if (!model) return fail(model.error());
    const auto curves = curvesOf(*model, grid);
    if (!curves) return fail(curves.error());
    Evaluated e;
    e.rows = bandRows(*curves);
    if (model->kind == SystemKind::closed)
        e.resonance = model->omega0 / (2 * pi);
    else
        e.tuning = tuningOf(*model);
    if (f3) e.f3Margin = aboveThreeDecibel(*model, *f3);
    return e;
}

using Maybe = std::optional<double>;

Maybe slope(const Maybe& low, const Maybe& high, double step)
{
    if (!low || !high) return std::nullopt;
    const double s = (*high - *low) / step;
    return std::isfinite(s) ? Maybe(s) : std::nullopt;
}

struct Sensitivity {
    std::vector<Eigen::ArrayXd> rows;
    Maybe tuning, resonance, f3Margin;
};

Sensitivity slopes(const Evaluated& low, const Evaluated& high, double step)
{
    Sensitivity s{.rows = {},
                  .tuning = slope(low.tuning, high.tuning, step),
                  .resonance = slope(low.resonance, high.resonance, step),
                  .f3Margin = slope(low.f3Margin, high.f3Margin, step)};
    for (std::size_t i = 0; i < low.rows.size(); ++i)
        s.rows.push_back((high.rows[i] - low.rows[i]) / step);
    return s;
}

constexpr double relativeStep = 1e-4;  // truncation 1e-8, and the searches' 1e-10 gives 1e-6

double stepOf(double value, double uncertainty) { return relativeStep * (value != 0 ? std::abs(value) : uncertainty); }

Result<Sensitivity> sensitivity(const Project& project, std::size_t housing, const Grid& grid, const Evaluated& base,
                                const UncertainInput& input, std::optional<double> f3)
{
    const double h = stepOf(input.value, input.uncertainty);
    const auto at = [&](double value) {
        return evaluate(withInput(project, housing, input, value), housing, grid, f3);
    };
    const auto high = at(input.value + h), low = at(input.value - h);
    if (high && low) return slopes(*low, *high, 2 * h);
    if (high) return slopes(base, *high, h);
    if (low) return slopes(*low, base, h);
    return fail(high.error());
}

// --- Propagation ---

// Absent where the value or one of its slopes is.
std::optional<Ranged> ranged(Maybe value, const std::vector<UncertainInput>& inputs, const std::vector<Maybe>& slopes)
{
    if (!value) return std::nullopt;
    Ranged r{.value = *value, .uncertainty = 0, .shares = {}};
    double variance = 0;
    for (std::size_t i = 0; i < inputs.size(); ++i) {
        if (!slopes[i]) return std::nullopt;
        const double part = *slopes[i] * inputs[i].uncertainty;
        variance += part * part;
        r.shares.push_back({i, part * part});
    }
    r.uncertainty = std::sqrt(variance);
    for (Share& s : r.shares)
        s.part = variance > 0 ? s.part / variance : 0;
    std::erase_if(r.shares, [](const Share& s) { return !(s.part > 0); });
    std::stable_sort(r.shares.begin(), r.shares.end(), [](const auto& a, const auto& b) { return a.part > b.part; });
    return r;
}

std::vector<Maybe> gathered(const std::vector<Sensitivity>& all, Maybe Sensitivity::* which, double times = 1)
{
    std::vector<Maybe> list;
    list.reserve(all.size());
    for (const Sensitivity& s : all)
        list.push_back(s.*which ? Maybe(*(s.*which) * times) : std::nullopt);
    return list;
}

std::optional<Ranged> rangedF3(const Model& model, Maybe f3, const std::vector<UncertainInput>& inputs,
                               const std::vector<Sensitivity>& all)
{
    if (!f3) return std::nullopt;
    const double h = relativeStep * *f3;
    const Maybe rise = slope(aboveThreeDecibel(model, *f3 - h), aboveThreeDecibel(model, *f3 + h), 2 * h);
    if (!rise || !(*rise > 0)) return std::nullopt;
    return ranged(f3, inputs, gathered(all, &Sensitivity::f3Margin, -1 / *rise));
}

int firstMainPort(const Housing& housing)
{
    for (std::size_t i = 0; i < housing.openings.size(); ++i)
        if (std::holds_alternative<PortOpening>(housing.openings[i].kind) &&
            housing.openings[i].cavity.value_or(CavityId::main) == CavityId::main)
            return int(i);
    return -1;
}

Maybe tuningWithLength(Project project, std::size_t housing, int opening, double length)
{
    auto& port = std::get<PortOpening>(project.housings[housing].openings[std::size_t(opening)].kind);
    port = cutTo(std::move(port), length);
    const auto model = modelOf(project, housing);
    return model ? tuningOf(*model) : std::nullopt;
}

// The tuning does not move where dfb/dL dL + dfb/dx dx = 0.
std::optional<CutLength> cutLengthOf(const Project& project, std::size_t housing, const std::optional<Ranged>& tuning)
{
    const int opening = firstMainPort(project.housings[housing]);
    if (opening < 0 || !tuning) return std::nullopt;
    const auto& port = std::get<PortOpening>(project.housings[housing].openings[std::size_t(opening)].kind);
    const double h = 1e-4 * (port.length + radiusOf(port));
    const double low = std::max(port.length - h, 0.0), high = port.length + h;
    const auto at = [&](double length) { return tuningWithLength(project, housing, opening, length); };
    const Maybe perLength = slope(at(low), at(high), high - low);
    if (!perLength || *perLength == 0) return std::nullopt;
    return CutLength{.opening = opening,
                     .length = {.value = port.length,
                                .uncertainty = tuning->uncertainty / std::abs(*perLength),
                                .shares = tuning->shares},
                     .tuningPerLength = *perLength};
}

double volumeExponentOf(const Project& project, std::size_t housing, double volume)
{
    const auto at = [&](double times) -> Maybe {
        Project varied = project;
        varied.housings[housing].cavity.netVolume = times * volume;
        const auto model = modelOf(varied, housing);
        if (!model) return std::nullopt;
        const auto f = model->kind == SystemKind::closed ? Maybe(model->omega0 / (2 * pi)) : tuningOf(*model);
        return f && *f > 0 ? Maybe(std::log(*f)) : std::nullopt;
    };
    return slope(at(1 - relativeStep), at(1 + relativeStep), 2 * relativeStep).value_or(0);
}

void setBand(Uncertainty& u, const Curves& curves, const Evaluated& base, const std::vector<Sensitivity>& all)
{
    std::vector<Eigen::ArrayXd> spread, lower = base.rows, upper = base.rows;
    for (std::size_t row = 0; row < base.rows.size(); ++row) {
        Eigen::ArrayXd variance = Eigen::ArrayXd::Zero(curves.frequency.size());
        for (std::size_t i = 0; i < all.size(); ++i)
            variance += (all[i].rows[row] * u.inputs[i].uncertainty).square();
        const Eigen::ArrayXd deviation = variance.isFinite().select(variance.sqrt(), 0.0);  // silence has no band
        lower[row] -= deviation;
        upper[row] += deviation;
    }
    for (auto [edge, rows] : {std::pair{&u.lower, &lower}, std::pair{&u.upper, &upper}}) {
        edge->frequency = curves.frequency;
        edge->portOpening = curves.portOpening;
        edge->portAir.resize(curves.portAir.size());
        edge->passiveTravel.resize(curves.passiveTravel.size());
        setBandRows(*edge, *rows);
    }
}

}  // namespace

Result<std::vector<UncertainInput>> uncertainInputs(const Project& project, std::size_t housing)
{
    const auto model = modelOf(project, housing);
    if (!model) return fail(model.error());
    const Housing& h = model->housing;  // its volumes as measured
    std::vector<UncertainInput> inputs;
    addVolume(inputs, h.cavity, From::volume);
    if (h.secondCavity) addVolume(inputs, h.secondCavity->cavity, From::secondVolume);
    addDriverValues(inputs, *findDriver(project, h.driver));
    return inputs;
}

Project withInput(Project project, std::size_t housing, const UncertainInput& input, double value)
{
    Housing& h = project.housings[housing];
    switch (input.from) {
    case From::volume:
        h.cavity.netVolume = value;
        break;
    case From::secondVolume:
        if (h.secondCavity) h.secondCavity->cavity.netVolume = value;
        break;
    case From::driver:
        for (DriverSheet& sheet : project.drivers)
            for (const DriverKey& k : driverKeys)
                if (sheet.id == h.driver && input.key == k.key) sheet.*k.value = value;
        break;
    }
    return project;
}

Result<Uncertainty> uncertaintyOf(const Project& project, std::size_t housing, const Grid& grid)
{
    auto inputs = uncertainInputs(project, housing);
    if (!inputs) return fail(inputs.error());
    const auto model = modelOf(project, housing);
    if (!model) return fail(model.error());
    const auto curves = curvesOf(*model, grid);
    if (!curves) return fail(curves.error());
    const auto summary = summaryOf(*model);
    if (!summary) return fail(summary.error());
    const auto base = evaluate(project, housing, grid, summary->f3);
    if (!base) return fail(base.error());

    Uncertainty u;
    u.inputs = std::move(*inputs);
    std::vector<Sensitivity> all;
    for (const UncertainInput& input : u.inputs) {
        auto s = sensitivity(project, housing, grid, *base, input, summary->f3);
        if (!s) return fail(s.error());
        all.push_back(std::move(*s));
    }
    u.tuning = ranged(base->tuning, u.inputs, gathered(all, &Sensitivity::tuning));
    u.resonance = ranged(base->resonance, u.inputs, gathered(all, &Sensitivity::resonance));
    u.f3 = rangedF3(*model, summary->f3, u.inputs, all);
    u.cut = cutLengthOf(project, housing, u.tuning);
    u.volumeExponent = volumeExponentOf(project, housing, model->housing.cavity.netVolume);
    setBand(u, *curves, *base, all);
    return u;
}

namespace {

// By how much the tuning would move, relative, with the hole to the second cavity beside its ports, where its place is
// not given and waves are reckoned there.
double holePlaceMatters(const Model& model)
{
    if (!model.housing.secondCavity || model.housing.secondCavity->cavity.driverAt) return 0;
    const bool waves = std::any_of(model.elements.begin(), model.elements.end(), [](const HousingElement& e) {
        return e.cause == Cause::secondCavity && std::holds_alternative<Duct>(e.element);
    });
    if (!waves || profileOf(model.housing.secondCavity->cavity)) return 0;
    Housing beside = model.housing;
    beside.secondCavity->cavity.driverAt = 0;
    const auto now = tuningOf(model), then = tuningOf(withHousing(model, beside));
    return now && then ? std::abs(*then / *now - 1) : 0;
}

std::string percentText(double share) { return fmt::format("{:.{}f}\u00A0%", 100 * share, share < 0.01 ? 1 : 0); }

}  // namespace

std::string leftOutOfRanges(const Model& model)
{
    bool textbook = false;
    double spread = 0;
    for (const Opening& opening : model.housing.openings) {
        const auto* port = std::get_if<PortOpening>(&opening.kind);
        if (!port) continue;
        const Cavity& cavity = cavityOf(model.housing, int(&opening - model.housing.openings.data()));
        const CavityRoom room = roomOf(cavity);
        const bool asked = cavity.model == CavityModel::lumped;
        textbook = textbook || port->classical || asked;
        if (!port->classical && !asked && !profileOf(cavity))
            spread = std::max(spread, assumedShapeSpread(*port, room, model.air));  // 0 where the sizes are known
    }
    if (textbook)
        return "Ranges hold what the inputs leave open, not the port model's own error: textbook end corrections miss "
               "the tuning by up to some 10\u00A0% in compact cavities.";
    constexpr double worthTelling = 0.0005;
    std::string left;
    if (spread >= worthTelling)
        left = "the shape that is assumed: another box of this volume may move the tuning by " + percentText(spread) +
               ". Two inner sizes of the cavity would tell";
    if (const double hole = holePlaceMatters(model); hole >= worthTelling)
        left += (left.empty() ? "" : "; nor ") +
                ("where the hole to the second cavity is: beside the port instead would move the tuning by " +
                 percentText(hole));
    return left.empty() ? "" : "Ranges hold what the inputs leave open, not " + left + ".";
}

std::string measureNext(const Uncertainty& u)
{
    const auto& result = u.tuning ? u.tuning : u.resonance;
    if (!result) return {};
    const char* word = u.tuning ? "tuning" : "resonance";
    const auto hertz = [](double spread) { return formatUncertainty(spread, Dimension::frequency); };
    const bool volumeStated =
        std::any_of(u.inputs.begin(), u.inputs.end(), [](const UncertainInput& i) { return i.from == From::volume; });
    if (!volumeStated)
        return fmt::format(
            "Measure the volume, or state how well it is known: each 10\u00A0% of it makes {} in the {}.",
            hertz(0.1 * std::abs(u.volumeExponent) * result->value), word);
    constexpr double enough = 0.01;  // of the result: a port is trimmed to that in any case
    if (result->uncertainty <= enough * result->value)
        return fmt::format("Nothing needs to be measured again: the {} is known to {}.", word,
                           hertz(result->uncertainty));
    const Share& largest = result->shares.front();
    const UncertainInput& input = u.inputs[largest.input];
    const double relative = input.uncertainty / std::abs(input.value);
    const double goal = input.key == "fs_hz" ? 0.01 : 0.02;
    const bool byHalf = input.dimension == Dimension::level || !(relative > 1.2 * goal);  // decibels have no per cent
    const double left = byHalf ? 0.5 : goal / relative;
    const double after = result->uncertainty * std::sqrt(1 - largest.part * (1 - left * left));
    const std::string part = largest.part > 0.995 ? "all" : fmt::format("{:.0f}\u00A0%", 100 * largest.part);
    return fmt::format("{} {}{}: it makes {} of {} in the {}; {} it would be {}.", "Measure", input.name,
                       input.assumed ? fmt::format(" (guessed, so taken as \u00B1{:.0f}\u00A0%)", 100 * relative)
                                     : (input.from == From::driver ? "" : " again"),
                       part, hertz(result->uncertainty), word,
                       byHalf ? "known twice as well" : fmt::format("known to {:.0f}\u00A0%", 100 * goal),
                       hertz(after));
}

}  // namespace portwright
