// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/plain_text.h"
#include "app/console/port_report.h"
#include "core/document/json_text.h"
#include "core/quantity/ranged.h"

#include <cmath>
#include <fmt/format.h>

namespace portwright::console {

namespace {

std::string hertz(double f) { return formatQuantity(f, Dimension::frequency); }
std::string length(double x) { return formatQuantity(x, Dimension::length); }
std::string litres(double V) { return formatQuantity(V, Dimension::volume); }
std::string decibels(double x) { return std::isfinite(x) ? fmt::format("{:.1f}\u00A0dB", x) : std::string("\u2013"); }

std::string bodyWords(const PortOpening& p)
{
    const std::string bore = p.shape == PortShape::round
                                 ? "round, bore " + formatQuantity(p.diameter, Dimension::bore)
                                 : fmt::format("slot {} x {}", formatQuantity(p.width, Dimension::bore),
                                               formatQuantity(p.height, Dimension::bore));
    return (countOf(p) > 1 ? fmt::format("{} x ", countOf(p)) : "") + bore;
}

std::string line(const std::string& name, const std::string& value)
{
    return wrapped("    " + padded(name, 18), value);
}

// --- Text ---

std::string numberWords(const PortFigures& f)
{
    return f.number == f.opening + 1 ? fmt::format("port {}", f.number)
                                     : fmt::format("port {} (opening {})", f.number, f.opening + 1);
}

std::string figuresText(const PortFigures& f, const std::string& head)
{
    std::string text = wrapped("  ", head);
    std::string tuning = fmt::format("{}{}; {} by the textbook sums", hertz(f.tuning),
                                     f.shared ? ", of all ports of this cavity together" : "", hertz(f.textbook));
    if (f.port.classical) tuning = hertz(f.tuning) + ", by the textbook sums, as the file asks";
    if (f.assumedShape > 0.002)
        tuning += fmt::format(". The cavity's sizes are not known: \u00B1{:.1f}\u00A0%", 100 * f.assumedShape);
    if (!(f.tuning > 0))
        tuning = fmt::format("none: friction in so narrow a bore leaves no resonance; {} by the textbook sums, which "
                             "know no friction",
                             hertz(f.textbook));
    text += line("tuning", tuning);
    if (f.tuning > 0) {
        text += line("per millimetre",
                     fmt::format("{:.2f}\u00A0Hz {}; \u00B1{:.2f}\u00A0Hz for the tolerance",
                                 std::abs(f.perLength * 1e-3), f.perLength < 0 ? "down" : "up", f.spread));
        text += line("limit", f.limit == LimitKind::none ? "none that is known"
                                                         : fmt::format("{} at {}, stopped by {}", decibels(f.loudest),
                                                                       hertz(f.tuning), nameOf(f.limit)));
    }
    text +=
        line(f.second ? "second cavity" : "cavity",
             f.taken > 0 ? fmt::format("{} taken by the port{}, {} left", litres(f.taken),
                                       f.port.wall.value_or(0) > 0 ? "" : " (its wall is not given)", litres(f.left))
                         : litres(f.left) + ", the port takes nothing of it");
    if (f.run) text += line("room", (f.run->tight ? "little: " : "not enough: ") + f.run->words);
    const bool flared = f.port.innerFlare.value_or(0) > 0 || f.port.outerFlare.value_or(0) > 0;
    text += line("port air",
                 fmt::format("up to {} peak recommended for {} (common practice)",
                             formatQuantity(f.airLimit, Dimension::airSpeed), flared ? "these flares" : "sharp ends"));
    return text;
}

std::string presentText(const PortFigures& f, bool beside)
{
    return figuresText(f, fmt::format("{}{}: {}, {} long", beside ? "as it is, " : "", numberWords(f),
                                      bodyWords(f.port), length(f.port.length)));
}

std::string sizedText(const HousingPorts& h)
{
    const PortFigures& f = *h.sized;
    const std::string body = fmt::format("{}, {},", numberWords(f), bodyWords(f.port));
    std::string text = figuresText(
        f, h.byTuning ? fmt::format("For {}, {} is to be {} long", hertz(f.tuning), body, length(f.port.length))
                      : fmt::format("{} long, {} tunes to {}", length(f.port.length), body, hertz(f.tuning)));
    if (h.statedVolume && litres(*h.statedVolume) != litres(f.left))
        text += line("in the file", fmt::format("with this length the net volume is {}, no longer {}: change both",
                                                litres(f.left), litres(*h.statedVolume)));
    return text;
}

Row foundRow(const std::string& number, const FoundPort& f, const std::string& words)
{
    return {number,
            words,
            f.tuning > 0 ? hertz(f.tuning) : "\u2013",
            decibels(f.loudest),
            f.f3 > 0 ? hertz(f.f3) : "\u2013",
            decibels(f.ripple),
            formatQuantity(f.travel, Dimension::travel),
            formatQuantity(f.airSpeed, Dimension::airSpeed),
            litres(f.netVolume)};
}

std::string rankedText(const std::vector<FoundPort>& ports, const std::optional<FoundPort>& present)
{
    std::vector<Row> rows{{"", "port", "tuning", "clean", "f3", "ripple", "travel", "port air", "net"}};
    for (std::size_t i = 0; i < ports.size(); ++i)
        rows.push_back(foundRow(std::to_string(i + 1), ports[i], ports[i].words));
    if (present) rows.push_back(foundRow("\u2013", *present, "what you have: " + present->words));
    std::string text = tableText(rows) + "\n";
    const auto add = [&text](const std::string& number, const FoundPort& f) {
        std::string reasons;
        for (const std::string& reason : f.reasons)
            reasons += (reasons.empty() ? "" : "; ") + reason;
        if (!reasons.empty()) text += wrapped(rightPadded(number, 3) + "  ", capital(reasons) + ".");
    };
    for (std::size_t i = 0; i < ports.size(); ++i)
        add(std::to_string(i + 1), ports[i]);
    if (present) add("\u2013", *present);
    return text;
}

std::string triedWords(const SearchResult& s)
{
    if (s.candidates == 0)
        return " No port of the stock both fits and tunes into the wanted range: all are left out, as told below.";
    return fmt::format(" {} ports were reckoned; of {} of them no other is better in one aim and at least as good in "
                       "the rest.",
                       s.candidates, s.undominated);
}

std::string searchText(const SearchResult& s, const FastBand& band)
{
    std::string text;
    if (!s.ranked.empty()) text += "\n" + rankedText(s.ranked, s.present);
    if (s.ranked.empty()) text += "\nNothing fits all that is asked.\n";
    if (!s.compromises.empty()) text += "\nThe nearest that can be built:\n\n" + rankedText(s.compromises, s.present);
    text += "\n" + wrapped("", fmt::format("Clean is how loud it gets from {} to {} without passing a limit, at the "
                                           "frequency where that is least.{}",
                                           hertz(band.from), hertz(band.to), triedWords(s)));
    for (const std::string& note : s.notes)
        text += wrapped("note: ", note);
    if (!s.otherWays.empty()) text += "\nWithout a port:\n";
    for (const OtherWay& way : s.otherWays)
        text += wrapped("  ", way.words);
    if (!s.rejected.empty()) text += "\nLeft out:\n";
    constexpr std::size_t most = 15;
    for (std::size_t i = 0; i < std::min(most, s.rejected.size()); ++i)
        text += wrapped("  " + s.rejected[i].what + ": ", s.rejected[i].why + ".");
    if (s.rejected.size() > most)
        text += fmt::format("  and {} more, which --format json lists\n", s.rejected.size() - most);
    return text;
}

// "190 mm dipped at 74.6 Hz, a tuning of 77.2 ± 0.7 Hz"
std::string readingText(const CutReading& read, const ReadTuning& tuning)
{
    const auto ranged = [](double f, double u) { return formatRanged(f, u, Dimension::frequency); };
    const bool dip = read.readAs == ReadAs::impedanceDip;
    const std::string figure =
        length(read.length) + (dip ? " dipped at " : " gave ") + ranged(read.frequency, read.uncertainty);
    return dip ? figure + ", a tuning of " + ranged(tuning.tuning, tuning.uncertainty) : figure;
}

std::string stagesText(const TrimPlan& plan)
{
    const bool dips = plan.stages.front().readAs == ReadAs::impedanceDip;
    std::vector<Row> rows{{"", "cut", "take off", "to", dips ? "expect a dip" : "expect"}};
    if (dips) rows.front().push_back("tuning");
    for (std::size_t i = 0; i < plan.stages.size(); ++i) {
        const TrimStage& s = plan.stages[i];
        const bool dip = s.readAs == ReadAs::impedanceDip;
        const std::string tuning = formatRanged(s.tuning, s.tuningUncertainty, Dimension::frequency);
        rows.push_back({"", std::to_string(i + 1), length(s.takeOff), length(s.length),
                        dip    ? formatRanged(s.shown, s.shownUncertainty, Dimension::frequency)
                        : dips ? "no dip"
                               : tuning});
        if (dips) rows.back().push_back(tuning);
    }
    return tableText(rows);
}

std::string trimText(const HousingPorts& h)
{
    const TrimPlan& plan = *h.trim;
    std::string text;
    for (const std::string& sentence : trimWords(plan, h.trimTarget))
        text += wrapped("  ", sentence);
    std::string readings;
    for (std::size_t i = 0; i < h.readings.size(); ++i)
        readings += (i == 0 ? "" : "; ") + readingText(h.readings[i], plan.readings[i]);
    text +=
        wrapped("  ", fmt::format("Measured{}: {}. So the net volume is {:.1f}\u00A0% of what was reckoned, and the "
                                  "air beyond the ends reaches {:.1f}\u00A0mm {}.",
                                  h.readingsOfFile ? ", as the file has it" : "", readings, 100 * plan.volume,
                                  std::abs(1e3 * plan.end), plan.end < 0 ? "less far" : "further"));
    return text + "\n" + (plan.stages.empty() ? "" : stagesText(plan) + "\n");
}

std::string madeText(const HousingPorts& h)
{
    std::string text = h.made.empty() ? "" : wrapped("  made: ", h.made);
    for (const std::string& file : h.written)
        text += "  written: " + file + "\n";
    for (const std::string& remark : h.remarks)
        text += wrapped("  note: ", remark);
    return text;
}

// What was asked for first; what there is, and where driver and volume stand, after it.
std::string housingText(const HousingPorts& h)
{
    std::string text = oneLine(h.name.empty() ? h.id : h.name) + "\n" + madeText(h);
    if (h.sized) text += sizedText(h);
    if (h.trim) text += trimText(h);
    if (h.search) text += searchText(*h.search, h.band.value_or(FastBand{})) + "\n";
    if ((!h.search || !h.search->present) && !h.trim)
        for (const PortFigures& f : h.ports)
            text += presentText(f, h.sized.has_value());
    if (h.loudness) text += loudnessText(*h.loudness) + "\n";
    if (h.ports.empty()) text += "  no port here\n";
    if (!h.sized && !h.trim && !h.loudness)
        for (const std::string& sentence : alignmentWords(h.place))
            text += wrapped("  ", sentence);
    return text;
}

// --- JSON ---

JsonValue textsJson(const std::vector<std::string>& lines)
{
    JsonArray list;
    for (const std::string& line : lines)
        list.push_back({line});
    return {std::move(list)};
}

JsonObject portObject(const PortOpening& p)
{
    JsonObject o{{"shape", {std::string(p.shape == PortShape::round ? "round" : "slot")}},
                 {"count", jsonWhole(countOf(p))}};
    if (p.shape == PortShape::round) {
        o.emplace_back("diameter_mm", jsonNumber(p.diameter * 1e3));
    } else {
        o.emplace_back("width_mm", jsonNumber(p.width * 1e3));
        o.emplace_back("height_mm", jsonNumber(p.height * 1e3));
    }
    o.emplace_back("length_mm", jsonNumber(p.length * 1e3));
    if (p.wall) o.emplace_back("wall_mm", jsonNumber(*p.wall * 1e3));
    o.emplace_back("inner_end", JsonValue{std::string(p.innerEnd == TubeEnd::free ? "free" : "flush")});
    o.emplace_back("outer_end", JsonValue{std::string(p.outerEnd == TubeEnd::free ? "free" : "flush")});
    if (p.inside) o.emplace_back("inside_mm", jsonNumber(*p.inside * 1e3));
    if (p.innerFlare) o.emplace_back("inner_flare_mm", jsonNumber(*p.innerFlare * 1e3));
    if (p.outerFlare) o.emplace_back("outer_flare_mm", jsonNumber(*p.outerFlare * 1e3));
    if (!p.bends.empty()) {
        JsonArray bends;
        for (const Bend& b : p.bends)
            bends.push_back(
                {JsonObject{{"angle_deg", jsonNumber(b.angle * 180 / pi)}, {"radius_mm", jsonNumber(b.radius * 1e3)}}});
        o.emplace_back("bends", JsonValue{std::move(bends)});
    }
    if (p.sharedWalls) o.emplace_back("shared_walls", jsonWhole(*p.sharedWalls));
    if (p.x) o.emplace_back("x_mm", jsonNumber(*p.x * 1e3));
    if (p.y) o.emplace_back("y_mm", jsonNumber(*p.y * 1e3));
    if (p.spacing) o.emplace_back("spacing_mm", jsonNumber(*p.spacing * 1e3));
    if (p.obstacle) o.emplace_back("obstacle_mm", jsonNumber(*p.obstacle * 1e3));
    return o;
}

JsonValue figuresJson(const PortFigures& f)
{
    JsonObject o{
        {"opening", jsonWhole(f.opening + 1)}, {"number", jsonWhole(f.number)}, {"port", {portObject(f.port)}}};
    if (f.tuning > 0) o.emplace_back("fb_hz", jsonNumber(f.tuning));
    o.emplace_back("textbook_fb_hz", jsonNumber(f.textbook));
    if (f.tuning > 0) {
        o.emplace_back("hz_per_mm", jsonNumber(f.perLength * 1e-3));
        o.emplace_back("tolerance_hz", jsonNumber(f.spread));
    }
    o.emplace_back("shape_uncertainty_pct", jsonNumber(100 * f.assumedShape));
    o.emplace_back("port_volume_l", jsonNumber(f.taken * 1e3));
    o.emplace_back("net_volume_l", jsonNumber(f.left * 1e3));
    o.emplace_back("port_air_recommended_m_s", jsonNumber(f.airLimit));
    if (f.tuning > 0) {
        o.emplace_back("loudest_db", jsonNumber(f.loudest));
        o.emplace_back("limit", JsonValue{nameOf(f.limit)});
    }
    if (f.run) o.emplace_back("room", JsonValue{JsonObject{{"fits", {f.run->tight}}, {"text", {f.run->words}}}});
    return {std::move(o)};
}

JsonValue tunedJson(const TunedVolume& t)
{
    JsonObject o;
    if (t.tuning) o.emplace_back("fb_hz", jsonNumber(*t.tuning));
    o.emplace_back("f3_hz", jsonNumber(t.f3));
    o.emplace_back("ripple_db", jsonNumber(t.ripple));
    return {std::move(o)};
}

JsonValue placeJson(const AlignmentPlace& p)
{
    JsonObject o{{"qt", jsonNumber(p.Qt)},
                 {"ql", jsonNumber(p.QL)},
                 {"ql_assumed", {p.assumedLeak}},
                 {"net_volume_l", jsonNumber(p.volume * 1e3)},
                 {"alpha", jsonNumber(p.alpha)}};
    if (p.wanted) {
        o.emplace_back("alignment", JsonValue{nameOf(p.wanted->alignment)});
        o.emplace_back("wanted_volume_l", jsonNumber(p.wantedVolume * 1e3));
        o.emplace_back("aligned", tunedJson(p.aligned));
    }
    o.emplace_back("best", tunedJson(p.best));
    if (p.now) o.emplace_back("now", tunedJson(*p.now));
    o.emplace_back("text", textsJson(alignmentWords(p)));
    return {std::move(o)};
}

JsonValue foundJson(const FoundPort& f)
{
    JsonArray best;
    for (Aim aim : f.bestAt)
        best.push_back({nameOf(aim)});
    JsonObject o{{"text", {f.words}},
                 {"material", {f.material}},
                 {"flare", {f.flare}},
                 {"bend_count", jsonWhole(f.bends)},
                 {"port", {portObject(f.port)}},
                 {"fb_hz", jsonNumber(f.tuning)},
                 {"net_volume_l", jsonNumber(f.netVolume * 1e3)},
                 {"loudest_db", jsonNumber(f.loudest)},
                 {"limit", {nameOf(f.limit)}},
                 {"limit_hz", jsonNumber(f.limitAt)}};
    if (f.f3 > 0) o.emplace_back("f3_hz", jsonNumber(f.f3));
    o.emplace_back("ripple_db", jsonNumber(f.ripple));
    o.emplace_back("cone_peak_mm", jsonNumber(f.travel * 1e3));
    o.emplace_back("port_peak_m_s", jsonNumber(f.airSpeed));
    o.emplace_back("port_air_limit_m_s", jsonNumber(f.airLimit));
    if (f.smallestArea > 0) o.emplace_back("smallest_area_cm2", jsonNumber(f.smallestArea * 1e4));
    o.emplace_back("best_at", JsonValue{std::move(best)});
    if (!f.places.empty()) {
        JsonArray places;
        for (double place : f.places)
            places.push_back(jsonNumber(place));
        o.emplace_back("places", JsonValue{std::move(places)});
        o.emplace_back("place_sum", jsonNumber(f.placeSum));
    }
    o.emplace_back("reasons", textsJson(f.reasons));
    return {std::move(o)};
}

const char* nameOf(RejectedPorts::Reason reason)
{
    using Reason = RejectedPorts::Reason;
    switch (reason) {
    case Reason::place:
        return "place";
    case Reason::body:
        return "body";
    case Reason::tooLow:
        return "tunes too low";
    case Reason::tooHigh:
        return "tunes too high";
    case Reason::room:
        return "room";
    case Reason::piece:
        return "piece";
    case Reason::level:
        return "level";
    case Reason::f3:
        return "f3";
    case Reason::limits:
        return "limits";
    }
    return "";
}

JsonValue otherJson(const OtherWay& w)
{
    JsonObject o{{"name", {w.name}}, {"loudest_db", jsonNumber(w.loudest)}};
    if (w.f3 > 0) o.emplace_back("f3_hz", jsonNumber(w.f3));
    o.emplace_back("cone_peak_mm", jsonNumber(w.travel * 1e3));
    if (w.highPass)
        o.emplace_back("high_pass", JsonValue{JsonObject{{"order", jsonWhole(w.highPass->order)},
                                                         {"corner_hz", jsonNumber(w.highPass->corner)}}});
    o.emplace_back("text", JsonValue{w.words});
    return {std::move(o)};
}

JsonValue searchJson(const SearchResult& s)
{
    JsonArray ranked, compromises, rejected, others;
    for (const FoundPort& f : s.ranked)
        ranked.push_back(foundJson(f));
    for (const FoundPort& f : s.compromises)
        compromises.push_back(foundJson(f));
    for (const RejectedPorts& r : s.rejected)
        rejected.push_back({JsonObject{{"what", {r.what}},
                                       {"reason", {std::string(nameOf(r.reason))}},
                                       {"text", {r.why}},
                                       {"candidates", jsonWhole(static_cast<long long>(r.candidates))}}});
    for (const OtherWay& w : s.otherWays)
        others.push_back(otherJson(w));
    JsonObject o{{"candidates", jsonWhole(static_cast<long long>(s.candidates))},
                 {"undominated", jsonWhole(static_cast<long long>(s.undominated))},
                 {"ranked", {std::move(ranked)}},
                 {"rejected", {std::move(rejected)}},
                 {"compromises", {std::move(compromises)}},
                 {"other_ways", {std::move(others)}},
                 {"notes", textsJson(s.notes)}};
    if (s.present) o.emplace_back("present", foundJson(*s.present));
    return {std::move(o)};
}

const char* nameOf(TrimPlan::State state)
{
    switch (state) {
    case TrimPlan::State::cut:
        return "cut";
    case TrimPlan::State::reached:
        return "reached";
    case TrimPlan::State::measureBetter:
        return "measure better";
    case TrimPlan::State::tooShort:
        return "too short";
    case TrimPlan::State::doubtful:
        return "doubtful";
    }
    return "";
}

std::string wordOf(ReadAs readAs) { return readAs == ReadAs::impedanceDip ? "impedance-dip" : "tuning"; }

JsonValue readingsJson(const HousingPorts& h)
{
    JsonArray readings;
    for (std::size_t i = 0; i < h.readings.size(); ++i) {
        const CutReading& r = h.readings[i];
        const ReadTuning& as = h.trim->readings[i];
        readings.push_back({JsonObject{{"length_mm", jsonNumber(r.length * 1e3)},
                                       {"fb_hz", jsonNumber(r.frequency)},
                                       {"uncertainty_hz", jsonNumber(r.uncertainty)},
                                       {"read_as", {wordOf(r.readAs)}},
                                       {"tuning_hz", jsonNumber(as.tuning)},
                                       {"tuning_uncertainty_hz", jsonNumber(as.uncertainty)}}});
    }
    return {std::move(readings)};
}

JsonValue trimJson(const HousingPorts& h)
{
    const TrimPlan& p = *h.trim;
    JsonArray stages;
    for (const TrimStage& s : p.stages)
        stages.push_back({JsonObject{{"take_off_mm", jsonNumber(s.takeOff * 1e3)},
                                     {"length_mm", jsonNumber(s.length * 1e3)},
                                     {"expected_hz", jsonNumber(s.shown)},
                                     {"expected_uncertainty_hz", jsonNumber(s.shownUncertainty)},
                                     {"read_as", {wordOf(s.readAs)}},
                                     {"tuning_hz", jsonNumber(s.tuning)},
                                     {"tuning_uncertainty_hz", jsonNumber(s.tuningUncertainty)}}});
    return {JsonObject{{"target_hz", jsonNumber(h.trimTarget)},
                       {"state", {std::string(nameOf(p.state))}},
                       {"now_hz", jsonNumber(p.tuning)},
                       {"now_uncertainty_hz", jsonNumber(p.tuningUncertainty)},
                       {"length_mm", jsonNumber(p.length * 1e3)},
                       {"take_off_mm", jsonNumber(p.takeOff * 1e3)},
                       {"uncertainty_mm", jsonNumber(p.uncertainty * 1e3)},
                       {"volume_factor", jsonNumber(p.volume)},
                       {"end_mm", jsonNumber(p.end * 1e3)},
                       {"stages", {std::move(stages)}},
                       {"readings", readingsJson(h)},
                       {"readings_from", {std::string(h.readingsOfFile ? "file" : "options")}},
                       {"text", textsJson(trimWords(p, h.trimTarget))}}};
}

JsonValue housingJson(const HousingPorts& h)
{
    JsonArray ports;
    for (const PortFigures& f : h.ports)
        ports.push_back(figuresJson(f));
    JsonObject o{{"id", {h.id}}, {"name", {h.name}}, {"ports", {std::move(ports)}}, {"alignment", placeJson(h.place)}};
    if (h.sized) o.emplace_back("sized", figuresJson(*h.sized));
    if (h.search) o.emplace_back("search", searchJson(*h.search));
    if (h.trim) o.emplace_back("trim", trimJson(h));
    if (h.loudness) o.emplace_back("loudness", loudnessJson(*h.loudness));
    if (!h.made.empty()) o.emplace_back("made", JsonValue{h.made});
    if (!h.written.empty()) o.emplace_back("written", textsJson(h.written));
    if (!h.remarks.empty()) o.emplace_back("remarks", textsJson(h.remarks));
    return {std::move(o)};
}

}  // namespace

std::string portText(const std::vector<HousingPorts>& housings)
{
    std::string text;
    for (const HousingPorts& h : housings)
        text += (text.empty() ? "" : "\n") + housingText(h);
    return text;
}

std::string portJson(const std::vector<HousingPorts>& housings)
{
    JsonArray list;
    for (const HousingPorts& h : housings)
        list.push_back(housingJson(h));
    return jsonText({JsonObject{{"housings", {std::move(list)}}}}) + "\n";
}

}  // namespace portwright::console
