// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/part_set.h"

#include "core/document/whole_file.h"
#include "core/mesh/scan.h"
#include "core/parts/dxf.h"
#include "core/parts/hole_template.h"
#include "core/parts/leg_plan.h"
#include "core/parts/part_text.h"
#include "core/parts/shop_length.h"
#include "core/parts/svg.h"

#include <algorithm>
#include <fmt/format.h>
#include <regex>
#include <system_error>
#include <unistd.h>

namespace portwright {
namespace {

namespace fs = std::filesystem;

constexpr const char* program = "Portwright " PORTWRIGHT_VERSION;

// Names that parts have.
constexpr const char* partName =
    R"(parts\.txt|(port-\d+-)?((tube|panel|printed)-template\.(svg|dxf|pdf)|printed-port(-\d+-of-\d+)?\.stl))";

// A slot whose walls are given is made of panels as thick.
PartOptions optionsOf(const PortOpening& port, PartOptions options)
{
    if (port.shape == PortShape::slot && port.wall && *port.wall > 0) options.panel = *port.wall;
    return options;
}

/// Gathers the parts of one port; `prefix` tells several ports of a housing apart.
struct PortParts {
    const PortOpening& port;
    const PartOptions& options;
    const std::vector<std::string>& names;  // of what the parts are for
    std::vector<double> legs;               // of a bent port; none: equal
    std::string title, prefix;              // "port 2" and "port-2-" where there are several
    PartSet& set;

