// SPDX-License-Identifier: GPL-3.0-or-later
#include "core/parts/dxf.h"

#include "core/constants.h"

#include <array>
#include <cerrno>
#include <cstring>
#include <dl_dxf.h>
#include <fmt/format.h>
#include <memory>
#include <sys/mman.h>
#include <unistd.h>

namespace portwright {
namespace {

constexpr int millimetres = 4;                 // of $INSUNITS
constexpr int byLayer = 256, hundredths = 18;  // colour of entities; line width of layers, 0.18 mm

struct LayerLook {
    DrawingLayer layer;
    int colour;
    const char* lineType;
};
constexpr std::array layers{LayerLook{DrawingLayer::cut, DL_Codes::red, "CONTINUOUS"},
                            LayerLook{DrawingLayer::centre, DL_Codes::blue, "CENTER"},
                            LayerLook{DrawingLayer::engrave, DL_Codes::green, "CONTINUOUS"},
                            LayerLook{DrawingLayer::notes, DL_Codes::black, "CONTINUOUS"}};

/// A file in memory: dxflib writes to a name, and nothing may be left half-written on a disk.
class MemoryFile {
public:
    MemoryFile() : file_(::memfd_create("portwright-dxf", MFD_CLOEXEC)) {}
    MemoryFile(const MemoryFile&) = delete;
    MemoryFile& operator=(const MemoryFile&) = delete;
    ~MemoryFile()
    {
        if (file_ >= 0) ::close(file_);
    }

    bool opened() const { return file_ >= 0; }
    std::string path() const { return fmt::format("/proc/self/fd/{}", file_); }

    Result<std::string> bytes() const
    {
        std::string all;
        std::array<char, 65536> part{};
        for (off_t at = 0;;) {
            const ssize_t got = ::pread(file_, part.data(), part.size(), at);
            if (got < 0) return fail("", fmt::format("the drawing could not be read back: {}", std::strerror(errno)));
            if (got == 0) return all;
            all.append(part.data(), static_cast<std::size_t>(got));
            at += got;
        }
    }

private:
    int file_;
};

char32_t letterAt(const std::string& words, std::size_t& at)  // at: past the letter afterwards
{
    const auto first = static_cast<unsigned char>(words[at++]);
    int more = first >= 0xF0 ? 3 : first >= 0xE0 ? 2 : first >= 0xC0 ? 1 : 0;
    char32_t letter = more == 3 ? first & 0x07 : more == 2 ? first & 0x0F : more == 1 ? first & 0x1F : first;
    for (; more > 0 && at < words.size(); --more)
        letter = letter << 6 | (static_cast<unsigned char>(words[at++]) & 0x3F);
    return letter;
}

/// Such as mean themselves: %%c, ^J and \U+ would be signs.
std::string plainLetters(const std::string& words)
{
    const bool percents = words.find("%%") != std::string::npos;
    std::string text;
    for (std::size_t at = 0; at < words.size();) {
        const char32_t letter = letterAt(words, at);
        if (letter == 0xA0 || letter < 0x20)
            text += ' ';
        else if (letter == '%' && percents)
            text += "%%%";
        else if (letter == '^')
            text += "^ ";
        else if (letter < 0x7F && letter != '\\')
            text += static_cast<char>(letter);
        else if (letter > 0xFFFF)  // two halves, as in UTF-16
            text += fmt::format("\\U+{:04X}\\U+{:04X}", 0xD800 + ((static_cast<unsigned>(letter) - 0x10000) >> 10),
                                0xDC00 + (static_cast<unsigned>(letter) & 0x3FF));
        else
            text += fmt::format("\\U+{:04X}", static_cast<unsigned>(letter));
    }
    return text;
}

struct DxfItem {
    DL_Dxf& dxf;
    DL_WriterA& writer;
    DL_Attributes look;

