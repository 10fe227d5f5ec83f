// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/search/fast_response.h"

#include "core/cavity/shape.h"
#include "core/network/separation.h"
#include "core/port/classical.h"
#include "core/port/separation.h"

#include <algorithm>
#include <cmath>
#include <limits>

// Twice as many numbers at a time where the processor can, the same results to the last bit: no fused products.
// Sanitizers do not run before the choice is made.
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(__SANITIZE_ADDRESS__)
#define PORTWRIGHT_WIDE __attribute__((target_clones("avx2", "default")))
#else
#define PORTWRIGHT_WIDE
#endif

namespace portwright {

namespace {

using Complex = std::complex<double>;
constexpr Complex j{0, 1};
double square(double x) { return x * x; }

void put(FastComplex& a, int i, Complex z)
{
    a.re[std::size_t(i)] = z.real();
    a.im[std::size_t(i)] = z.imag();
}

// Evenly in logarithms, as nearly as both ends of the band allow to be among them.
FastArray frequencies(const FastBand& band, double resonance)
{
    // High enough for f3 of a stiff little cavity, and for the whole band.
    const double highest = std::max({1.2 * band.to, 2.5 * resonance, 200.0});
    constexpr int steps = fastPoints - 1, leastInBand = 2;
    const double each = std::log(highest / band.lowest) / steps;
    const auto stepsOver = [&](double ratio) {
        return ratio > 1 ? std::max(1, int(std::lround(std::log(ratio) / each))) : 0;
    };
    int below = stepsOver(band.from / band.lowest), above = stepsOver(highest / band.to);
    while (below + above > steps - leastInBand)
        --(below > above ? below : above);
    FastArray f;
    const auto fill = [&f](int begin, int count, double from, double to) {
        for (int i = 0; i <= count; ++i)
            f[std::size_t(begin + i)] = count > 0 ? from * std::pow(to / from, double(i) / count) : from;
    };
    fill(steps - above, above, band.to, highest);
    fill(0, below, band.lowest, band.from);
    fill(below, steps - above - below, band.from, band.to);
    return f;
}

// Admittance of all other openings but leaks by q, and of a second cavity, by the network itself: the cavity held at
// 1 Pa. Other ports are then tubes with textbook ends.
Result<void> addOthers(FastModel& f, const Model& model)
{
    Housing housing = model.housing;
    housing.cavity.model = CavityModel::lumped;
    housing.cavity.absorptionQ.reset();
    std::erase_if(housing.openings, [](const Opening& o) {
        return o.cavity.value_or(CavityId::main) == CavityId::main && std::holds_alternative<LeakByQ>(o.kind);
    });
    if (housing.openings.empty() && !housing.secondCavity) return {};
    const Model bare = withHousing(model, housing);
    const Network air = airOf(bare);
    Eigen::ArrayXd frequency(fastPoints);
    for (int i = 0; i < fastPoints; ++i)
        frequency[i] = f.frequency[std::size_t(i)];
    const Grid grid = gridOf(frequency);
    const auto solution = solve(air, grid, model.air);
    if (!solution) return fail(solution.error());
    const Node main = air.sources.front().node;
    for (std::size_t e = 0; e < air.elements.size(); ++e) {
        if (bare.elements[e].cause == Cause::airSpring) continue;
        Eigen::ArrayXcd flow = Eigen::ArrayXcd::Zero(fastPoints);
        bool joins = false;
        std::visit(
            [&](const auto& element) {
                if constexpr (requires { element.from; }) {
                    const EndFlows ends = endFlows(air.elements[e], *solution, grid, model.air);
                    if (element.from == main) flow += ends.first.value, joins = true;
                    if (element.to == main) flow -= ends.last.value, joins = true;
                }
            },
            air.elements[e]);
        const Eigen::ArrayXcd out = bare.elements[e].toOutside
                                        ? endFlows(air.elements[e], *solution, grid, model.air).last.value
                                        : Eigen::ArrayXcd::Zero(fastPoints).eval();
        for (std::size_t i = 0; i < fastPoints; ++i) {
            const auto at = Eigen::Index(i);
            if (joins) f.others.re[i] += flow[at].real(), f.others.im[i] += flow[at].imag();
            f.othersOutside.re[i] += out[at].real(), f.othersOutside.im[i] += out[at].imag();
        }
    }
    return {};
}

// The feed as one driver sees it: voltage for 1 V of the source, and the impedance in series with each driver.
struct FedDriver {
    double voltage = 1;
    Complex series;
    double plainSeries = 0;
};
FedDriver fedDriver(const Model& m, double w)
{
    Complex Z = m.sourceResistance;
    double R = m.sourceResistance;
    for (const SeriesElement& part : m.seriesParts) {
        Z += part.R + j * w * part.L;
        if (part.C > 0) Z += 1.0 / (j * w * part.C);
        R += part.R;
    }
    const double n = m.driverCount;
    if (m.wiring == Wiring::parallel) return {1, n * Z, n * R};
    return {1 / n, Z / n, R / n};
}

// Along which the first wave stands.
double longestWay(const Cavity& cavity)
{
    const auto shape = cavity.measurements.empty() ? std::nullopt : shapeOf(cavity, {});
    return shape ? shape->length() : cavity.depth.value_or(std::cbrt(cavity.netVolume));
}

// In a box the ports are in the wall at 0; along a measured shape the default is its far end.
double driverFromPort(const Model& m)
{
    const Cavity& cavity = m.housing.cavity;
    const double at = cavity.driverAt.value_or(0);
    const auto shape = cavity.measurements.empty() ? std::nullopt : shapeOf(cavity, {});
    return shape ? shape->length() - at : at;
}

}  // namespace

Result<FastModel> fastModelOf(const Model& m, const FastBand& band)
{
    FastModel f;
    f.air = m.air;
    f.fill = m.housing.cavity.fillFactor.value_or(1);
    const Driver& d = m.driver.driver;
    const double n = m.driverCount;
    const double closed = m.driver.fs * std::sqrt(1 + n * Cas(d) / m.Cab);
    f.frequency = frequencies(band, closed);
    const double standing = 0.9 * m.air.c / (2 * longestWay(m.housing.cavity));
    while (f.f3From > 1 && f.frequency[std::size_t(f.f3From)] > standing)
        --f.f3From;
    for (std::size_t i = 0; i + 1 < fastPoints; ++i)
        f.frequencyStep[i] = std::log(f.frequency[i + 1] / f.frequency[i]);
    f.loadArea = n * square(d.Sd);
    const double feed = m.voltage > 0 ? m.voltage : 1, place = m.air.rho / (m.solidAngle * m.distance);
    f.motorPlain = square(d.Bl) / (d.Re + fedDriver(m, 1).plainSeries);
    f.bandTo = fastPoints;
    for (std::size_t i = 0; i < fastPoints; ++i) {
        const double w = 2 * pi * f.frequency[i];
        f.omega[i] = w;
        const FedDriver fed = fedDriver(m, w);
        const Complex Ze = d.Re + impedanceAt(d.inductance, w).Z + fed.series;
        put(f.mechanical, int(i), d.Rms + j * (w * d.Mms - 1 / (w * d.Cms)));
        put(f.motor, int(i), square(d.Bl) / Ze);
        double filter = 1;
        if (m.highPass) filter = std::abs(highPassAt(*m.highPass, w).H);
        const double E = feed * filter * fed.voltage;
        const double force = d.Bl * E / std::abs(Ze);  // N rms
        f.level[i] = square(n * d.Sd * force * w * place);
        // Plain: G = w |outflow| over its limit n Sd F/Mms.
        f.plain[i] = square(w * d.Mms);
        f.travel[i] = 2 * square(force / w);
        f.travelLimit[i] = m.driver.Xmax ? f.travel[i] / square(*m.driver.Xmax) : 0;
        f.flow[i] = 2 * square(n * d.Sd * force);
        f.power[i] = m.driver.power ? d.Re * square(E / std::abs(Ze)) / *m.driver.power : 0;
        f.amplifier[i] = m.amplifierLimit ? square(feed * filter / *m.amplifierLimit) : 0;
        constexpr double edge = 1e-9;
        if (f.frequency[i] < band.from * (1 - edge)) f.bandFrom = int(i) + 1;
        if (f.frequency[i] <= band.to * (1 + edge)) f.bandTo = int(i) + 1;
    }
    f.bandTo = std::max(f.bandTo, f.bandFrom + 1);
    for (const Opening& o : m.housing.openings)
        if (o.cavity != CavityId::second) {
            if (const auto* leak = std::get_if<LeakByQ>(&o.kind)) f.leakLoss += 1 / leak->q;
            if (const auto* port = std::get_if<PortOpening>(&o.kind)) f.otherPorts += 1 / portInertance(*port, m.air);
        }
    f.driverAt = driverFromPort(m);
    if (m.housing.cavity.absorptionQ) f.absorption = 1 / *m.housing.cavity.absorptionQ;
    if (auto others = addOthers(f, m); !others) return fail(others.error());
    return f;
}

FastPort fastPortOf(const PortOpening& port, const PortInCavity& placed, double airLimit, const FastModel& model,
                    const FastPort* same)
{
    FastPort f = same ? *same : FastPort{};
    f.area = areaOf(port);
    f.count = countOf(port);
    f.heldFrom = placed.inner.heldFrom > 0 ? placed.inner.heldFrom : 0;
    f.textbookEnds = endCorrections(port);
    f.airLimit = airLimit;
    f.separation = separationFactor(separationOf(port), f.area, f.count, model.air);
    if (same) return f;
    // One tube, a tenth of a millimetre long, and its mouth alone.
    PortLine line;
    line.radius = placed.radius;
    line.slotHeight = placed.slotHeight;
    line.area = f.area;
    line.length = 1e-4;
    PortLine mouth = line;
    mouth.length = 0;
    mouth.count = f.count;
    mouth.outer = placed.outer;
    for (int i = 0; i < fastPoints; ++i) {
        const double w = model.omega[std::size_t(i)];
        const Chain chain = chainAt(line, w, model.air);
        // B = Zc sinh, C = sinh/Zc of a piece so short that sinh is its argument to 1e-7.
        put(f.characteristic, i, std::sqrt(chain.B / chain.C));
        put(f.gamma, i, std::sqrt(chain.B * chain.C) / line.length);
        put(f.outer, i, chainAt(mouth, w, model.air).B * double(f.count));
    }
    return f;
}

namespace {

constexpr double sameLength = 1e-13;  // m; what is so little longer is so by rounding

}  // namespace

PORTWRIGHT_WIDE void FastResponse::advanceLine(double length)
{
    constexpr int longestRun = 256;  // then afresh, so that rounding does not add up
    const double step = length - length_;
    if (length_ < 0 || ++turned_ > longestRun || std::abs(step) > 0.05) {
        for (int i = 0; i < fastPoints; ++i) {
            const Complex x = Complex(port_.gamma.re[std::size_t(i)], port_.gamma.im[std::size_t(i)]) * length;
            put(cosh_, i, std::cosh(x));
            put(sinh_, i, std::sinh(x));
        }
        turned_ = 0;
        length_ = length;
        return;
    }
    if (std::abs(step) < sameLength) return;
    if (std::abs(step - step_) > sameLength) {
        for (int i = 0; i < fastPoints; ++i) {
            const Complex x = Complex(port_.gamma.re[std::size_t(i)], port_.gamma.im[std::size_t(i)]) * step;
            put(coshStep_, i, std::cosh(x));
            put(sinhStep_, i, std::sinh(x));
        }
        step_ = step;
    }
    for (std::size_t i = 0; i < fastPoints; ++i) {
        const double cr = cosh_.re[i], ci = cosh_.im[i], sr = sinh_.re[i], si = sinh_.im[i];
        const double ar = coshStep_.re[i], ai = coshStep_.im[i], br = sinhStep_.re[i], bi = sinhStep_.im[i];
        cosh_.re[i] = cr * ar - ci * ai + sr * br - si * bi;
        cosh_.im[i] = cr * ai + ci * ar + sr * bi + si * br;
        sinh_.re[i] = sr * ar - si * ai + cr * br - ci * bi;
        sinh_.im[i] = sr * ai + si * ar + cr * bi + ci * br;
    }
    length_ = length;
}

PORTWRIGHT_WIDE void FastResponse::advanceAir(Turned& air, double length)
{
    if (std::abs(length - air.length) < sameLength) return;
    const double k = std::sqrt(model_.fill) / model_.air.c, by = length - air.length;
    if (air.length < 0 || turned_ == 0 || std::abs(by) > 0.05) {
        for (std::size_t i = 0; i < fastPoints; ++i) {
            air.cos[i] = std::cos(k * model_.omega[i] * length);
            air.sin[i] = std::sin(k * model_.omega[i] * length);
        }
        air.length = length;
        return;
    }
    if (std::abs(by - air.step) > sameLength) {
        for (std::size_t i = 0; i < fastPoints; ++i) {
            air.cosStep[i] = std::cos(k * model_.omega[i] * by);
            air.sinStep[i] = std::sin(k * model_.omega[i] * by);
        }
        air.step = by;
    }
    for (std::size_t i = 0; i < fastPoints; ++i) {
        const double c = air.cos[i];
        air.cos[i] = c * air.cosStep[i] - air.sin[i] * air.sinStep[i];
        air.sin[i] = air.sin[i] * air.cosStep[i] + c * air.sinStep[i];
    }
    air.length = length;
}

namespace {

// The cavity's air as the driver divides it: between it and the mouth, beyond the mouth, and beyond itself.
struct AirParts {
    double acrossArea, across, mouthArea, mouth, driverArea, driver;
};
AirParts partsOf(const FastPlace& p, double driverAt)
{
    const double at = std::clamp(driverAt, 0.0, p.P + p.d);
    if (at <= p.P) return {p.P > 0 ? p.A1 : p.A, p.P - at, p.A, p.d, p.A1, at};
    return {p.A, at - p.P, p.P > 0 ? p.A1 : p.A, p.P, p.A, p.d - (at - p.P)};
}

}  // namespace

namespace {

// From the highest frequency with half the power down to where that is left, a straight line in logarithms between two
// frequencies.
double halfPower(const FastArray& plain, const FastModel& m)
{
    constexpr double half = 0.5;
    auto top = std::size_t(m.f3From);
    while (top > 0 && !(plain[top] >= half))
        --top;
    if (top == 0) return std::numeric_limits<double>::infinity();
    for (std::size_t i = top; i-- > 0;)
        if (plain[i] < half) {
            const double t = std::log(half / plain[i]) / std::log(plain[i + 1] / plain[i]);
            return m.frequency[i] * std::exp(t * m.frequencyStep[i]);
        }
    return m.frequency.front();
}

}  // namespace

PORTWRIGHT_WIDE FastScores FastResponse::at(const FastPlace& p)
{
    const FastModel& m = model_;
    advanceLine(p.length);
    const AirParts parts = partsOf(p, m.driverAt);
    advanceAir(across_, parts.across);
    advanceAir(beside_, parts.mouth);
    if (parts.driver != stubLength_) {
        stubLength_ = parts.driver;
        for (std::size_t i = 0; i < fastPoints; ++i)
            driverStub_[i] = std::tan(std::sqrt(m.fill) * m.omega[i] / m.air.c * stubLength_);
    }

    const double rhoC = m.air.rho * m.air.c, root = std::sqrt(m.fill), n = port_.count;
    const double front = rhoC / (parts.acrossArea * root), back = parts.mouthArea * root / rhoC;
    const double stub = parts.driverArea * root / rhoC, inner = m.air.rho / port_.area;
    const double C = m.fill * p.volume / (m.air.rho * square(m.air.c));
    const double M = m.air.rho * (p.nominal + port_.textbookEnds) / (n * port_.area);
    const double w0 = std::sqrt((1 / M + m.otherPorts) / C);
    const double leak = w0 * C * m.leakLoss, tau = m.absorption / w0;
    const double air = 1 / square(n * port_.area * port_.airLimit), held = port_.heldFrom * m.air.c;

    const double atMouth = (parts.mouthArea * parts.mouth + parts.acrossArea * parts.across / 2) / p.volume;

    FastArray level, over, plain, travel, flow, resistance{};
    const auto reckon = [&](std::size_t begin, std::size_t end) __attribute__((always_inline)) {
        for (std::size_t i = begin; i < end; ++i) {
            const double w = m.omega[i];
            const double chr = cosh_.re[i], chi = cosh_.im[i], shr = sinh_.re[i], shi = sinh_.im[i];
            const double zr = port_.characteristic.re[i], zi = port_.characteristic.im[i];
            const double k = std::min(w, held) / m.air.c, X = w * inner * (p.l0 + p.l2 * k * k);
            // line: B0 = Zc sinh, C0 = sinh/Zc; then the inner end before and the mouth behind it
            const double zz = 1 / (zr * zr + zi * zi);
            const double c0r = (shr * zr + shi * zi) * zz, c0i = (shi * zr - shr * zi) * zz;
            const double br = zr * shr - zi * shi - X * chi, bi = zr * shi + zi * shr + X * chr;
            const double ar = chr - X * c0i, ai = chi + X * c0r;
            const double or_ = port_.outer.re[i] + resistance[i], oi = port_.outer.im[i];
            const double Br = br + ar * or_ - ai * oi, Bi = bi + ar * oi + ai * or_;
            const double Dr = chr + c0r * or_ - c0i * oi, Di = chi + c0r * oi + c0i * or_;
            // mouth: N/L = n D/B + j back tan, both times the cosine of the air beyond it
            const double b = back * beside_.sin[i], cp = beside_.cos[i];
            const double Lr = Br * cp, Li = Bi * cp;
            // lining, as much of it at the mouth as there is air around it, the rest at the driver
            const double lossy = 1 / (1 + square(w * tau)), liningR = w * C * (w * tau) * lossy,
                         liningI = -liningR * w * tau;
            const double mR = atMouth * liningR, mI = atMouth * liningI;
            const double Nr = n * Dr * cp - b * Bi + mR * Lr - mI * Li, Ni = n * Di * cp + b * Br + mR * Li + mI * Lr;
            // across the cavity to the driver: E = cos L + j front sin N, F = cos N + j sin/front L, Y = F/E
            const double c = across_.cos[i], s = across_.sin[i], fs = front * s, sf = s / front;
            const double Er = c * Lr - fs * Ni, Ei = c * Li + fs * Nr;
            const double Fr = c * Nr - sf * Li, Fi = c * Ni + sf * Lr;
            // other openings, leak, the air beyond the driver: Y' = Y + y
            const double yr = m.others.re[i] + leak + (1 - atMouth) * liningR;
            const double yi = m.others.im[i] + (1 - atMouth) * liningI + stub * driverStub_[i];
            const double Gr = Fr + yr * Er - yi * Ei, Gi = Fi + yr * Ei + yi * Er;
            // flow that reaches the outside
            const double gr = m.othersOutside.re[i] + leak, gi = m.othersOutside.im[i], u = n * cp;
            const double Qr = Gr - (gr * Er - gi * Ei) - u, Qi = Gi - (gr * Ei + gi * Er);
            // driver: a = Zm G + n Sd^2 E, then with its motor
            const double zmR = m.mechanical.re[i], zmI = m.mechanical.im[i];
            const double aR = zmR * Gr - zmI * Gi + m.loadArea * Er, aI = zmR * Gi + zmI * Gr + m.loadArea * Ei;
            const double tr = m.motor.re[i], ti = m.motor.im[i];
            const double Hr = aR + tr * Gr - ti * Gi, Hi = aI + tr * Gi + ti * Gr;
            const double Pr = aR + m.motorPlain * Gr, Pi = aI + m.motorPlain * Gi;
            const double Q2 = Qr * Qr + Qi * Qi, G2 = Gr * Gr + Gi * Gi, H2 = 1 / (Hr * Hr + Hi * Hi);
            level[i] = m.level[i] * Q2 * H2;
            plain[i] = m.plain[i] * Q2 / (Pr * Pr + Pi * Pi);
            travel[i] = m.travel[i] * G2 * H2;
            const double limit =
                std::max(std::max(m.travelLimit[i] * G2, m.flow[i] * air * u * u), m.power[i] * (aR * aR + aI * aI));
            over[i] = std::max(limit * H2, m.amplifier[i]);
            flow[i] = m.flow[i] * u * u * H2;
        }
    };
    reckon(0, fastPoints);

    FastScores score;
    const auto bandFrom = std::size_t(m.bandFrom), bandTo = std::size_t(m.bandTo);
    double quietest = std::numeric_limits<double>::infinity(), high = 0, low = quietest, most = 0, worst = 0;
    for (std::size_t i = 0; i < fastPoints; ++i)
        most = std::max(most, travel[i]), worst = std::max(worst, over[i]);
    for (std::size_t i = bandFrom; i < bandTo; ++i)
        high = std::max(high, level[i]), low = std::min(low, level[i]);
    score.f3 = halfPower(plain, m);
    if (port_.separation > 0) {
        // At the limit the flow is known, and with it the resistance r |U|, of one tube count times that. Where it is
        // the port's air that stops it, at once; where it is the cone or the coil, nearly.
        for (std::size_t i = bandFrom; i < bandTo; ++i)
            resistance[i] = over[i] > 0 ? n * port_.separation * std::sqrt(flow[i] / (2 * over[i])) : 0;
        reckon(bandFrom, bandTo);
    }
    for (std::size_t i = bandFrom; i < bandTo; ++i)
        quietest = std::min(quietest, over[i] > 0 ? level[i] / over[i] : std::numeric_limits<double>::infinity());
    constexpr double p0 = referencePressure * referencePressure;
    score.loudest = 10 * std::log10(quietest / p0);
    score.ripple = 10 * std::log10(high / low);
    score.travel = std::sqrt(most);
    score.over = std::sqrt(worst);
    return score;
}

}  // namespace portwright