    void remark(const Error& error, const char* head = "Not made") const
    {
        set.remarks.push_back(fmt::format("{}{}.", title.empty() ? "" : title + ": ", error.message));
        set.text += fmt::format("  {}: {}.\n", head, error.message);
    }
    Result<void> addTemplate(const std::string& name, PortMaking making) const;
    Result<void> addStock() const;
    void addTube() const;
    void addPanels() const;
    Result<void> addPrinted() const;
};

Result<void> PortParts::addTemplate(const std::string& name, PortMaking making) const
{
    auto drawing = holeTemplate(port, making, options, legs, names);
    if (!drawing) return fail(drawing.error());
    auto dxf = dxfText(*drawing);
    if (!dxf) return fail(dxf.error());
    const std::string stem = prefix + name;
    set.files.push_back({stem + ".svg", svgText(*drawing)});
    set.files.push_back({stem + ".dxf", std::move(*dxf)});
    set.text += fmt::format("  Template of the hole, 1:1: {}, in several formats\n", stem);
    set.templates.push_back({stem, std::move(*drawing)});
    return {};
}

void PortParts::addTube() const
{
    set.text += "From stock tube\n";
    const auto blanks = tubeBlanks(port, options, legs);
    if (!blanks) return remark(blanks.error());
    set.text += tubeText(*blanks, options);
    if (blanks->straights.empty()) return;
    const auto plan = cutPlan(blanks->straights, options.tubeStock, options.kerf);
    if (!plan) return remark(plan.error());
    set.text += planText(blanks->straights, *plan, options);
}

void PortParts::addPanels() const
{
    set.text += "From panels\n";
    const auto blanks = panelBlanks(port, options, legs);
    if (!blanks) return remark(blanks.error());
    set.text += panelText(*blanks, options);
    const auto plans = panelPlans(*blanks, options);
    if (!plans) return remark(plans.error());
    for (const SheetPlan& sheet : *plans) {
        set.text += fmt::format("  Ripped side by side from sheet at least {} wide:\n",
                                shopLength(sheet.across, options.units));
        set.text += planText(sheet.pieces, sheet.plan, options);
    }
}

Result<void> PortParts::addStock() const
{
    const bool round = port.shape == PortShape::round;
    round ? addTube() : addPanels();
    return addTemplate(round ? "tube-template" : "panel-template", PortMaking::stock);
}

/// The head of a binary STL takes 80 bytes of ASCII, and must not begin like the text form.
std::string named(std::string stl, const std::vector<std::string>& names)
{
    constexpr std::size_t head = 80;
    std::string words;
    for (auto line = names.rbegin(); line != names.rend(); ++line)  // the program, then the port
        words += (words.empty() ? "" : "; ") + *line;
    std::string plain;
    for (std::size_t i = 0; i < words.size(); ++i) {
        const auto c = static_cast<unsigned char>(words[i]);
        if ((c & 0xC0) == 0x80) continue;
        const bool noBreakSpace = c == 0xC2 && i + 1 < words.size() && static_cast<unsigned char>(words[i + 1]) == 0xA0;
        plain += noBreakSpace || c < 0x20 ? ' ' : c < 0x7F ? words[i] : '?';
    }
    plain.resize(head, ' ');
    return stl.replace(0, head, plain);
}

Result<void> PortParts::addPrinted() const
{
    set.text += "Printed\n";
    const auto body = printedBody(port, options, legs);
    if (!body) return remark(body.error()), Result<void>();
    const auto pieces = printedPieces(*body, options);
    if (!pieces) return remark(pieces.error()), Result<void>();
    if (const auto drawing = holeTemplate(port, PortMaking::printed, options, legs); !drawing)
        return remark(drawing.error()), Result<void>();  // holes that overlap
    set.text += printText(*body, *pieces, countOf(port), options);
    for (std::size_t i = 0; i < pieces->size(); ++i) {
        const std::string name = pieces->size() == 1
                                     ? fmt::format("{}printed-port.stl", prefix)
                                     : fmt::format("{}printed-port-{}-of-{}.stl", prefix, i + 1, pieces->size());
        set.files.push_back({name, named(stlBytes((*pieces)[i].mesh, 1e-3), names)});
        set.text += fmt::format("  {}\n", name);
    }
    return addTemplate("printed-template", PortMaking::printed);
}

struct HousedPort {
    const PortOpening* port;
    const Cavity* cavity;
    int opening, number;  // index among the openings; counted from 1 among the ports
};

std::vector<HousedPort> portsOf(const Housing& housing)
{
    std::vector<HousedPort> ports;
    for (std::size_t i = 0; i < housing.openings.size(); ++i) {
        if (const auto* port = std::get_if<PortOpening>(&housing.openings[i].kind))
            ports.push_back({port, &cavityOf(housing, int(i)), int(i), int(ports.size()) + 1});
    }
    return ports;
}

struct Naming {
    std::string job, housing;
};

std::vector<std::string> namesOf(const Naming& naming, const HousedPort& housed, UnitSystem units)
{
    std::vector<std::string> names;
    if (!naming.job.empty()) names.push_back("Job: " + naming.job);
    names.push_back("Housing: " + naming.housing);
    names.push_back(fmt::format("Port {}: {}", housed.number, portWords(*housed.port, units)));
    names.push_back(program);
    return names;
}

Result<void> addPort(PartSet& set, const HousedPort& housed, bool several, const Naming& naming,
                     const PartOptions& options)
{
    const PortOpening& port = *housed.port;
    if (const auto fine = checkPort(port); !fine) return fine;
    const PartOptions own = optionsOf(port, options);
    const std::vector<std::string> names = namesOf(naming, housed, options.units);
    PortParts parts{port,
                    own,
                    names,
                    {},
                    several ? fmt::format("port {}", housed.number) : "",
                    several ? fmt::format("port-{}-", housed.number) : "",
                    set};
    set.text += fmt::format("\nPort {}: {}\n", housed.number, portText(port, options.units));
    if (const auto plan = legPlan(port, *housed.cavity, own)) {
        parts.legs = plan->legs;
        set.text += "  " + plan->words + "\n";
        if (plan->trouble) parts.remark({"", *plan->trouble}, "Note");
    }
    if (const auto stock = parts.addStock(); !stock) return stock;
    return parts.addPrinted();
}

/// A folder for files that are not all there yet; removed with what is left in it.
class Staging {
public:
    explicit Staging(const fs::path& folder) : path_(folder / fmt::format(".portwright-parts-{}.tmp", ::getpid()))
    {
        fs::remove_all(path_, trouble_);  // of a crash
        fs::create_directory(path_, trouble_);
    }
    Staging(const Staging&) = delete;
    Staging& operator=(const Staging&) = delete;
    ~Staging()
    {
        if (kept_) return;
        std::error_code ignored;
        fs::remove_all(path_, ignored);
    }
    const fs::path& path() const { return path_; }
    const std::error_code& trouble() const { return trouble_; }
    void keep() { kept_ = true; }

private:
    fs::path path_;
    std::error_code trouble_;
    bool kept_ = false;
};

/// Moves files from a folder beside them into place, and can take all of it back.
class Exchange {
public:
    Exchange(fs::path folder, const fs::path& staging)
        : folder_(std::move(folder)), staging_(staging), old_(staging / "old")
    {
        fs::create_directory(old_, noOld_);
    }