    void operator()(const DrawnLine& line)
    {
        dxf.writeLine(writer, DL_LineData(line.from[0], line.from[1], 0, line.to[0], line.to[1], 0), look);
    }
    void operator()(const DrawnCircle& circle)
    {
        dxf.writeCircle(writer, DL_CircleData(circle.centre[0], circle.centre[1], 0, circle.radius), look);
    }
    void operator()(const DrawnArc& arc)
    {
        dxf.writeArc(writer,
                     DL_ArcData(arc.centre[0], arc.centre[1], 0, arc.radius, arc.from * 180 / pi, arc.to * 180 / pi),
                     look);
    }
    void operator()(const DrawnPolyline& line)
    {
        dxf.writePolyline(writer, DL_PolylineData(int(line.points.size()), 0, 0, line.closed ? 1 : 0), look);
        for (const auto& p : line.points)
            dxf.writeVertex(writer, DL_VertexData(p[0], p[1], 0));
        dxf.writePolylineEnd(writer);
    }
    void operator()(const DrawnText& text)
    {
        dxf.writeText(writer,
                      DL_TextData(text.at[0], text.at[1], 0, text.at[0], text.at[1], 0, text.height, 1, 0,
                                  text.centred ? 1 : 0, 0, plainLetters(text.words), "Standard", 0),
                      look);
    }
};

void writeTables(DL_Dxf& dxf, DL_WriterA& writer)
{
    writer.sectionTables();
    dxf.writeVPort(writer);
    writer.tableLinetypes(4);
    for (const char* name : {"BYBLOCK", "BYLAYER", "CONTINUOUS", "CENTER"})
        dxf.writeLinetype(writer, DL_LinetypeData(name, name, 0, 0, 0));
    writer.tableEnd();
    writer.tableLayers(int(layers.size()) + 1);
    dxf.writeLayer(writer, DL_LayerData("0", 0), DL_Attributes("", DL_Codes::black, hundredths, "CONTINUOUS", 1));
    for (const LayerLook& layer : layers)
        dxf.writeLayer(writer, DL_LayerData(layerName(layer.layer), 0),
                       DL_Attributes("", layer.colour, hundredths, layer.lineType, 1));
    writer.tableEnd();
    writer.tableStyle(1);
    // By this very name dxflib keeps its handle for the style of dimensions, which is never set otherwise.
    dxf.writeStyle(writer, DL_StyleData("Standard", 0, 0, 1, 0, 0, 2.5, "txt", ""));
    writer.tableEnd();
    dxf.writeView(writer);
    dxf.writeUcs(writer);
    writer.tableAppid(1);
    dxf.writeAppid(writer, "ACAD");
    writer.tableEnd();
    dxf.writeDimStyle(writer, 1, 1, 1, 1, 1);
    dxf.writeBlockRecord(writer);
    writer.tableEnd();
    writer.sectionEnd();
    writer.sectionBlocks();
    for (const char* name : {"*Model_Space", "*Paper_Space", "*Paper_Space0"}) {
        dxf.writeBlock(writer, DL_BlockData(name, 0, 0, 0, 0));
        dxf.writeEndBlock(writer, name);
    }
    writer.sectionEnd();
}

}  // namespace

Result<std::string> dxfText(const Drawing& drawing)
{
    const MemoryFile file;
    if (!file.opened()) return fail("", fmt::format("there is no memory for the drawing: {}", std::strerror(errno)));
    DL_Dxf dxf;
    const std::unique_ptr<DL_WriterA> writer(dxf.out(file.path().c_str(), DL_Codes::AC1015));
    if (!writer || writer->openFailed()) return fail("", "the drawing could not be written to memory");
    dxf.writeHeader(*writer);
    writer->dxfString(9, "$INSUNITS");
    writer->dxfInt(70, millimetres);
    writer->sectionEnd();
    writeTables(dxf, *writer);
    writer->sectionEntities();
    for (const DrawingItem& item : drawing.items)
        std::visit(DxfItem{dxf, *writer, DL_Attributes(layerName(item.layer), byLayer, -1, "BYLAYER", 1)}, item.what);
    writer->sectionEnd();
    dxf.writeObjects(*writer);
    dxf.writeObjectsEnd(*writer);
    writer->dxfEOF();
    writer->close();
    if (writer->openFailed()) return fail("", "the drawing could not be written to memory; it may be short");
    return file.bytes();
}

}  // namespace portwright
