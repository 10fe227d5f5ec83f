// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/feed/feed.h"

#include <cmath>

namespace portwright {

double feedVoltage(const Feed& feed)
{
    if (feed.voltage) return *feed.voltage;
    if (feed.power && feed.into) return std::sqrt(*feed.power * *feed.into);
    return 2.83;
}

double amplifierVoltage(const AmplifierRating& rating) { return std::sqrt(rating.power * rating.impedance); }

// H(s) = prod s/(s - p_k) over the Butterworth poles p_k = wc e^{j pi (2k + n + 1)/(2n)}; s = j w.
// d ln H/dw = n/w - sum j/(j w - p_k).
FilterAt highPassAt(const HighPass& filter, double omega)
{
    using Complex = std::complex<double>;
    const double wc = 2 * pi * filter.corner;
    const Complex s(0, omega);
    Complex H = 1;
    Complex slope = filter.order / omega;
    for (int k = 0; k < filter.order; ++k) {
        const Complex pole = std::polar(wc, pi * (2 * k + filter.order + 1) / (2.0 * filter.order));
        H *= s / (s - pole);
        slope -= Complex(0, 1) / (s - pole);
    }
    return {H, H * slope};
}

}  // namespace portwright
