// SPDX-License-Identifier: GPL-3.0-or-later
// What the air beyond its mouths adds to a port's length: inside by the modes of the cavity's cross-section, outside by
// the wall or front it ends in. All lengths in m. Checked against finite-element results made for this project
// (tests/data/port_tuning.csv); the terms marked "fitted" come from that series.
#pragma once

#include "core/network/network.h"

#include <array>
#include <cstdint>
#include <map>
#include <vector>

namespace portwright {

/// A flush mouth: a round one of radius a, or a slot with its width along x.
struct Mouth {
    double radius = 0;             ///< round; for a slot sqrt(width height/pi)
    double width = 0, height = 0;  ///< slot; 0: round
};
Mouth roundMouth(double radius);
Mouth slotMouth(double width, double height);
double areaOf(const Mouth& mouth);

/// What the sums below take off an end with uniform velocity over the mouth to have that of a tube, whose flow is not
/// uniform: 0.0271 a round (0.8488 - 0.8216), slot (0.0305 - 0.005 log2(w/h)) sqrt(S/pi), fitted.
double uniformExcess(const Mouth& mouth);

/// A box seen from a mouth in one of its walls: width and breadth across the port's axis, depth along it, and the
/// mouth's centre from a corner. Several equal mouths: their centres about that place; in phase, each is given the mean
/// of their ends.
struct BoxPlace {
    double width = 0, breadth = 0, depth = 0;
    double x = 0, y = 0;
    std::vector<std::array<double, 2>> centres{};  ///< empty: one mouth
};

/// The part of the sums below that no depth changes, of a mouth in a section: the longer part by far. Kept, for a
/// search has the same mouth in the same section over and over. Not to be shared between threads.
class ModeSums {
public:
    struct Sum {
        double l0 = 0, l2 = 0;
    };
    /// Sums of g/K and g/(2 K^3), for sizes rounded to 1e-12 m: what rounding moves is found again.
    const Sum& of(const BoxPlace& box, const Mouth& mouth);

private:
    std::map<std::vector<std::int64_t>, Sum> known_;
};

/// Inner end at a wall, the cavity beyond carried by a line along the port's axis: the sum over all modes of the
/// cross-section but the plane one, which the line carries (Ingard, JASA 25 (1953) 1037, gives the static sum of a
/// centred mouth; Kergomard and Garcia, JSV 114 (1987) 465, its closed form; pages from memory). Uniform velocity over
/// the mouth, corrected to that of a tube by the difference 0.8488 - 0.8216 of the free mouth (slot: fitted).
/// Near walls and in corners within 0.2 % of tuning, for any depth.
InnerEnd innerEndInBox(const BoxPlace& box, const Mouth& mouth, ModeSums* known = nullptr);
InnerEnd innerEndInCylinder(double cavityRadius, double depth, double radius);  ///< on its axis, round mouth

/// What the walls beside it do to the end of a tube that stands in the box, with a wall `before` its mouth, m: the
/// modes' sum of a mouth in an endless duct and of its image behind that wall. 0.8 of it beyond that of the same tube
/// in the middle is what they add (fitted).
double asideLength(const BoxPlace& box, const Mouth& mouth, double before, ModeSums* known = nullptr);

/// Inner end in the side of a duct that runs along the box's breadth: the sum over all modes less what a line along the
/// breadth carries from a point at y. Across the duct the box is width x depth.
InnerEnd innerEndOnDuct(const BoxPlace& box, const Mouth& mouth);

/// Outer end in an endless wall, at low frequency: round 0.8216 a (Nomura, Yamamura, Inawashiro 1960; Norris and Sheng,
/// JSV 135 (1989) 85); slot: the integral of a uniform velocity over it, less the same fitted difference.
double outerEndInWall(const Mouth& mouth);

/// Outer end, round, in the flat front of radius b of a free-standing housing, or of a tube of that outer radius:
/// 0.8216 - 0.2083 x + 0.057 x (1 - x^5), x = a/b. Dalmont, Nederveen, Joly, JSV 244 (2001) 505 (form from a thesis
/// that quotes it). Within 0.03 % of tuning on free-standing housings.
double outerEndInFront(double radius, double frontRadius);

/// The same for any mouth: a slot's end in a wall, less in the proportion of a round mouth of equal area (rule of
/// thumb).
double outerEndInFront(const Mouth& mouth, double frontRadius);

/// What an equal mouth beside it in the same wall adds to each: a^2/(2 s), s between centres. 9 % low where they touch.
double neighbourLength(double radius, double distance);

/// Inner end of a slot as wide as the cavity whose shelf ends inside: heights of the slot, of the air beside it beyond
/// the shelf, and of the shelf. Where all waves are plane the ducts meet as if slot and air beside ran so much beyond
/// the shelf's end, and the air before it began so much later as keeps the volume. Exact at low frequency: flow round
/// the end of a plate by a Schwarz-Christoffel map; a thin shelf's are both (a ln(c/a) + b ln(c/b))/pi, c = a + b.
struct ShelfEnd {
    double slot = 0, beside = 0, before = 0;
};
ShelfEnd shelfEnd(double slotHeight, double besideHeight, double shelf);

}  // namespace portwright
