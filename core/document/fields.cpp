// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/document/fields.h"

#include "core/constants.h"

#include <algorithm>
#include <array>

namespace portwright {

namespace {

using D = Dimension;
constexpr std::nullopt_t none = std::nullopt;

// object, key, symbol, meaning, dimension, file value per SI, least, most, unit, default.
// Ranges of the format's description where it gives one; the others only shut out slips of the pen.
constexpr std::array fields{
    FieldInfo{"air", "temperature_c", "t", "air temperature", D::temperature, 1, -20, 50, "\u00B0C", 20.0},
    FieldInfo{"air", "altitude_m", "altitude", "height above sea level, sets the air pressure", D::distance, 1, -400,
              4000, "m", 0.0},
    FieldInfo{"air", "pressure_pa", "p", "air pressure, in place of the altitude", D::pressure, 1, 60000, 110000, "Pa",
              none},
    FieldInfo{"air", "relative_humidity_pct", "RH", "relative humidity", D::percent, 100, 0, 100, "%", 50.0},

    FieldInfo{"driver", "fs_hz", "fs", "free-air resonance", D::frequency, 1, 5, 2000, "Hz", none},
    FieldInfo{"driver", "qes", "Qes", "electrical quality factor", D::quality, 1, 0.03, 100, "", none},
    FieldInfo{"driver", "qms", "Qms", "mechanical quality factor", D::quality, 1, 0.03, 100, "", none},
    FieldInfo{"driver", "qts", "Qts", "total quality factor", D::quality, 1, 0.03, 100, "", none},
    FieldInfo{"driver", "vas_l", "Vas", "air volume as springy as the suspension", D::volume, 1000, 0.02, 2000, "L",
              none},
    FieldInfo{"driver", "cms_mm_n", "Cms", "suspension compliance", D::compliance, 1000, 0.0001, 1000, "mm/N", none},
    FieldInfo{"driver", "mms_g", "Mms", "moving mass with its air load", D::mass, 1000, 0.01, 10000, "g", none},
    FieldInfo{"driver", "bl_t_m", "Bl", "force factor", D::forceFactor, 1, 0.01, 1000, "T\u00B7m", none},
    FieldInfo{"driver", "rms_kg_s", "Rms", "mechanical loss", D::mechanicalLoss, 1, 0.0001, 1000, "kg/s", none},
    FieldInfo{"driver", "sensitivity_db", "sensitivity", "level at 1 m in half space", D::level, 1, 40, 140, "dB",
              none},
    FieldInfo{"driver", "re_ohm", "Re", "coil resistance at direct current", D::resistance, 1, 0.3, 100, "\u03A9",
              none},
    FieldInfo{"driver", "le_mh", "Le", "coil inductance", D::inductance, 1000, 0, 50, "mH", 0.0},
    FieldInfo{"driver", "sd_cm2", "Sd", "piston area, to the middle of the surround", D::area, 1e4, 3, 3000, "cm\u00B2",
              none},
    FieldInfo{"driver", "xmax_mm", "Xmax", "linear travel, one way, peak", D::travel, 1000, 0.01, 300, "mm", none},
    FieldInfo{"driver", "xmech_mm", "Xmech", "travel to the mechanical stop, one way, peak", D::travel, 1000, 0.01, 300,
              "mm", none},
    FieldInfo{"driver", "power_w", "power", "power the coil takes continuously", D::power, 1, 0.1, 20000, "W", none},
    FieldInfo{"driver", "nominal_ohm", "nominal", "nominal impedance as printed on it", D::resistance, 1, 0.3, 200,
              "\u03A9", none},
    FieldInfo{"driver", "displacement_l", "displaced", "volume the driver itself takes", D::volume, 1000, 0, 100, "L",
              none},

    FieldInfo{"inductance", "le_mh", "Le", "inductance in series", D::inductance, 1000, 0, 50, "mH", none},
    FieldInfo{"inductance", "l2_mh", "L2", "inductance beside R2", D::inductance, 1000, 0, 50, "mH", none},
    FieldInfo{"inductance", "r2_ohm", "R2", "resistance beside L2", D::resistance, 1, 0, 10000, "\u03A9", none},
    FieldInfo{"inductance", "k", "K", "semi-inductance, ohm s^n", D::ratio, 1, 0, 1000, "", none},
    FieldInfo{"inductance", "n", "n", "exponent of the semi-inductance", D::ratio, 1, 0.1, 1, "", none},

    FieldInfo{"housing", "driver_count", "drivers", "identical drivers in the main cavity", D::count, 1, 1, 8, "", 1.0},

    FieldInfo{"cavity", "net_volume_l", "Vb", "air left after driver, ports and bracing", D::volume, 1000, 0.02, 2000,
              "L", none},
    FieldInfo{"cavity", "fill_factor", "fill", "apparent growth of the volume by fibre", D::ratio, 1, 1, 1.4, "", 1.0},
    FieldInfo{"cavity", "absorption_q", "Qa", "quality factor of the lining's loss", D::quality, 1, 1, 1000, "", none},

    FieldInfo{"cavity", "net_uncertainty_l", "u(Vb)", "standard uncertainty of the net volume", D::volume, 1000, 0,
              2000, "L", none},
    FieldInfo{"cavity", "driver_at_mm", "driver at", "place of the driver along the cavity, from its first end",
              D::length, 1000, 0, 10000, "mm", 0.0},

    FieldInfo{"cavity", "width_mm", "width", "inner width across the port's axis", D::length, 1000, 5, 10000, "mm",
              none},
    FieldInfo{"cavity", "breadth_mm", "breadth", "inner breadth across the port's axis", D::length, 1000, 5, 10000,
              "mm", none},
    FieldInfo{"cavity", "depth_mm", "depth", "inner depth along the port's axis", D::length, 1000, 5, 10000, "mm",
              none},

    FieldInfo{"room_for_port", "straight_mm", "straight run", "free run from the port's wall to magnet or far wall",
              D::length, 1000, 5, 10000, "mm", none},
    FieldInfo{"room_for_port", "across_mm", "run across", "free run across, for a port that turns", D::length, 1000, 5,
              10000, "mm", none},
    FieldInfo{"room_for_port", "mouth_width_mm", "place wide", "free width for the port's mouths in the wall",
              D::length, 1000, 5, 10000, "mm", none},
    FieldInfo{"room_for_port", "mouth_height_mm", "place high", "free height for the port's mouths in the wall",
              D::length, 1000, 5, 10000, "mm", none},
    FieldInfo{"room_for_port", "wall_mm", "wall", "thickness of the wall that the port goes through", D::length, 1000,
              0, 100, "mm", none},

    // From 0 where a measurement begun has no number yet; what cannot be reckoned with is told when it is reckoned.
    FieldInfo{"measurement", "readings_g", "weight", "water that fills the cavity, by weight", D::mass, 1000, 0, 2e6,
              "g", none},
    FieldInfo{"measurement", "readings_l", "filling", "what fills the cavity, poured back into a vessel", D::volume,
              1000, 0, 2000, "L", none},
    FieldInfo{"measurement", "scale_step_g", "scale step", "smallest step that the scale shows", D::mass, 1000, 0,
              10000, "g", 5.0},
    FieldInfo{"measurement", "vessel_step_ml", "vessel step", "smallest step of the measuring vessel", D::volume, 1e6,
              0, 10000, "ml", 50.0},
    FieldInfo{"measurement", "temperature_c", "water", "temperature of the water", D::temperature, 1, 0, 40, "\u00B0C",
              20.0},
    FieldInfo{"measurement", "residue_ml", "residue", "left behind when poured back", D::volume, 1e6, 0, 10000, "ml",
              0.0},
    FieldInfo{"measurement", "packing_pct", "packing", "how far the packing may differ, one standard deviation",
              D::percent, 100, 0, 50, "%", 3.0},
    FieldInfo{"measurement", "length_uncertainty_mm", "u(length)", "standard uncertainty of each length", D::length,
              1000, 0, 100, "mm", 1.0},
    FieldInfo{"measurement", "first_cap_mm", "first cap", "height of the cap before the first section", D::length, 1000,
              0, 5000, "mm", 0.0},
    FieldInfo{"measurement", "last_cap_mm", "last cap", "height of the cap beyond the last section", D::length, 1000, 0,
              5000, "mm", 0.0},
    FieldInfo{"measurement", "unit_mm", "file unit", "length of one unit of the scan's file", D::length, 1000, 1e-6,
              1e6, "mm", none},
    FieldInfo{"measurement", "wall_mm", "wall", "wall thickness taken off a scan of the outside", D::length, 1000, 0,
              200, "mm", none},
    FieldInfo{"measurement", "volume_l", "volume", "measured volume", D::volume, 1000, 0, 1e6, "L", none},
    FieldInfo{"measurement", "uncertainty_l", "u(volume)", "standard uncertainty of the measured volume", D::volume,
              1000, 0, 1e6, "L", none},
    FieldInfo{"measurement", "longest_mm", "longest", "longest inner dimension", D::length, 1000, 0, 1e5, "mm", none},
    FieldInfo{"measurement", "profile_at_mm", "at", "positions of the scan's sections", D::length, 1000, -1e5, 1e5,
              "mm", none},
    FieldInfo{"measurement", "profile_area_cm2", "area", "areas of the scan's sections", D::area, 1e4, 0, 1e7,
              "cm\u00B2", none},
    FieldInfo{"measurement", "profile_perimeter_mm", "perimeter", "perimeters of the scan's sections", D::length, 1000,
              0, 1e6, "mm", none},
    FieldInfo{"measurement", "fc_hz", "fc", "closed resonance, all openings sealed", D::frequency, 1, 0, 5000, "Hz",
              none},
    FieldInfo{"measurement", "uncertainty_hz", "u(fc)", "standard uncertainty of each resonance, default 0.5 %",
              D::frequency, 1, 0, 1000, "Hz", none},
    FieldInfo{"measurement", "free_resonance_hz", "fs", "free-air resonance of the driver measured with", D::frequency,
              1, 0, 2000, "Hz", none},
    FieldInfo{"measurement", "bottle_uncertainty_pct", "u(bottle)", "standard uncertainty of the bottles' volumes",
              D::percent, 100, 0, 50, "%", 1.0},

    FieldInfo{"section", "at_mm", "at", "position along the axis", D::length, 1000, -10000, 10000, "mm", none},
    FieldInfo{"section", "width_mm", "width", "width of the section", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"section", "height_mm", "height", "height of the section", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"section", "corner_mm", "corner", "radius of the corners", D::length, 1000, 0, 2500, "mm", none},
    FieldInfo{"section", "area_cm2", "area", "area of the section", D::area, 1e4, 0, 250000, "cm\u00B2", none},
    FieldInfo{"section", "points_mm", "points", "outline of the section", D::length, 1000, -10000, 10000, "mm", none},

    FieldInfo{"solid", "width_mm", "width", "width of the base", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"solid", "breadth_mm", "breadth", "breadth of the base", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"solid", "height_mm", "height", "height above the base", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"solid", "top_width_mm", "top width", "width of the top", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"solid", "top_breadth_mm", "top breadth", "breadth of the top", D::length, 1000, 0, 5000, "mm", none},
    FieldInfo{"solid", "diameter_mm", "diameter", "diameter of the base or the tube", D::length, 1000, 0, 5000, "mm",
              none},
    FieldInfo{"solid", "top_diameter_mm", "top diameter", "diameter of the top, 0 for a cone", D::length, 1000, 0, 5000,
              "mm", none},
    FieldInfo{"solid", "centre_line_radius_mm", "bend", "radius of the tube's centre line", D::length, 1000, 0, 5000,
              "mm", none},
    FieldInfo{"solid", "angle_deg", "angle", "angle that the tube bends by", D::angle, 180 / pi, 0, 360, "\u00B0",
              none},
    FieldInfo{"solid", "at_mm", "at", "centre of the base", D::length, 1000, -10000, 10000, "mm", 0.0},

    FieldInfo{"place_inside", "at_mm", "at", "where the part sits, in the coordinates of the solids or the scan",
              D::length, 1000, -1e5, 1e5, "mm", 0.0},

    FieldInfo{"bottle", "bottle_l", "bottle", "outside volume of the sealed bottle inside, 0 for none", D::volume, 1000,
              0, 2000, "L", none},
    FieldInfo{"bottle", "fc_hz", "fc", "closed resonance with it inside", D::frequency, 1, 0, 5000, "Hz", none},

    FieldInfo{"deduction", "volume_l", "volume", "air that it takes from the bare shell", D::volume, 1000, 0, 2000, "L",
              none},
    FieldInfo{"deduction", "uncertainty_l", "u(volume)", "standard uncertainty of that volume", D::volume, 1000, 0,
              2000, "L", none},

    FieldInfo{"hole", "diameter_mm", "bore", "diameter of the hole between the cavities", D::bore, 1000, 1, 1000, "mm",
              none},
    FieldInfo{"hole", "depth_mm", "depth", "depth of the hole between the cavities", D::length, 1000, 0, 3000, "mm",
              none},
    FieldInfo{"hole", "loss_q", "Qp", "quality factor of the hole's loss", D::quality, 1, 1, 1000, "", none},

    FieldInfo{"leak", "q", "Ql", "quality factor of the leak's loss", D::quality, 1, 0.1, 1000, "", none},
    FieldInfo{"leak", "diameter_mm", "bore", "diameter of a leaky hole", D::bore, 1000, 0.05, 500, "mm", none},
    FieldInfo{"leak", "width_mm", "width", "long side of a leaky slit", D::length, 1000, 0.05, 5000, "mm", none},
    FieldInfo{"leak", "height_mm", "height", "gap of a leaky slit", D::length, 1000, 0.005, 500, "mm", none},
    FieldInfo{"leak", "depth_mm", "depth", "way of the air through the wall", D::length, 1000, 0.05, 3000, "mm", none},
    FieldInfo{"leak", "count", "holes", "equal holes", D::count, 1, 1, 1000, "", 1.0},

    FieldInfo{"port", "count", "tubes", "equal tubes side by side", D::count, 1, 1, 16, "", 1.0},
    FieldInfo{"port", "diameter_mm", "bore", "inner diameter of one tube", D::bore, 1000, 3, 500, "mm", none},
    FieldInfo{"port", "width_mm", "width", "inner width of a slot", D::bore, 1000, 3, 2000, "mm", none},
    FieldInfo{"port", "height_mm", "height", "inner height of a slot", D::bore, 1000, 1, 2000, "mm", none},
    FieldInfo{"port", "length_mm", "length", "length of one tube, mouth to mouth", D::length, 1000, 0, 3000, "mm",
              none},
    FieldInfo{"port", "loss_q", "Qp", "quality factor of the port's loss", D::quality, 1, 1, 1000, "", none},
    FieldInfo{"port", "at_mm", "port at", "place of the port along the cavity, from its first end", D::length, 1000, 0,
              10000, "mm", none},
    FieldInfo{"port", "wall_mm", "wall", "wall thickness of the tube", D::length, 1000, 0, 100, "mm", 0.0},
    FieldInfo{"port", "inside_mm", "inside", "length of the tube inside the cavity", D::length, 1000, 0, 3000, "mm",
              none},

    FieldInfo{"port", "inner_flare_mm", "inner flare", "radius of a quarter-round flare at the inner end", D::length,
              1000, 0, 500, "mm", 0.0},
    FieldInfo{"port", "outer_flare_mm", "outer flare", "radius of a quarter-round flare at the outer end", D::length,
              1000, 0, 500, "mm", 0.0},
    FieldInfo{"port", "shared_walls", "shared walls", "walls of the slot that are walls of the cavity", D::count, 1, 0,
              3, "", 0.0},
    FieldInfo{"port", "x_mm", "x", "centre of the inner mouth across the cavity's width, from a corner", D::length,
              1000, 0, 10000, "mm", none},
    FieldInfo{"port", "y_mm", "y", "centre of the inner mouth across the cavity's breadth, from a corner", D::length,
              1000, 0, 10000, "mm", none},
    FieldInfo{"port", "obstacle_mm", "obstacle", "free distance before the inner mouth", D::length, 1000, 0, 10000,
              "mm", none},
    FieldInfo{"port", "front_mm", "front", "diameter of the free-standing front that the outer end is in", D::length,
              1000, 3, 10000, "mm", none},
    FieldInfo{"port", "spacing_mm", "spacing", "between the centres of the tubes", D::length, 1000, 0, 10000, "mm",
              none},
    FieldInfo{"port", "separation_k", "K", "loss of both ends together, in velocity heads", D::ratio, 1, 0, 4, "",
              none},

    FieldInfo{"port", "wanted_fb_hz", "wanted", "tuning that the port is trimmed to", D::frequency, 1, 5, 2000, "Hz",
              none},

    FieldInfo{"port_reading", "length_mm", "length", "length of one tube when it was swept, mouth to mouth", D::length,
              1000, 0, 3000, "mm", none},
    FieldInfo{"port_reading", "fb_hz", "fb", "frequency read at that length, 0 where it is cut but not swept yet",
              D::frequency, 1, 0, 2000, "Hz", none},
    FieldInfo{"port_reading", "uncertainty_hz", "u(fb)", "standard uncertainty of that reading, default 0.5 %",
              D::frequency, 1, 0, 100, "Hz", none},

    FieldInfo{"bend", "angle_deg", "angle", "angle that the port bends by", D::angle, 180 / pi, 0, 360, "\u00B0", none},
    FieldInfo{"bend", "radius_mm", "radius", "radius of the bend's centre line", D::length, 1000, 0, 3000, "mm", none},

    FieldInfo{"passive", "sd_cm2", "Sd", "piston area of the passive radiator", D::area, 1e4, 3, 3000, "cm\u00B2",
              none},
    FieldInfo{"passive", "mmp_g", "Mmp", "its moving mass with the air load", D::mass, 1000, 0.01, 10000, "g", none},
    FieldInfo{"passive", "cms_mm_n", "Cms", "its suspension compliance", D::compliance, 1000, 0.0001, 1000, "mm/N",
              none},
    FieldInfo{"passive", "rms_kg_s", "Rms", "its mechanical loss", D::mechanicalLoss, 1, 0, 1000, "kg/s", none},

    FieldInfo{"feed", "voltage_v", "E", "feed voltage, rms", D::voltage, 1, 0, 500, "V", 2.83},
    FieldInfo{"feed", "power_w", "P", "feed power into the load beside it", D::power, 1, 0, 20000, "W", none},
    FieldInfo{"feed", "into_ohm", "into", "load that the feed power is meant for", D::resistance, 1, 0.1, 1000,
              "\u03A9", none},
    FieldInfo{"feed", "source_ohm", "Rs", "resistance of amplifier output and cable", D::resistance, 1, 0, 1000,
              "\u03A9", 0.0},

    FieldInfo{"series_part", "uf", "C", "capacitor in series", D::capacitance, 1e6, 0.001, 1e6, "\u00B5F", none},
    FieldInfo{"series_part", "mh", "L", "coil in series", D::inductance, 1000, 0, 1000, "mH", none},
    FieldInfo{"series_part", "ohm", "R", "resistance in series", D::resistance, 1, 0, 10000, "\u03A9", none},

    FieldInfo{"high_pass", "order", "order", "steepness, 6 dB per octave each", D::count, 1, 1, 8, "", none},
    FieldInfo{"high_pass", "corner_hz", "corner", "corner of the Butterworth high-pass", D::frequency, 1, 1, 20000,
              "Hz", none},

    FieldInfo{"amplifier", "rated_w", "rating", "rated power of the amplifier", D::power, 1, 0.1, 20000, "W", none},
    FieldInfo{"amplifier", "rated_ohm", "into", "load of the amplifier's rating", D::resistance, 1, 0.1, 1000, "\u03A9",
              none},

    FieldInfo{"place", "distance_m", "distance", "from the housing to the ear", D::distance, 1, 0.05, 1000, "m", 1.0},

    FieldInfo{"limits", "port_air_m_s", "port air", "peak air speed a port may reach (common practice, no source)",
              D::airSpeed, 1, 1, 100, "m/s", 17.0},
};

}  // namespace

const FieldInfo* fieldInfo(std::string_view object, std::string_view key)
{
    const auto found = std::find_if(fields.begin(), fields.end(),
                                    [&](const FieldInfo& f) { return f.object == object && f.key == key; });
    return found == fields.end() ? nullptr : &*found;
}

}  // namespace portwright
