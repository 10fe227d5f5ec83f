// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/cavity/text_words.h"
#include "core/mesh/mesh_formats.h"

#include <array>
#include <bit>
#include <cmath>
#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace portwright {
namespace {

enum class PlyKind { whole, natural, real };  // signed, unsigned, floating

struct PlyType {
    PlyKind kind;
    std::size_t bytes;
};

std::optional<PlyType> typeOf(std::string_view word)
{
    struct Named {
        std::string_view name, other;
        PlyType type;
    };
    static constexpr Named types[] = {
        {"char", "int8", {PlyKind::whole, 1}},    {"uchar", "uint8", {PlyKind::natural, 1}},
        {"short", "int16", {PlyKind::whole, 2}},  {"ushort", "uint16", {PlyKind::natural, 2}},
        {"int", "int32", {PlyKind::whole, 4}},    {"uint", "uint32", {PlyKind::natural, 4}},
        {"float", "float32", {PlyKind::real, 4}}, {"double", "float64", {PlyKind::real, 8}},
    };
    for (const Named& named : types)
        if (word == named.name || word == named.other) return named.type;
    return std::nullopt;
}

struct PlyProperty {
    std::string_view name;
    PlyType type;
    std::optional<PlyType> count;  // of a list
};

struct PlyElement {
    std::string_view name;
    std::size_t count = 0;
    std::vector<PlyProperty> properties;

    std::optional<std::size_t> find(std::string_view wanted) const
    {
        for (std::size_t i = 0; i < properties.size(); ++i)
            if (properties[i].name == wanted) return i;
        return std::nullopt;
    }
};

struct PlyHead {
    bool text = true, bigEndian = false;
    std::vector<PlyElement> elements;
    std::size_t end = 0;  // where the data begin
};

Result<PlyElement> readElement(Words& line)
{
    PlyElement element;
    element.name = line.next();
    const std::string_view count = line.next();
    const auto [end, trouble] = std::from_chars(count.data(), count.data() + count.size(), element.count);
    if (count.empty() || trouble != std::errc{} || end != count.data() + count.size())
        return line.wrong("an element needs a name and how many there are");
    return element;
}

Result<PlyProperty> readProperty(Words& line)
{
    std::string_view word = line.next();
    PlyProperty property{};
    if (word == "list") {
        property.count = typeOf(word = line.next());
        if (!property.count || property.count->kind == PlyKind::real)
            return line.wrong(quoted(word) + " is no type that counts a list; allowed are char to uint");
        word = line.next();
    }
    const auto type = typeOf(word);
    if (!type) return line.wrong(quoted(word) + " is no type; allowed are char to uint, float and double");
    property.type = *type;
    property.name = line.next();
    return property;
}

Result<PlyHead> readHead(std::string_view bytes)
{
    PlyHead head;
    bool formatted = false;
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
        Words line{bytes.substr(0, end), at};
        at = end + 1;
        const std::string_view word = line.next();
        if (word == "format") {
            const std::string_view format = line.next();
            head.text = format == "ascii";
            head.bigEndian = format == "binary_big_endian";
            formatted = head.text || head.bigEndian || format == "binary_little_endian";
            if (!formatted)
                return line.wrong(quoted(format) + " is no format; allowed are ascii, binary_little_endian and "
                                                   "binary_big_endian");
        } else if (word == "element") {
            auto element = readElement(line);
            if (!element) return fail(element.error());
            head.elements.push_back(std::move(*element));
        } else if (word == "property") {
            if (head.elements.empty()) return line.wrong("a property stands before the first element");
            const auto property = readProperty(line);
            if (!property) return fail(property.error());
            head.elements.back().properties.push_back(*property);
        } else if (word == "end_header") {
            if (!formatted) return line.wrong("the head ends without telling the format");
            head.end = std::min(at, bytes.size());
            return head;
        } else if (!word.empty() && word != "ply" && word != "comment" && word != "obj_info") {
            return line.wrong(quoted(word) + " is nothing that the head of a PLY file holds");
        }
    }
    return fail("", "the head of the PLY file has no end (a line \"end_header\")");
}

/// The numbers of the data part, one after the other.
class PlyNumbers {
public:
    PlyNumbers(std::string_view bytes, const PlyHead& head) : words_{bytes, head.end}, head_(head) {}

