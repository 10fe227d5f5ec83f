// SPDX-License-Identifier: GPL-3.0-or-later
// The keys of a cavity's measurements and deductions, as describe.h has the others.
#pragma once

#include "core/document/describe_tools.h"
#include "core/housing/housing.h"

namespace portwright {

enum class MeasurementKind { fill, sections, solids, scan, resonance, bottles, stated };  ///< as the variant's order
inline constexpr std::array<Word<MeasurementKind>, 7> measurementWords{{{MeasurementKind::fill, "fill"},
                                                                        {MeasurementKind::sections, "sections"},
                                                                        {MeasurementKind::solids, "solids"},
                                                                        {MeasurementKind::scan, "scan"},
                                                                        {MeasurementKind::resonance, "resonance"},
                                                                        {MeasurementKind::bottles, "bottles"},
                                                                        {MeasurementKind::stated, "stated"}}};
inline constexpr std::array<Word<InPlace>, 2> inPlaceWords{
    {{InPlace::nothing, "nothing"}, {InPlace::everything, "everything"}}};
inline constexpr std::array<Word<FillMedium>, 3> fillMediumWords{{{FillMedium::waterByWeight, "water-weight"},
                                                                  {FillMedium::waterByVolume, "water-volume"},
                                                                  {FillMedium::dry, "dry"}}};
inline constexpr std::array<Word<SectionShape>, 7> sectionShapeWords{{{SectionShape::rectangle, "rectangle"},
                                                                      {SectionShape::rounded, "rounded"},
                                                                      {SectionShape::ellipse, "ellipse"},
                                                                      {SectionShape::d, "d"},
                                                                      {SectionShape::triangle, "triangle"},
                                                                      {SectionShape::outline, "outline"},
                                                                      {SectionShape::area, "area"}}};
inline constexpr std::array<Word<CapShape>, 3> capWords{
    {{CapShape::flat, "flat"}, {CapShape::dome, "dome"}, {CapShape::point, "point"}}};
enum class SolidKind { box, wedge, roundFrustum, rectangularFrustum, cylinder, ellipsoidCap, bentTube };
inline constexpr std::array<Word<SolidKind>, 7> solidWords{{{SolidKind::box, "box"},
                                                            {SolidKind::wedge, "wedge"},
                                                            {SolidKind::roundFrustum, "round-frustum"},
                                                            {SolidKind::rectangularFrustum, "rectangular-frustum"},
                                                            {SolidKind::cylinder, "cylinder"},
                                                            {SolidKind::ellipsoidCap, "ellipsoid-cap"},
                                                            {SolidKind::bentTube, "bent-tube"}}};
inline constexpr std::array<Word<SolidAxis>, 3> solidAxisWords{
    {{SolidAxis::x, "x"}, {SolidAxis::y, "y"}, {SolidAxis::z, "z"}}};
inline constexpr std::array<Word<PlacedPart>, 2> placedPartWords{
    {{PlacedPart::driver, "driver"}, {PlacedPart::port, "port"}}};
inline constexpr std::array<Word<DeductionKind>, 6> deductionWords{{{DeductionKind::driver, "driver"},
                                                                    {DeductionKind::port, "port"},
                                                                    {DeductionKind::brace, "brace"},
                                                                    {DeductionKind::amplifier, "amplifier"},
                                                                    {DeductionKind::foam, "foam"},
                                                                    {DeductionKind::other, "other"}}};
inline constexpr std::array<Word<CavityModel>, 2> cavityModelWords{
    {{CavityModel::lumped, "lumped"}, {CavityModel::segmented, "segmented"}}};

inline constexpr std::size_t mostMeasurements = 50, mostDeductions = 50, mostReadings = 100, mostSections = 200,
                             mostPoints = 200, mostSolidSteps = 200, mostProfilePoints = 2000, mostPlaces = 50;

template <class Visitor> void describeFill(Visitor& v, FillMeasurement& fill)
{
    v.word("medium", fill.medium, fillMediumWords);
    if (fill.medium == FillMedium::waterByWeight) {
        v.row("readings_g", fill.masses, mostReadings);
        v.number("scale_step_g", fill.massResolution);
        v.number("temperature_c", fill.temperature);
    } else {
        v.row("readings_l", fill.volumes, mostReadings);
        v.number("vessel_step_ml", fill.volumeResolution);
    }
    v.number("residue_ml", fill.residue);
    if (fill.medium == FillMedium::dry) v.number("packing_pct", fill.packingDifference);
    // What the medium does not use is not kept.
    if (fill.medium == FillMedium::waterByWeight) {
        fill.volumes.clear();
        fill.volumeResolution.reset();
    } else {
        fill.masses.clear();
        fill.massResolution = fill.temperature = std::nullopt;
    }
    if (fill.medium != FillMedium::dry) fill.packingDifference.reset();
}

template <class Visitor> void describe(Visitor& v, Section& section)
{
    v.table("section");
    v.number("at_mm", section.at);
    v.word("shape", section.shape, sectionShapeWords);
    Section kept{.at = section.at, .shape = section.shape};
    if (section.shape == SectionShape::outline) {
        v.points("points_mm", section.points, mostPoints);
        kept.points = section.points;
    } else if (section.shape == SectionShape::area) {
        v.number("area_cm2", section.area);
        kept.area = section.area;
    } else {
        v.number("width_mm", section.width);
        v.number("height_mm", section.height);
        if (section.shape == SectionShape::rounded) {
            v.number("corner_mm", section.corner);
            kept.corner = section.corner;
        }
        kept.width = section.width;
        kept.height = section.height;
    }
    v.unknown(section.unknown);
    kept.unknown = section.unknown;
    section = std::move(kept);  // what the shape does not use is not kept
}

template <class Visitor>
void describeCap(Visitor& v, EndCap& cap, std::string_view shapeKey, std::string_view heightKey)
{
    std::optional<double> height = cap.height == 0 ? std::nullopt : std::optional(cap.height);
    v.wordUnless(CapShape::flat, shapeKey, cap.shape, capWords);
    v.number(heightKey, height);
    cap.height = height.value_or(0);
}

template <class Visitor> void describeSections(Visitor& v, SectionsMeasurement& sections)
{
    v.number("length_uncertainty_mm", sections.lengthUncertainty);
    describeCap(v, sections.firstCap, "first_cap", "first_cap_mm");
    describeCap(v, sections.lastCap, "last_cap", "last_cap_mm");
    v.list("sections", sections.sections, mostSections, Presence::written);
}

template <class Visitor> void describeSizes(Visitor& v, BoxSolid& s)
{
    v.number("width_mm", s.width);
    v.number("breadth_mm", s.breadth);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, WedgeSolid& s)
{
    v.number("width_mm", s.width);
    v.number("breadth_mm", s.breadth);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, RoundFrustumSolid& s)
{
    v.number("diameter_mm", s.diameter);
    v.number("top_diameter_mm", s.topDiameter);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, RectangularFrustumSolid& s)
{
    v.number("width_mm", s.width);
    v.number("breadth_mm", s.breadth);
    v.number("top_width_mm", s.topWidth);
    v.number("top_breadth_mm", s.topBreadth);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, CylinderSolid& s)
{
    v.number("diameter_mm", s.diameter);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, EllipsoidCapSolid& s)
{
    v.number("width_mm", s.width);
    v.number("breadth_mm", s.breadth);
    v.number("height_mm", s.height);
}
template <class Visitor> void describeSizes(Visitor& v, BentTubeSolid& s)
{
    v.number("diameter_mm", s.diameter);
    v.number("centre_line_radius_mm", s.centreLineRadius);
    v.number("angle_deg", s.angle);
}

template <class Visitor> void describe(Visitor& v, SolidStep& step)
{
    auto kind = static_cast<SolidKind>(step.solid.index());
    v.table("solid");
    v.text("name", step.name, Presence::optional);
    v.flag("subtract", step.subtract);
    v.word("solid", kind, solidWords);
    setAlternative(step.solid, static_cast<std::size_t>(kind));
    std::visit([&v](auto& solid) { describeSizes(v, solid); }, step.solid);
    v.place("at_mm", step.at);
    v.wordUnless(SolidAxis::z, "axis", step.axis, solidAxisWords);
    v.unknown(step.unknown);
}

template <class Visitor> void describe(Visitor& v, PartPlace& place)
{
    v.table("place_inside");
    v.word("part", place.part, placedPartWords);
    v.place("at_mm", place.at);
    v.unknown(place.unknown);
}

template <class Visitor> void describe(Visitor& v, BottleReading& reading)
{
    v.table("bottle");
    v.number("bottle_l", reading.bottle);
    v.number("fc_hz", reading.fc);
    v.unknown(reading.unknown);
}

template <class Visitor> void describeMethod(Visitor& v, FillMeasurement& m) { describeFill(v, m); }
template <class Visitor> void describeMethod(Visitor& v, SectionsMeasurement& m) { describeSections(v, m); }
template <class Visitor> void describeMethod(Visitor& v, SolidsMeasurement& m)
{
    v.number("length_uncertainty_mm", m.lengthUncertainty);
    v.list("steps", m.steps, mostSolidSteps, Presence::written);
    v.list("places", m.places, mostPlaces, Presence::optional);
}
template <class Visitor> void describeMethod(Visitor& v, ScanMeasurement& m)
{
    v.text("file", m.file);
    v.number("unit_mm", m.unit);
    v.number("wall_mm", m.wall);
    v.number("volume_l", m.volume);
    v.number("uncertainty_l", m.uncertainty);
    v.number("longest_mm", m.longest);
    v.row("profile_at_mm", m.profile.at, mostProfilePoints);
    v.row("profile_area_cm2", m.profile.area, mostProfilePoints);
    v.row("profile_perimeter_mm", m.profile.perimeter, mostProfilePoints);
    v.list("places", m.places, mostPlaces, Presence::optional);
}
template <class Visitor> void describeMethod(Visitor& v, ResonanceMeasurement& m)
{
    v.number("fc_hz", m.fc);
    v.number("uncertainty_hz", m.uncertainty);
}
template <class Visitor> void describeMethod(Visitor& v, BottlesMeasurement& m)
{
    v.number("free_resonance_hz", m.freeResonance);
    v.number("uncertainty_hz", m.uncertainty);
    v.number("bottle_uncertainty_pct", m.bottleUncertainty);
    v.list("readings", m.readings, mostReadings, Presence::written);
}
template <class Visitor> void describeMethod(Visitor& v, StatedVolume& m)
{
    v.number("volume_l", m.volume);
    v.number("uncertainty_l", m.uncertainty);
}

template <class Visitor> void describe(Visitor& v, Measurement& measurement)
{
    auto kind = static_cast<MeasurementKind>(measurement.method.index());
    v.table("measurement");
    v.word("kind", kind, measurementWords);
    v.word("in_place", measurement.inPlace, inPlaceWords);
    v.text("note", measurement.note, Presence::optional);
    v.flag("unused", measurement.unused);
    setAlternative(measurement.method, static_cast<std::size_t>(kind));
    std::visit([&v](auto& method) { describeMethod(v, method); }, measurement.method);
    v.unknown(measurement.unknown);
}

template <class Visitor> void describe(Visitor& v, Deduction& deduction)
{
    v.table("deduction");
    v.word("kind", deduction.kind, deductionWords);
    v.text("name", deduction.name, Presence::optional);
    v.number("volume_l", deduction.volume);
    v.number("uncertainty_l", deduction.uncertainty);
    v.unknown(deduction.unknown);
}

}  // namespace portwright
