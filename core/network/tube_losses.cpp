// SPDX-License-Identifier: GPL-3.0-or-later
// Viscothermal series impedance of round and slot tubes, and the radiation of their mouths.
#include "core/network/boundary_layer.h"
#include "core/network/network.h"

#include <array>
#include <cmath>

namespace portwright {

namespace {

using Complex = std::complex<double>;

Complex product(Complex a, Complex b)
{
    return {a.real() * b.real() - a.imag() * b.imag(), a.real() * b.imag() + a.imag() * b.real()};
}

// q = J1(z)/J0(z) for z on the ray arg z = -45 deg. Far out from the asymptotic series of its Riccati equation
// q' = 1 - q/z + q^2 with q -> -j there (q = sum a_k z^-k); nearer by the backward continued fraction
// J1/J0 = z/(2 - z^2/(4 - z^2/(6 - ...))). Both checked against 30-digit values in the tests.
Complex besselRatio(Complex z)
{
    constexpr int terms = 16;
    static const std::array<Complex, terms> a = [] {
        std::array<Complex, terms> s{};
        s[0] = Complex(0, -1);
        for (int k = 1; k < terms; ++k) {
            Complex sum = s[k - 1] * (2.0 - k);
            for (int i = 1; i < k; ++i)
                sum -= s[i] * s[k - i];
            s[k] = sum / (2.0 * s[0]);
        }
        return s;
    }();
    const double size = std::abs(z);
    if (size > 25) {
        const Complex u = std::conj(z) / std::norm(z);
        const int used = size > 80 ? 7 : terms;  // the next term is then below 1e-12
        double re = a[used - 1].real(), im = a[used - 1].imag();
        for (int k = used - 2; k >= 0; --k) {  // in plain arithmetic, which costs a third of the library's product
            const double r = re * u.real() - im * u.imag() + a[k].real();
            im = re * u.imag() + im * u.real() + a[k].imag();
            re = r;
        }
        return {re, im};
    }
    const int n = static_cast<int>(size + 12 + 6 * std::cbrt(size)) + 1;
    const Complex z2 = z * z;
    Complex t = 2.0 * n;
    for (int k = n - 1; k >= 1; --k)
        t = 2.0 * k - z2 / t;
    return z / t;
}

// 1/(1 - F) and its derivative by w: Zs = j w rho/S / (1 - F) per metre.
struct ViscousFactor {
    Complex value, derivative;
};

ViscousFactor viscousFactor(const HeldShare& held)
{
    const Complex g = 1.0 / (1.0 - held.F);
    return {g, g * g * held.dF};
}

}  // namespace

HeldShare heldShareRound(double radius, double w, double diffusivity)
{
    const Complex z = radius * std::sqrt(w / diffusivity) * Complex(1, -1) / std::sqrt(2.0);
    const Complex q = besselRatio(z);
    const Complex u = std::conj(z) / std::norm(z), F = 2.0 * product(q, u);
    // dF/dz z = 2 (1 + q^2) - 2 F, from q' = 1 - q/z + q^2; dz/dw = z/(2 w)
    return {F, (1.0 + product(q, q) - F) / w};
}

HeldShare heldShareSlot(double height, double w, double diffusivity)
{
    const Complex y = height / 2 * std::sqrt(w / diffusivity) * Complex(1, 1) / std::sqrt(2.0);
    const Complex th = y.real() > 20 ? Complex(1) : std::tanh(y);  // 1 to 4e-18 there
    const Complex dFdy = (1.0 - th * th) / y - th / (y * y);
    return {th / y, dFdy * y / (2 * w)};
}

ImpedanceAt impedanceAt(const Tube& tube, double omega, const Air& air)
{
    const Complex jw(0, omega);
    const double m = air.rho / tube.area;
    const double nu = air.mu / air.rho;
    const ViscousFactor g = viscousFactor(tube.slotHeight > 0 ? heldShareSlot(tube.slotHeight, omega, nu)
                                                              : heldShareRound(tube.radius, omega, nu));
    Complex wall = jw * m * tube.length * g.value;
    Complex dWall = Complex(0, m * tube.length) * g.value + jw * m * tube.length * g.derivative;
    if (!tube.wallInertance) {
        wall = Complex(wall.real(), omega * m * tube.length);
        dWall = Complex(dWall.real(), m * tube.length);
    }
    const double radiation = tube.radiationFactor * air.rho / (2 * pi * air.c);  // low ka: rho w^2/(2 pi c), one mouth
    const double n = tube.count;
    // In-phase mouths close together radiate as one: each then meets count times its own radiation resistance.
    const Complex Z = (wall + jw * m * tube.ends) / n + radiation * omega * omega;
    const Complex dZ = (dWall + Complex(0, m * tube.ends)) / n + 2 * radiation * omega;
    return {Z, dZ};
}

}  // namespace portwright
