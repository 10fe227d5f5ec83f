// SPDX-License-Identifier: GPL-3.0-or-later
// Drivers and housings for the tests: the reference driver of the golden tables, and random valid ones.
#pragma once

#include "core/response/model.h"

namespace portwright::test {

/// rho = 1.2 kg/m3, c = 343 m/s, deliberately round: the air of the golden tables.
Air roundAir();

/// The reference driver: Re 3.6, Le 0.35 mH, Bl 6.5, Mms 15.5 g, Cms 0.55 mm/N, Rms 1.2, Sd 133 cm2.
Driver referenceDriver(double Le = 0.35e-3);
CompleteDriver completed(const Driver& driver);

Housing closedHousing(double volume);
Model modelOfReference(const Housing& housing, double voltage = 2.83, double Le = 0.35e-3);

/// Log-uniform number. To be called inside rc::prop.
double logUniform(double low, double high);
bool coin();

Driver arbitraryDriver();
/// Every opening, second cavity, several drivers, both wirings; classical ports with a given Q unless asked otherwise.
struct HousingChoice {
    bool computedLosses = false;
    bool secondCavity = true;
    bool openings = true;
    bool shaped = false;  ///< a main cavity of known shape, in segments, driver and ports anywhere along it
};
Housing arbitraryHousing(const HousingChoice& choice = {});
Feed arbitraryFeed();

}  // namespace portwright::test
