// SPDX-License-Identifier: GPL-3.0-or-later
// What a housing without a port would do: a passive radiator of the same tuning, or a sealed cavity with a high-pass.
#include "core/response/summary.h"
#include "core/search/band_grid.h"
#include "core/search/search.h"

#include <cmath>
#include <fmt/format.h>
#include <limits>

namespace portwright {

namespace {

Housing withoutPort(const Model& model, int opening, const PortSpace& space)
{
    Housing housing = model.housing;
    if (opening >= 0) housing.openings.erase(housing.openings.begin() + opening);
    housing.cavity.netVolume = space.empty.netVolume;
    return housing;
}

struct Figures {
    double loudest = std::numeric_limits<double>::infinity(), f3 = 0, travel = 0, passiveTravel = 0;
};

Figures figuresOf(const Model& m, const FastBand& band)
{
    Figures f;
    const searching::BandGrid grid = searching::bandGrid(band);
    const auto curves = curvesOf(m, grid.grid);
    if (!curves) return f;
    const LimitCurves limits = limitsOf(m, *curves);
    f.loudest = limits.loudest.segment(grid.from, grid.to - grid.from + 1).minCoeff();
    f.travel = curves->coneTravel.maxCoeff();
    if (!curves->passiveTravel.empty()) f.passiveTravel = curves->passiveTravel.front().maxCoeff();
    f.f3 = f3Of(m, tuningOf(m)).value_or(0);
    return f;
}

std::string f3Words(const Figures& f)
{
    return f.f3 > 0 ? formatQuantity(f.f3, Dimension::frequency) : std::string("none");
}

std::string cleanWords(const Figures& f)
{
    return std::isfinite(f.loudest)
               ? fmt::format("{:.1f}\u00A0dB clean at every frequency of the band", f.loudest)
               : std::string("its clean level is not judged, since neither the driver's limits nor the amplifier's are "
                             "given");
}

OtherWay sealed(const Model& model, int opening, const PortSpace& space, const FastBand& band, UnitSystem units)
{
    OtherWay way;
    way.name = "sealed with a high-pass";
    way.housing = withoutPort(model, opening, space);
    Model m = withHousing(model, way.housing);
    constexpr int order = 4;
    if (const auto corner = lowestHighPassCorner(m, order)) way.highPass = HighPass{order, std::ceil(*corner), {}};
    if (way.highPass) m.highPass = way.highPass;
    const Figures f = figuresOf(m, band);
    way.loudest = f.loudest, way.f3 = f.f3, way.travel = f.travel;
    way.words = fmt::format(
        "Sealed, {} cavity: f3 {}, {}{}", formatQuantity(space.empty.netVolume, Dimension::volume, units), f3Words(f),
        cleanWords(f),
        way.highPass ? fmt::format(", with a fourth-order high-pass at {} that keeps the cone within its travel.",
                                   formatQuantity(way.highPass->corner, Dimension::frequency))
                     : std::string(", and the cone needs no high-pass at this feed."));
    return way;
}

// Piston as large as the drivers' together; suspension so soft that its own resonance lies well below (compliance twice
// the cavity's); Qmp 7. Common practice, no source.
OtherWay radiator(const Model& model, int opening, const PortSpace& space, const FastBand& band, double tuning,
                  UnitSystem units)
{
    OtherWay way;
    way.name = "passive radiator";
    way.housing = withoutPort(model, opening, space);
    const double Cab =
        way.housing.cavity.fillFactor.value_or(1) * space.empty.netVolume / (model.air.rho * model.air.c * model.air.c);
    const double S = model.driverCount * model.driver.driver.Sd, Cap = 2 * Cab, w = 2 * pi * tuning;
    const double Map = (1 / Cab + 1 / Cap) / (w * w);
    PassiveRadiator p;
    p.Sd = S, p.Mmp = Map * S * S, p.Cms = Cap / (S * S);
    constexpr double Qmp = 7;
    p.Rms = std::sqrt(p.Mmp / p.Cms) / Qmp;
    way.housing.openings.push_back({p, {}, {}});
    const Figures f = figuresOf(withHousing(model, way.housing), band);
    way.loudest = f.loudest, way.f3 = f.f3, way.travel = f.travel;
    way.words = fmt::format(
        "A passive radiator of {}, {} moving on a suspension of {} (by itself it resonates at {}), tunes to {} without "
        "any length: f3 {}, {}; it must travel {} peak at this feed.",
        formatQuantity(p.Sd, Dimension::area, units), formatQuantity(p.Mmp, Dimension::mass, units),
        formatQuantity(p.Cms, Dimension::compliance, units),
        formatQuantity(1 / (2 * pi * std::sqrt(p.Mmp * p.Cms)), Dimension::frequency, units),
        formatQuantity(tuning, Dimension::frequency, units), f3Words(f), cleanWords(f),
        formatQuantity(f.passiveTravel, Dimension::travel, units));
    return way;
}

}  // namespace

double loudestWithout(const Model& model, int opening, const PortSpace& space, const FastBand& band)
{
    return figuresOf(withHousing(model, withoutPort(model, opening, space)), band).loudest;
}

std::vector<OtherWay> otherWays(const Model& model, int opening, const PortSpace& space, const FastBand& band,
                                double tuning, UnitSystem units)
{
    return {radiator(model, opening, space, band, tuning, units), sealed(model, opening, space, band, units)};
}

}  // namespace portwright