    /// False: the file is at its end, or a word is no number.
    bool next(const PlyType& type, double& value)
    {
        if (head_.text) return readNumber(words_.next(), value);
        if (words_.text.size() - words_.at < type.bytes) return false;
        std::uint64_t bits = 0;
        for (std::size_t i = 0; i < type.bytes; ++i) {
            const std::size_t at = words_.at + (head_.bigEndian ? i : type.bytes - 1 - i);
            bits = bits << 8 | static_cast<unsigned char>(words_.text[at]);
        }
        words_.at += type.bytes;
        if (type.kind == PlyKind::natural) {
            value = static_cast<double>(bits);
        } else if (type.kind == PlyKind::whole) {
            const double beyond =
                std::ldexp(1.0, static_cast<int>(8 * type.bytes));  // what the sign bit stands for, twice
            value = static_cast<double>(bits);
            if (2 * value >= beyond) value -= beyond;
        } else {
            value = type.bytes == 4 ? static_cast<double>(std::bit_cast<float>(static_cast<std::uint32_t>(bits)))
                                    : std::bit_cast<double>(bits);
        }
        return true;
    }
    double share() const { return static_cast<double>(words_.at) / static_cast<double>(words_.text.size()); }
    std::size_t left() const { return words_.text.size() - words_.at; }

private:
    Words words_;
    const PlyHead& head_;
};

/// One row: plain numbers into `plain` by property, the list of the wanted property into `list`.
bool readRow(PlyNumbers& numbers, const PlyElement& element, std::optional<std::size_t> wanted,
             std::vector<double>& plain, std::vector<double>& list)
{
    for (std::size_t i = 0; i < element.properties.size(); ++i) {
        const PlyProperty& property = element.properties[i];
        if (!property.count) {
            if (!numbers.next(property.type, plain[i])) return false;
            continue;
        }
        double count = 0, skipped = 0;
        if (!numbers.next(*property.count, count) || count < 0 || count > static_cast<double>(numbers.left()))
            return false;
        for (double k = 0; k < count; ++k) {
            if (!numbers.next(property.type, skipped)) return false;
            if (i == wanted) list.push_back(skipped);
        }
    }
    return true;
}

/// Adds what a row describes to the mesh; an error's sentence, or nothing.
std::string addCorner(Mesh& mesh, const std::vector<double>& plain, const std::array<std::size_t, 3>& xyz,
                      std::size_t row, const PlyElement& element)
{
    const Point3 p{plain[xyz[0]], plain[xyz[1]], plain[xyz[2]]};
    mesh.points.push_back(p);
    if (std::isfinite(p[0]) && std::isfinite(p[1]) && std::isfinite(p[2])) return {};
    return fmt::format("corner {} of {} is not a finite number", row + 1, element.count);
}

std::string addFace(Mesh& mesh, const std::vector<double>& list, std::size_t row, std::size_t corners)
{
    if (list.size() < 3) return fmt::format("face {} has {} corners; at least 3 are needed", row + 1, list.size());
    for (const double corner : list)
        if (!(corner >= 0 && corner < static_cast<double>(corners) && corner == std::floor(corner)))
            return fmt::format("face {} names corner {}, which is not there; allowed is 0 to {}", row + 1, corner,
                               corners == 0 ? 0 : corners - 1);
    addFan(mesh, list);
    return {};
}

}  // namespace

Result<Mesh> meshFromPly(std::string_view bytes, const Watch& watch)
{
    const auto head = readHead(bytes);
    if (!head) return fail(head.error());
    std::size_t corners = 0;
    for (const PlyElement& element : head->elements)
        if (element.name == "vertex") corners = element.count;
    PlyNumbers numbers(bytes, *head);
    Mesh mesh;
    for (const PlyElement& element : head->elements) {
        if (element.properties.empty()) continue;
        const auto x = element.find("x"), y = element.find("y"), z = element.find("z");
        auto wanted = element.find("vertex_indices");
        if (!wanted) wanted = element.find("vertex_index");
        const bool isVertex = element.name == "vertex", isFace = element.name == "face" && wanted;
        if (isVertex && !(x && y && z)) return fail("", "the PLY file's corners have no x, y and z");
        std::vector<double> plain(element.properties.size(), 0), list;
        for (std::size_t row = 0; row < element.count; ++row) {
            if (row % 16384 == 0) {
                if (isCancelled(watch)) return cancelledWork();
                report(watch, 0.8 * numbers.share(), "reading triangles");
            }
            list.clear();
            if (!readRow(numbers, element, wanted, plain, list))
                return fail("", fmt::format("{} {} of {} is cut short or no number; the PLY file ends too early, or "
                                            "does not fit its head",
                                            element.name == "face" ? "face"
                                            : isVertex             ? "corner"
                                                                   : "row",
                                            row + 1, element.count));
            std::string wrong;
            if (isVertex) wrong = addCorner(mesh, plain, {*x, *y, *z}, row, element);
            if (isFace) wrong = addFace(mesh, list, row, corners);
            if (!wrong.empty()) return fail("", wrong);
        }
    }
    if (mesh.triangles.empty()) return fail("", "the file holds no face (a list \"vertex_indices\")");
    if (mesh.points.size() != corners) return fail("", "the PLY file tells its corners twice");
    return merged(mesh, watch);
}

}  // namespace portwright
