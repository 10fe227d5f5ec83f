// SPDX-License-Identifier: GPL-3.0-or-later
#include "app/console/port_command.h"

#include "app/console/command.h"
#include "app/console/port_report.h"

#include "core/document/json_text.h"
#include "core/quantity/quantity.h"

#include <CLI/CLI.hpp>
#include <algorithm>
#include <charconv>
#include <fmt/format.h>
#include <memory>

namespace portwright::console {

namespace {

struct Range {
    double low, high;  // in the unit shown
    const char* unit;
};

// A number, or one with its unit, within a range; `shown` divides SI into the range's unit.
Result<double> number(const char* option, const std::string& text, Dimension dimension, Range range, double shown)
{
    const auto value = parseQuantity(text, dimension, UnitSystem::metric);
    if (!value) return fail("", fmt::format("{}: {}", option, value.error().message));
    if (!(*value * shown >= range.low && *value * shown <= range.high))
        return fail("", fmt::format("{} is {}; allowed is {:g} to {:g}{}{}", option, quotedText(text), range.low,
                                    range.high, *range.unit ? " " : "", range.unit));
    return *value;
}

Result<double> hertz(const char* option, const std::string& text)
{
    return number(option, text, Dimension::frequency, {5, 2000, "Hz"}, 1);
}
Result<double> metres(const char* option, const std::string& text, double low = 0, double high = 3000)
{
    return number(option, text, Dimension::length, {low, high, "mm"}, 1e3);
}
Result<double> plain(const char* option, const std::string& text, double low, double high)
{
    return number(option, text, Dimension::ratio, {low, high, ""}, 1);
}

Result<int> whole(const char* option, const std::string& text, int low, int high)
{
    int value = 0;
    const auto [end, problem] = std::from_chars(text.data(), text.data() + text.size(), value);
    if (problem != std::errc() || end != text.data() + text.size() || value < low || value > high)
        return fail(
            "", fmt::format("{} is {}; a whole number from {} to {} is expected", option, quotedText(text), low, high));
    return value;
}

// "60-160"
// A single one, where it may be, stands for what lies within 2 % of it.
Result<std::pair<double, double>> range(const char* option, const std::string& text, bool maybeOne = false)
{
    const std::size_t dash = text.find('-', 1);
    if (dash == std::string::npos && maybeOne) {
        constexpr double around = 0.02;
        const auto one = hertz(option, text);
        if (!one) return fail(one.error());
        return std::pair{*one * (1 - around), *one * (1 + around)};
    }
    if (dash == std::string::npos)
        return fail("", fmt::format("{} is {}; write it as 60-160, in Hz", option, quotedText(text)));
    const auto from = hertz(option, text.substr(0, dash)), to = hertz(option, text.substr(dash + 1));
    if (!from) return fail(from.error());
    if (!to) return fail(to.error());
    if (!(*from < *to))
        return fail("", fmt::format("{} is {}; the first must be below the second", option, quotedText(text)));
    return std::pair{*from, *to};
}

std::vector<std::string> splitAt(const std::string& text, char mark)
{
    std::vector<std::string> parts;
    std::size_t from = 0;
    for (std::size_t at = text.find(mark); at != std::string::npos; at = text.find(mark, from)) {
        parts.push_back(text.substr(from, at - from));
        from = at + 1;
    }
    parts.push_back(text.substr(from));
    return parts;
}

Result<std::vector<Aim>> aimsFrom(const std::string& text)
{
    std::vector<Aim> aims;
    for (const std::string& name : splitAt(text, ',')) {
        const auto aim = aimNamed(name);
        if (!aim)
            return fail("",
                        fmt::format("--aims has {}; there are loudest, f3, flat, travel and short", quotedText(name)));
        if (std::find(aims.begin(), aims.end(), *aim) != aims.end())
            return fail("", fmt::format("--aims names {} twice", name));
        aims.push_back(*aim);
    }
    return aims;
}

constexpr const char* readingShape = "write it as LENGTH=HZ or LENGTH=HZ+-HZ, such as 210=58.2+-0.3; of several "
                                     "each behind its own --measured, or all as 210=58.2,190=61.0";

// A list of readings; a comma before what is none belongs to a number.
std::vector<std::string> readingsIn(const std::string& text)
{
    std::vector<std::string> list;
    for (const std::string& part : splitAt(text, ','))
        if (list.empty() || part.find('=') != std::string::npos)
            list.push_back(part);
        else
            list.back() += "," + part;
    return list;
}

// "210=58.2" or "210=58.2+-0.3"
Result<CutReading> readingFrom(const std::string& text, ReadAs readAs)
{
    const std::string shape = readingShape;
    const std::size_t equals = text.find('=');
    if (equals == std::string::npos) return fail("", fmt::format("--measured is {}; {}", quotedText(text), shape));
    const std::size_t plusMinus = text.find("+-", equals);
    const auto length = metres("--measured", text.substr(0, equals));
    if (!length) return fail(length.error());
    const auto read = hertz(
        "--measured", text.substr(equals + 1, plusMinus == std::string::npos ? plusMinus : plusMinus - equals - 1));
    if (!read) return fail(read.error());
    CutReading reading{*length, *read, 0, readAs};
    if (plusMinus == std::string::npos) return reading;
    const auto uncertainty =
        number("--measured", text.substr(plusMinus + 2), Dimension::frequency, {0.001, 100, "Hz"}, 1);
    if (!uncertainty) return fail(uncertainty.error());
    reading.uncertainty = *uncertainty;
    return reading;
}

/// Takes what is typed one after the other; the first that is wrong stays.
struct Taking {
    std::optional<Error> error;
    template <class Value, class Into> void take(const Result<Value>& value, Into& into)
    {
        if (error) return;
        if (value)
            into = *value;
        else
            error = value.error();
    }
    // Where something is typed at all.
    template <class Read, class Into> void want(const std::string& text, const Read& read, Into& into)
    {
        if (!text.empty()) take(read(text), into);
    }
};

Result<SearchRequest> requestFrom(const PortCommandOptions& o)
{
    SearchRequest r;
    Taking t;
    std::pair<double, double> band, tuning;
    t.take(aimsFrom(o.aims), r.aims);
    t.take(range("--band", o.band), band);
    t.want(o.tuning, [](const std::string& s) { return range("--tuning", s, true); }, tuning);
    t.take(whole("--tubes", o.tubes, 1, 16), r.mostTubes);
    r.sharedWalls.clear();
    for (const std::string& walls : splitAt(o.sharedWalls, ',')) {
        int count = 0;
        t.take(whole("--shared-walls", walls, 0, 3), count);
        r.sharedWalls.push_back(count);
    }
    t.take(whole("--show", o.show, 1, 100), r.show);
    t.take(metres("--step", o.step, 0.1, 50), r.lengthStep);
    t.want(
        o.level, [](const std::string& s) { return number("--level", s, Dimension::level, {0, 160, "dB"}, 1); },
        r.leastLevel);
    t.want(o.f3, [](const std::string& s) { return hertz("--f3", s); }, r.highestF3);
    t.want(
        o.air == "flares" ? "" : o.air,
        [](const std::string& s) { return number("--air", s, Dimension::airSpeed, {1, 100, "m/s"}, 1); }, r.portAir);
    if (t.error) return fail(*t.error);
    r.band.from = band.first, r.band.to = band.second;
    r.band.lowest = std::min(r.band.lowest, r.band.from);
    r.tuningFrom = tuning.first, r.tuningTo = tuning.second;
    r.cleanAtFeed = o.clean;
    r.airByFlares = o.air == "flares";
    if (o.stock == "inch") r.stock = inchPortStock();
    return r;
}

// What the cavity leaves for a port, where it is typed.
Result<PortWanted::Space> spaceFrom(const PortCommandOptions& o)
{
    PortWanted::Space space;
    Taking t;
    const auto run = [](const char* name) {
        return [name](const std::string& s) { return metres(name, s, 5, 10000); };
    };
    t.want(o.straight, run("--straight"), space.room.straight);
    t.want(o.across, run("--across"), space.room.across);
    t.want(o.wall, [](const std::string& s) { return metres("--wall", s, 0, 100); }, space.room.wall);
    t.want(o.outside, [](const std::string& s) { return metres("--outside", s); }, space.outside);
    t.want(o.bends, [](const std::string& s) { return whole("--bends", s, 0, 2); }, space.mostBends);
    t.take(plain("--clearance", o.clearance, 0, 10), space.clearance);
    if (!o.mouth.empty()) {
        const auto sides = splitAt(o.mouth, 'x');
        if (sides.size() != 2)
            return fail("", fmt::format("--mouth is {}; write it as 120x80, in mm", quotedText(o.mouth)));
        t.take(run("--mouth")(sides[0]), space.room.mouthWidth);
        t.take(run("--mouth")(sides[1]), space.room.mouthHeight);
    }
    if (t.error) return fail(*t.error);
    return space;
}

Result<PortWanted::Trim> trimFrom(const PortCommandOptions& o)
{
    PortWanted::Trim trim;
    Taking t;
    t.take(hertz("--trim", o.trim), trim.target);
    double percent = 5;
    t.take(plain("--volume-uncertainty", o.volumeUncertainty, 0.1, 50), percent);
    if (t.error) return fail(*t.error);
    trim.volumeUncertainty = percent / 100;
    for (const std::string& list : o.measured)
        for (const std::string& text : readingsIn(list)) {
            const auto reading = readingFrom(text, o.readAs == "dip" ? ReadAs::impedanceDip : ReadAs::tuning);
            if (!reading) return fail(reading.error());
            trim.readings.push_back(*reading);
        }
    return trim;
}

constexpr const char* portFooter =
    R"(With none of --tune, --length, --search, --trim and --loudness: what each port tunes to, and where driver and
volume stand.
Lengths are in mm unless written with their unit, such as "6 in".

--parts makes the port as the file has it, as --tune or --length cut it, or the one of --search that --take names.
Files of an earlier set are replaced, and named in a warning.

--stock is "metric", "inch" or a table of your own (.csv), whose longest pieces the cut list is planned on:
  kind,name,diameter_mm,wall_mm,width_mm,height_mm,length_mm,radius_mm
  tube,"grey pipe",54,2.5,,,1000,50
  slot,"6 mm ply",,6,120,18,,
  flare,"10 mm router bit",,,,,,10
diameter_mm is the inside of a tube, not its outside; length_mm is the longest piece; radius_mm that of a tube's
bends (centre line; without it no bends) or of a flare. What a row does not use stays empty, and columns without use
may be left out.)";

// What an option goes with, so that none is ignored.
struct Belonging {
    std::vector<const char*> options;
    bool wanted;
    const char* to;
};
Result<void> checkBelonging(const PortCommandOptions& o)
{
    const bool parts = !o.parts.empty(), trim = !o.trim.empty();
    const Belonging all[] = {{{"--aims", "--band", "--tuning", "--tubes", "--bends", "--shared-walls", "--mouth",
                               "--wall", "--outside", "--level", "--f3", "--air", "--step", "--show", "--clean"},
                              o.search,
                              "--search"},
                             {{"--stock", "--clearance"}, o.search || parts, "--search or --parts"},
                             {{"--straight", "--across"},
                              o.search || parts || !o.tune.empty() || !o.length.empty(),
                              "--search, --parts, --tune or --length"},
                             {{"--measured", "--volume-uncertainty"}, trim, "--trim HZ"},
                             {{"--read-as"}, !o.measured.empty(), "--measured"},
                             {{"--paper", "--printer", "--cut-long"}, parts, "--parts FOLDER"},
                             {{"--take"}, o.search && parts, "--search with --parts"}};
    const auto given = [&](const char* name) {
        return std::find(o.given.begin(), o.given.end(), name) != o.given.end() ||
               (std::string_view(name) == "--clean" && o.clean);
    };
    for (const Belonging& each : all)
        for (const char* name : each.options)
            if (!each.wanted && given(name)) return fail("", fmt::format("{} belongs to {}", name, each.to));
    if (trim && parts)
        return fail("", "--parts makes the port as the file has it, not as --trim will leave it; one at a time");
    return {};
}

// Adds the command with its options to the program.
CLI::App* addPortCommand(CLI::App& app, PortCommandOptions& o)
{
    CLI::App* c = app.add_subcommand("port", "Size, search and trim a port");
    addProject(*c, o.project);
    addHousings(*c, o.housings);
    const auto option = [c, &o](const char* name, std::string& into, const char* help, const char* type) {
        auto* added = c->add_option(name, into, help)->type_name(type);
        added->each([&o, name](const std::string&) { o.given.emplace_back(name); });
        added->check([](const std::string& text) { return text.empty() ? "a value is expected" : ""; });
        if (!into.empty()) added->capture_default_str();
        return added;
    };
    option("--opening", o.opening, "Only this opening of the housing, counted from 1; else its first port", "N");
    option("--tune", o.tune, "What length gives this tuning, Hz", "HZ");
    option("--length", o.length, "What this length tunes to", "LENGTH");
    option("--tolerance", o.tolerance, "What a length is out by", "LENGTH");
    addFormat(*c, o.format, {"text", "json"});

    c->add_flag("--loudness", o.loudness,
                "What its ports do at half and double the feed, and what they give up over level and frequency");

    c->add_flag("--search", o.search, "Which ports fit, ranked by the aims")->group("Search");
    const auto wish = [&](const char* name, std::string& into, const char* help, const char* type) {
        option(name, into, help, type)->group("Search");
    };
    wish("--aims", o.aims, "What is wanted; the first counts most: loudest, f3, flat, travel, short", "LIST");
    wish("--band", o.band, "Band that level and flatness are judged in, Hz", "HZ-HZ");
    wish("--tuning", o.tuning,
         "Range of tuning, Hz, or one that is wanted within 2 %; 0.6 to 1.4 of the driver's fs where not given",
         "HZ-HZ");
    wish("--stock", o.stock, "What there is to make it of: metric, inch or a table (.csv)", "STOCK");
    wish("--tubes", o.tubes, "Most tubes side by side", "N");
    wish("--bends", o.bends, "Most right-angled bends, 0 to 2; one where not given, or as many as the port has", "N");
    wish("--shared-walls", o.sharedWalls,
         "Walls of the cavity a slot may use: 0, 1 floor, 2 and a side, 3 and both; in a box of known sizes", "LIST");
    wish("--straight", o.straight,
         "Free run from the port's wall to magnet or far wall; the file's, else the cavity's depth", "LENGTH");
    wish("--across", o.across, "Free run across, for a port that turns; the file's, else the cavity's width", "LENGTH");
    wish("--clearance", o.clearance, "Bores kept free before the inner mouth", "BORES");
    wish("--mouth", o.mouth, "Free place for the mouths in the wall, mm; the file's, else the cavity's section", "WxH");
    wish("--wall", o.wall, "Thickness of the wall that the port goes through; the file's, else as the port has it",
         "LENGTH");
    wish("--outside", o.outside, "How far it may stand out; as the port there does, where not given", "LENGTH");
    wish("--level", o.level, "Least clean level over the band, dB", "DB");
    wish("--f3", o.f3, "Highest f3, Hz", "HZ");
    wish("--air", o.air,
         "Fastest air in the port, m/s peak, or \"flares\": what its flares allow; else the project's limit", "M/S");
    c->add_flag("--clean", o.clean, "Only ports that pass no limit at the feed in force")->group("Search");
    wish("--step", o.step, "Step of the lengths tried", "LENGTH");
    wish("--show", o.show, "How many ports to show", "N");

    option("--trim", o.trim, "The port was cut long: what to cut off for this tuning, Hz", "HZ")->group("Trim");
    c->add_option(
         "--measured", o.measured,
         "What was read with the port at a length: LENGTH=HZ or LENGTH=HZ+-HZ; several as a list, the present last; "
         "else the readings in the file")
        ->type_name("READING")
        ->group("Trim")
        ->allow_extra_args(false)
        ->each([&o](const std::string&) { o.given.emplace_back("--measured"); })
        ->check([](const std::string& text) { return text.empty() ? "a value is expected" : ""; });
    option("--read-as", o.readAs,
           "What --measured is: dip, where the impedance dips between its two peaks (default), or tuning, the tuning "
           "itself, where the cone moves least at constant voltage",
           "KIND")
        ->group("Trim")
        ->check(CLI::IsMember({"dip", "tuning"}));
    option("--volume-uncertainty", o.volumeUncertainty, "How well the net volume is known, %", "PERCENT")
        ->group("Trim");

    const auto part = [&](const char* name, std::string& into, const char* help, const char* type) {
        return option(name, into, help, type)->group("Parts");
    };
    part("--parts", o.parts, "Write cut list, templates and printable parts of the port into this folder", "FOLDER");
    part("--take", o.take, "Which of the ports found is made", "N");
    part("--paper", o.paper, "Paper of the templates: a4 or letter", "PAPER")->check(CLI::IsMember({"a4", "letter"}));
    part("--printer", o.printer, "Height of the printer, for pieces of a printed port", "LENGTH");
    part("--cut-long", o.cutLong, "How much longer it is cut and printed, to be trimmed", "LENGTH");
    c->footer(portFooter);
    return c;
}

ExitCode runPort(const PortCommandOptions& options, const Streams& streams, const PaintTemplates& paintTemplates)
{
    const auto wanted = portWanted(options);
    if (!wanted) return streams.misuse(wanted.error().message, "port");
    const auto project = opened(options.project, streams);
    if (!project) return streams.refuse(project.error());
    const auto report = portReport(options.project, *project, *wanted, paintTemplates);
    if (!report) return streams.refuse(report.error());
    for (const HousingPorts& housing : *report)
        for (const std::string& warning : housing.warnings)
            streams.warn(warning);
    return streams.print(options.format == "json" ? portJson(*report) : portText(*report));
}

}  // namespace

