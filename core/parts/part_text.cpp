// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/part_text.h"

#include "core/parts/shop_length.h"

#include <fmt/format.h>
#include <map>

namespace portwright {
namespace {

std::string degrees(double angle) { return fmt::format("{:.1f}\u00B0", angle * 180 / pi); }
const char* plural(std::size_t n) { return n == 1 ? "" : "s"; }

std::string trimText(const PartOptions& options)
{
    if (!(options.cutLong > 0)) return {};
    return fmt::format("  The inner end is cut {} longer than the port is to be: sweep, then trim in steps.\n",
                       shopLength(options.cutLong, options.units));
}

}  // namespace

std::string portText(const PortOpening& port, UnitSystem units)
{
    const auto mm = [units](double length) { return shopLength(length, units); };
    std::string text = port.shape == PortShape::round
                           ? fmt::format("round, bore {}, {} long", mm(port.diameter), mm(port.length))
                           : fmt::format("slot, {} by {}, {} long", mm(port.width), mm(port.height), mm(port.length));
    if (port.outerFlare.value_or(0) > 0) text += fmt::format(", outer flare {}", mm(*port.outerFlare));
    if (port.innerFlare.value_or(0) > 0) text += fmt::format(", inner flare {}", mm(*port.innerFlare));
    if (!port.bends.empty()) text += fmt::format(", {} bend{}", port.bends.size(), plural(port.bends.size()));
    if (port.sharedWalls.value_or(0) > 0)
        text += fmt::format(", {} wall{} shared with the cavity", *port.sharedWalls,
                            plural(std::size_t(*port.sharedWalls)));
    if (countOf(port) > 1) text += fmt::format(", {} of them", countOf(port));
    return text;
}

std::string portWords(const PortOpening& port, UnitSystem units)
{
    const auto size = [&](double length) {
        return units == UnitSystem::us ? fmt::format("{:.4g}\u00A0in", length / 0.0254)
                                       : fmt::format("{:.4g}\u00A0mm", length * 1e3);
    };
    std::string words = countOf(port) > 1 ? fmt::format("{} x ", countOf(port)) : "";
    words += port.shape == PortShape::round
                 ? fmt::format("{} tube, {}", size(port.diameter), size(port.length))
                 : fmt::format("{} by {} slot, {}", size(port.width), size(port.height), size(port.length));
    const std::size_t bends = port.bends.size();
    if (bends > 0) words += bends == 1 ? ", one bend" : bends == 2 ? ", two bends" : fmt::format(", {} bends", bends);
    if (port.outerFlare.value_or(0) > 0 || port.innerFlare.value_or(0) > 0) words += ", flared";
    return words;
}

std::string planText(const std::vector<CutPiece>& pieces, const CutPlan& plan, const PartOptions& options)
{
    std::string text;
    for (std::size_t i = 0; i < plan.bars.size(); ++i) {
        const CutBar& bar = plan.bars[i];
        std::string cuts;
        for (const std::size_t piece : bar.pieces)
            cuts += fmt::format("{}{} {}", cuts.empty() ? "" : " + ", pieces[piece].name,
                                shopLength(pieces[piece].length, options.units));
        text += fmt::format("  Stock {} of {}: {}; rest {}\n", i + 1, shopLength(bar.stock, options.units), cuts,
                            shopLength(bar.rest, options.units));
    }
    const std::string kerf = shopLength(options.kerf, options.units);
    if (plan.exact)
        text += fmt::format("  All ways were tried: no plan takes less stock. Kerf {}.\n", kerf);
    else
        text +=
            fmt::format("  Longest pieces first, each into the first stock it fits: {} taken, no plan can take less "
                        "than {}. Kerf {}.\n",
                        shopLength(plan.used, options.units), shopLength(plan.leastPossible, options.units), kerf);
    return text;
}

std::string tubeText(const TubeBlanks& blanks, const PartOptions& options)
{
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    std::string text =
        blanks.wall > 0
            ? fmt::format("  Tube of bore {}, wall {}, {} outside.\n", mm(blanks.bore), mm(blanks.wall),
                          mm(blanks.bore + 2 * blanks.wall))
            : fmt::format("  Tube of bore {}. Its wall is not given, so its hole is drawn for the bore: measure its "
                          "outside before sawing.\n",
                          mm(blanks.bore));
    for (const CutPiece& piece : blanks.straights)
        text += fmt::format("  {} x {}, {}\n", piece.count, piece.name, mm(piece.length));
    if (!blanks.bends.empty())
        text += "  Lengths are along the centre line, and together with bends and flares the port's.\n";
    for (const BendBlank& bend : blanks.bends)
        text += fmt::format("  {} x bend of {}, centre-line radius {}, {} along the centre line\n", blanks.ports,
                            degrees(bend.angle), mm(bend.radius), mm(bend.length));
    for (const auto& [end, flare] : {std::pair{"outer", blanks.outerFlare}, {"inner", blanks.innerFlare}})
        if (flare > 0)
            text +=
                fmt::format("  {} x flare for the {} end, quarter round of radius {}, which is part of the length\n",
                            blanks.ports, end, mm(flare));
    return text + trimText(options);
}

std::string panelText(const PanelBlanks& blanks, const PartOptions& options)
{
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    std::string text = fmt::format("  Panels {} thick, finished sizes across and along the port.\n", mm(options.panel));
    for (const Panel& panel : blanks.panels)
        text += fmt::format("  {} x {}, {} by {}\n", panel.count, panel.name, mm(panel.width), mm(panel.length));
    for (const std::string& part : blanks.shapedParts)
        text += "  " + part + "\n";
    return text + trimText(options);
}

std::string printText(const PortBody& body, const std::vector<PrintedPiece>& pieces, int ports,
                      const PartOptions& options)
{
    const auto mm = [&](double length) { return shopLength(length, options.units); };
    std::string text = fmt::format("  Wall {}", mm(body.wall));
    if (body.flange > 0)
        text += fmt::format(", {} {} thick {}", body.tubes > 1 ? "one flange for all tubes" : "flange", mm(body.flange),
                            body.screws.empty() ? "without screw holes, to be glued"
                                                : fmt::format("with {} screw holes of {}", body.screws.size(),
                                                              mm(2 * body.screwRadius)));
    text += fmt::format(". Facets within {:.3f}\u00A0mm of the round.\n", options.chord * 1e3);
    if (body.flange == 0) text += "  No flange: the port is glued into its hole.\n";
    if (options.cutLong > 0)
        text += body.innerFlare > 0
                    ? fmt::format("  Not printed {} longer: with a flare at its inner end it cannot be trimmed. Trim a "
                                  "tube first, or print without that flare.\n",
                                  mm(options.cutLong))
                    : fmt::format(
                          "  The inner end is printed {} longer than the port is to be, {} in all: sweep, then trim in "
                          "steps.\n",
                          mm(options.cutLong), mm(body.length));
    if (!body.bends.empty())
        text += "  Bends overhang: print with supports, and clear them out of the bore. The port goes into its hole "
                "inner end first, turned around the bend; try that before pieces are glued.\n";
    for (std::size_t i = 0; i < pieces.size(); ++i)
        text += fmt::format("  Piece {} of {}: {} high, {:.0f}\u00A0cm\u00B3 of material{}\n", i + 1, pieces.size(),
                            mm(pieces[i].height), volumeOf(pieces[i].mesh) * 1e6,
                            pieces[i].turned ? ", stands on its inner mouth" : "");
    if (pieces.size() > 1)
        text +=
            fmt::format("  Pieces are joined by lips {} high with {:.2f}\u00A0mm of clearance; glue them airtight.\n",
                        mm(options.lip), options.lipClearance * 1e3);
    if (pieces.size() > 1 && body.bends.size() > 1)
        text += "  All bends lie in one plane: glue the pieces lying on a flat table.\n";
    if (body.tubes > 1 && pieces.size() > 1)
        text +=
            fmt::format("  Print the first piece once, with the flange and {} tubes; of the others print {} each.\n",
                        body.tubes, body.tubes);
    else if (body.tubes > 1)
        text += fmt::format("  Print it once: all {} tubes stand on it.\n", body.tubes);
    else if (ports > 1)
        text += fmt::format("  Print {} of each.\n", ports);
    return text;
}

}  // namespace portwright