    std::error_code putIn(const std::string& name)
    {
        if (noOld_) return noOld_;
        std::error_code trouble;
        Moved moved{name, false, false};
        if (fs::exists(fs::symlink_status(folder_ / name, trouble))) {
            fs::rename(folder_ / name, old_ / name, trouble);
            if (trouble) return trouble;
            moved.old = true;
        }
        fs::rename(staging_ / name, folder_ / name, trouble);
        moved.in = !trouble;
        moved_.push_back(moved);
        return trouble;
    }
    /// Whether all is as it was.
    bool undo()
    {
        bool whole = true;
        for (auto m = moved_.rbegin(); m != moved_.rend(); ++m) {
            std::error_code trouble;
            if (m->old)
                fs::rename(old_ / m->name, folder_ / m->name, trouble);
            else if (m->in)
                fs::remove(folder_ / m->name, trouble);
            whole = whole && !trouble;
        }
        moved_.clear();
        return whole;
    }

private:
    struct Moved {
        std::string name;
        bool old, in;  // an old one was put away; the new one is in its place
    };
    fs::path folder_, staging_, old_;
    std::error_code noOld_;
    std::vector<Moved> moved_;
};

Result<bool> madeFolder(const fs::path& folder)
{
    std::error_code trouble;
    const fs::file_status status = fs::status(folder, trouble);
    if (fs::is_directory(status)) return false;
    if (fs::exists(status)) return fail(folder.string(), "this is a file, not a folder; choose another name");
    if (!fs::create_directory(folder, trouble))
        return fail(folder.string(), fmt::format("the folder cannot be made ({}); choose another place",
                                                 trouble ? trouble.message() : "it has no name"));
    return true;
}

Result<std::vector<std::string>> writeInto(const fs::path& folder, const std::vector<PartFile>& files)
{
    Staging staging(folder);
    if (staging.trouble())
        return fail(folder.string(), fmt::format("nothing can be written there ({}); choose another folder",
                                                 staging.trouble().message()));
    for (const PartFile& file : files) {
        std::error_code unknown;  // then the write tells
        if (fs::is_directory(folder / file.name, unknown))
            return fail((folder / file.name).string(), "a folder of this name is in the way; choose another place");
        if (const auto written = writeWhole(staging.path() / file.name, file.bytes); !written)
            return fail((folder / file.name).string(), written.error().message);
    }
    Exchange exchange(folder, staging.path());
    std::vector<std::string> paths;
    for (const PartFile& file : files) {
        if (const std::error_code trouble = exchange.putIn(file.name)) {
            const bool whole = exchange.undo();
            if (!whole) staging.keep();
            return fail(
                (folder / file.name).string(),
                fmt::format("the file could not be moved into place ({}); {}", trouble.message(),
                            whole ? "nothing was changed, choose another folder"
                                  : "what was there is in " + (staging.path() / "old").string() + ", put it back"));
        }
        paths.push_back((folder / file.name).string());
    }
    return paths;
}

}  // namespace

std::vector<std::string> partCautions(UnitSystem units)
{
    const bool us = units == UnitSystem::us;
    std::vector<std::string> list;
    list.push_back(fmt::format(
        "Printed parts: choose a plastic that stands the temperature measured in its place plus {}. Panels reach {} in "
        "the sun, surfaces near {}; PLA softens near {}. Drains low, connectors down.",
        us ? "36\u00A0\u00B0F" : "20\u00A0\u00B0C", us ? "160\u00A0\u00B0F" : "70\u00A0\u00B0C",
        us ? "195\u00A0\u00B0F" : "90\u00A0\u00B0C", us ? "140\u00A0\u00B0F" : "60\u00A0\u00B0C"));
    list.push_back(
        "Resin: ventilate. Styrene limits are 100\u00A0ppm (OSHA) and 50\u00A0ppm (NIOSH), lower is advised. "
        "Gloves and a cartridge mask; epoxy can sensitise.");
    list.push_back("Dust of sawing and sanding: a P100 mask and eye protection; cut fibre-filled plastic wet or with "
                   "suction.");
    list.push_back(
        "Before cutting: battery negative off. Find fuel, brake, clutch and coolant lines and wiring on both "
        "sides of the wall; use a depth stop; no sparks near vapour. Never cut frame, crash bars or hinges.");
    list.push_back(fmt::format(
        "Clearance: check full lock, suspension travel and cables after every change; keep fuel and brake lines free, "
        "cooling air open and {} from the exhaust.",
        us ? "2\u00A0in" : "50\u00A0mm"));
    list.push_back(fmt::format("Fasteners: lock them (check the thread-locker against the plastic), spread the load, "
                               "mark them, and check again after {} and {}.",
                               us ? "50" : "80\u00A0km", us ? "300\u00A0miles" : "500\u00A0km"));
    list.push_back("The vehicle maker's manual, amplifier and driver manuals, local codes and licensed practice come "
                   "first; this is a design aid, and the person at the bike decides.");
    return list;
}

Result<PartSet> partsOf(const Housing& housing, const PartOptions& options, std::optional<int> opening,
                        const std::string& job)
{
    std::vector<HousedPort> ports = portsOf(housing);
    const bool several = ports.size() > 1;
    if (opening) std::erase_if(ports, [&](const HousedPort& p) { return p.opening != *opening; });
    if (ports.empty()) return fail("openings", "this housing has no port, so there are no parts to make");
    if (const auto fine = checkOptions(options); !fine) return fail(fine.error());
    PartSet set;
    set.text = fmt::format("Parts for \"{}\"\n", housing.name);
    if (!job.empty()) set.text += fmt::format("Job \"{}\"\n", job);
    set.text += fmt::format("Made by {}\n", program);
    for (const HousedPort& port : ports)
        if (const auto added = addPort(set, port, several, {job, housing.name}, options); !added)
            return fail(added.error());
    set.text += "\nCautions\n";
    for (const std::string& caution : partCautions(options.units))
        set.text += "  " + caution + "\n";
    set.files.insert(set.files.begin(), PartFile{"parts.txt", set.text});
    return set;
}

FolderBefore folderBefore(const fs::path& folder, const std::vector<PartFile>& files)
{
    FolderBefore before;
    std::error_code trouble;
    const fs::directory_iterator end;
    for (fs::directory_iterator at(folder, trouble); !trouble && at != end; at.increment(trouble)) {
        const std::string name = at->path().filename().string();
        const bool ours = std::any_of(files.begin(), files.end(), [&](const PartFile& f) { return f.name == name; });
        if (ours)
            before.replaced.push_back(name);
        else if (std::regex_match(name, std::regex(partName)))
            before.leftOver.push_back(name);
    }
    std::sort(before.replaced.begin(), before.replaced.end());
    std::sort(before.leftOver.begin(), before.leftOver.end());
    return before;
}

Result<std::vector<std::string>> writeParts(const fs::path& folder, const std::vector<PartFile>& files)
{
    const auto made = madeFolder(folder);
    if (!made) return fail(made.error());
    auto written = writeInto(folder, files);
    if (!written && *made) {
        std::error_code ignored;
        fs::remove(folder, ignored);  // as it was
    }
    return written;
}

}  // namespace portwright