std::vector<std::string> readingsApart(const std::vector<std::string>& arguments)
{
    std::vector<std::string> apart;
    bool measured = false;
    for (const std::string& argument : arguments) {
        const bool option = argument.starts_with('-');
        if (measured && !option && argument.find('=') != std::string::npos && apart.back() != "--measured")
            apart.emplace_back("--measured");
        if (option) measured = argument == "--measured" || argument.starts_with("--measured=");
        apart.push_back(argument);
    }
    return apart;
}

Result<PortWanted> portWanted(const PortCommandOptions& o)
{
    if (auto ok = checkBelonging(o); !ok) return fail(ok.error());
    PortWanted wanted;
    wanted.housings = o.housings;
    Taking t;
    int opening = 0;
    t.want(o.opening, [](const std::string& s) { return whole("--opening", s, 1, 1000); }, opening);
    t.want(o.tune, [](const std::string& s) { return hertz("--tune", s); }, wanted.tune);
    t.want(o.length, [](const std::string& s) { return metres("--length", s); }, wanted.length);
    t.take(metres("--tolerance", o.tolerance, 0, 100), wanted.tolerance);
    if (t.error) return fail(*t.error);
    if (opening > 0) wanted.opening = opening - 1;
    wanted.loudness = o.loudness;
    const int actions = int(wanted.tune.has_value()) + int(wanted.length.has_value()) + int(o.search) +
                        int(!o.trim.empty()) + int(o.loudness);
    if (actions > 1) return fail("", "one of --tune, --length, --search, --trim and --loudness at a time");
    if (o.search) {
        auto request = requestFrom(o);
        if (!request) return fail(request.error());
        wanted.search = std::move(*request);
    }
    if (o.stock != "metric" && o.stock != "inch")
        wanted.stockFile = o.stock;
    else if (std::find(o.given.begin(), o.given.end(), "--stock") != o.given.end())
        wanted.stock = o.stock == "inch" ? inchPortStock() : metricPortStock();
    if (!o.trim.empty()) {
        auto trim = trimFrom(o);
        if (!trim) return fail(trim.error());
        wanted.trim = std::move(*trim);
    }
    if (!o.parts.empty()) wanted.parts = o.parts;
    t.take(metres("--printer", o.printer, 20, 1000), wanted.partOptions.printerHeight);
    t.take(metres("--cut-long", o.cutLong, 0, 500), wanted.partOptions.cutLong);
    t.take(spaceFrom(o), wanted.space);
    wanted.partOptions.clearance = wanted.space.clearance;
    int take = 1;
    t.take(whole("--take", o.take, 1, 100), take);
    wanted.take = std::size_t(take);
    if (t.error) return fail(*t.error);
    if (o.paper == "letter") wanted.paper = TemplatePaper::letter;
    return wanted;
}

Command portCommand(CLI::App& app, const PaintTemplates& paintTemplates)
{
    const auto options = std::make_shared<PortCommandOptions>();
    CLI::App* command = addPortCommand(app, *options);
    return {command,
            [options, paintTemplates](const Streams& streams) { return runPort(*options, streams, paintTemplates); }};
}

}  // namespace portwright::console
