#include "cad_export/dxf_document.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

struct LayerLook {
    const char* name;
    /// Of the format's own palette.
    int colour;
};

// Black or white, red, blue, green: told apart on any ground.
constexpr std::array<LayerLook, 4> layers{{{"OUTLINE", 7}, {"SLOTS", 1}, {"HOLES", 5}, {"NOTES", 3}}};

// Handles of the tables and objects; entities come after.
constexpr const char* model_record = "1F";
constexpr const char* paper_record = "1B";
constexpr const char* model_layout = "22";
constexpr const char* paper_layout = "1E";
constexpr const char* plot_style = "F";

// A nanometre of a millimetre drawing is a millionth: twelve digits of a metre long part.
std::string number(double value) {
    std::string text = fmt::format("{:.9f}", value);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.back() == '.') text += '0';
    return text == "-0.0" ? "0.0" : text;
}

void put(std::string& text, int code, std::string_view value) {
    text += fmt::format("{:>3}\n{}\n", code, value);
}
void put(std::string& text, int code, int value) {
    text += fmt::format("{:>3}\n{:>6}\n", code, value);
}
void put(std::string& text, int code, double value) {
    put(text, code, std::string_view(number(value)));
}
void put_point(std::string& text, int code, double x, double y, double z) {
    put(text, code, x);
    put(text, code + 10, y);
    put(text, code + 20, z);
}
void put_point(std::string& text, int code, double x, double y) {
    put(text, code, x);
    put(text, code + 10, y);
}

void begin_table(std::string& text, const char* name, const char* handle, int entries) {
    put(text, 0, "TABLE");
    put(text, 2, name);
    put(text, 5, handle);
    put(text, 330, "0");
    put(text, 100, "AcDbSymbolTable");
    put(text, 70, entries);
}

void begin_record(std::string& text, const char* type, std::string_view handle, const char* owner, const char* subclass,
                  std::string_view name) {
    put(text, 0, type);
    // Dimension styles carry their handle under a code of their own.
    put(text, std::string_view(type) == "DIMSTYLE" ? 105 : 5, handle);
    put(text, 330, owner);
    put(text, 100, "AcDbSymbolTableRecord");
    put(text, 100, subclass);
    put(text, 2, name);
}

void end_table(std::string& text) {
    put(text, 0, "ENDTAB");
}

struct Extent {
    double left;
    double right;
    double bottom;
    double top;
};

std::string header(const Extent& extent, unsigned next_handle) {
    std::string text;
    const auto variable = [&](const char* name) { put(text, 9, name); };
    put(text, 0, "SECTION");
    put(text, 2, "HEADER");
    variable("$ACADVER");
    put(text, 1, "AC1015");
    variable("$DWGCODEPAGE");
    put(text, 3, "ANSI_1252");
    variable("$INSBASE");
    put_point(text, 10, 0.0, 0.0, 0.0);
    variable("$EXTMIN");
    put_point(text, 10, extent.left, extent.bottom, 0.0);
    variable("$EXTMAX");
    put_point(text, 10, extent.right, extent.top, 0.0);
    variable("$LUNITS");
    put(text, 70, 2);
    variable("$LUPREC");
    put(text, 70, 4);
    variable("$MEASUREMENT");
    put(text, 70, 1);
    variable("$INSUNITS");
    put(text, 70, 4);
    variable("$HANDSEED");
    put(text, 5, fmt::format("{:X}", next_handle));
    put(text, 0, "ENDSEC");
    put(text, 0, "SECTION");
    put(text, 2, "CLASSES");
    put(text, 0, "ENDSEC");
    return text;
}

void viewport_table(std::string& text, const Extent& extent) {
    begin_table(text, "VPORT", "8", 1);
    begin_record(text, "VPORT", "29", "8", "AcDbViewportTableRecord", "*Active");
    put(text, 70, 0);
    put_point(text, 10, 0.0, 0.0);
    put_point(text, 11, 1.0, 1.0);
    put_point(text, 12, 0.5 * (extent.left + extent.right), 0.5 * (extent.bottom + extent.top));
    put_point(text, 13, 0.0, 0.0);
    put_point(text, 14, 1.0, 1.0);
    put_point(text, 15, 1.0, 1.0);
    put_point(text, 16, 0.0, 0.0, 1.0);
    put_point(text, 17, 0.0, 0.0, 0.0);
    const double high = std::max({1.0, extent.top - extent.bottom, 0.75 * (extent.right - extent.left)});
    put(text, 40, 1.1 * high);
    put(text, 41, 1.34);
    put(text, 42, 50.0);
    put(text, 43, 0.0);
    put(text, 44, 0.0);
    put(text, 50, 0.0);
    put(text, 51, 0.0);
    for (const int code : {71, 72, 73, 74, 75, 76, 77, 78}) put(text, code, code == 72 ? 100 : code == 73 ? 1 : 0);
    end_table(text);
}

void layer_table(std::string& text) {
    begin_table(text, "LAYER", "2", static_cast<int>(layers.size()) + 1);
    const auto layer = [&](std::string_view handle, const char* name, int colour) {
        begin_record(text, "LAYER", handle, "2", "AcDbLayerTableRecord", name);
        put(text, 70, 0);
        put(text, 62, colour);
        put(text, 6, "Continuous");
        put(text, 370, -3);
        put(text, 390, plot_style);
    };
    layer("10", "0", 7);
    unsigned handle = 0x40;
    for (const LayerLook& look : layers) layer(fmt::format("{:X}", handle++), look.name, look.colour);
    end_table(text);
}

std::string tables(const Extent& extent) {
    std::string text;
    put(text, 0, "SECTION");
    put(text, 2, "TABLES");
    viewport_table(text, extent);
    begin_table(text, "LTYPE", "5", 3);
    const auto line_type = [&](const char* handle, const char* name, const char* looks) {
        begin_record(text, "LTYPE", handle, "5", "AcDbLinetypeTableRecord", name);
        put(text, 70, 0);
        put(text, 3, looks);
        put(text, 72, 65);
        put(text, 73, 0);
        put(text, 40, 0.0);
    };
    line_type("14", "ByBlock", "");
    line_type("15", "ByLayer", "");
    line_type("16", "Continuous", "Solid line");
    end_table(text);
    layer_table(text);
    begin_table(text, "STYLE", "3", 1);
    begin_record(text, "STYLE", "11", "3", "AcDbTextStyleTableRecord", "Standard");
    put(text, 70, 0);
    put(text, 40, 0.0);
    put(text, 41, 1.0);
    put(text, 50, 0.0);
    put(text, 71, 0);
    put(text, 42, 2.5);
    put(text, 3, "txt");
    put(text, 4, "");
    end_table(text);
    begin_table(text, "VIEW", "6", 0);
    end_table(text);
    begin_table(text, "UCS", "7", 0);
    end_table(text);
    begin_table(text, "APPID", "9", 1);
    begin_record(text, "APPID", "12", "9", "AcDbRegAppTableRecord", "ACAD");
    put(text, 70, 0);
    end_table(text);
    begin_table(text, "DIMSTYLE", "A", 1);
    put(text, 100, "AcDbDimStyleTable");
    put(text, 71, 0);
    begin_record(text, "DIMSTYLE", "27", "A", "AcDbDimStyleTableRecord", "Standard");
    put(text, 70, 0);
    put(text, 340, "11");
    end_table(text);
    begin_table(text, "BLOCK_RECORD", "1", 2);
    begin_record(text, "BLOCK_RECORD", model_record, "1", "AcDbBlockTableRecord", "*Model_Space");
    put(text, 340, model_layout);
    begin_record(text, "BLOCK_RECORD", paper_record, "1", "AcDbBlockTableRecord", "*Paper_Space");
    put(text, 340, paper_layout);
    end_table(text);
    put(text, 0, "ENDSEC");
    return text;
}

std::string blocks() {
    std::string text;
    put(text, 0, "SECTION");
    put(text, 2, "BLOCKS");
    const auto block = [&](const char* record, const char* begin, const char* end, const char* name, bool paper) {
        put(text, 0, "BLOCK");
        put(text, 5, begin);
        put(text, 330, record);
        put(text, 100, "AcDbEntity");
        if (paper) put(text, 67, 1);
        put(text, 8, "0");
        put(text, 100, "AcDbBlockBegin");
        put(text, 2, name);
        put(text, 70, 0);
        put_point(text, 10, 0.0, 0.0, 0.0);
        put(text, 3, name);
        put(text, 1, "");
        put(text, 0, "ENDBLK");
        put(text, 5, end);
        put(text, 330, record);
        put(text, 100, "AcDbEntity");
        if (paper) put(text, 67, 1);
        put(text, 8, "0");
        put(text, 100, "AcDbBlockEnd");
    };
    block(model_record, "20", "21", "*Model_Space", false);
    block(paper_record, "1C", "1D", "*Paper_Space", true);
    put(text, 0, "ENDSEC");
    return text;
}

void layout(std::string& text, const char* handle, const char* record, const char* name, int order,
            const Extent& extent) {
    put(text, 0, "LAYOUT");
    put(text, 5, handle);
    put(text, 330, "1A");
    put(text, 100, "AcDbPlotSettings");
    put(text, 1, "");
    put(text, 2, "none_device");
    put(text, 4, "ISO_A4_(210.00_x_297.00_MM)");
    put(text, 6, "");
    for (const int code : {40, 41, 42, 43}) put(text, code, 7.5);
    put(text, 44, 210.0);
    put(text, 45, 297.0);
    for (const int code : {46, 47, 48, 49, 140, 141}) put(text, code, 0.0);
    put(text, 142, 1.0);
    put(text, 143, 1.0);
    // A model's layout is told by its flag of 1024.
    put(text, 70, order == 0 ? 1024 + 688 : 688);
    put(text, 72, 1);
    put(text, 73, 0);
    put(text, 74, 5);
    put(text, 7, "");
    put(text, 75, 16);
    put(text, 147, 1.0);
    put(text, 148, 0.0);
    put(text, 149, 0.0);
    put(text, 100, "AcDbLayout");
    put(text, 1, name);
    put(text, 70, 1);
    put(text, 71, order);
    put_point(text, 10, 0.0, 0.0);
    put_point(text, 11, 297.0, 210.0);
    put_point(text, 12, 0.0, 0.0, 0.0);
    put_point(text, 14, order == 0 ? extent.left : 0.0, order == 0 ? extent.bottom : 0.0, 0.0);
    put_point(text, 15, order == 0 ? extent.right : 0.0, order == 0 ? extent.top : 0.0, 0.0);
    put(text, 146, 0.0);
    put_point(text, 13, 0.0, 0.0, 0.0);
    put_point(text, 16, 1.0, 0.0, 0.0);
    put_point(text, 17, 0.0, 1.0, 0.0);
    put(text, 76, 0);
    put(text, 330, record);
}

std::string objects(const Extent& extent) {
    std::string text;
    put(text, 0, "SECTION");
    put(text, 2, "OBJECTS");
    const auto dictionary = [&](const char* handle, const char* owner) {
        put(text, 0, "DICTIONARY");
        put(text, 5, handle);
        put(text, 330, owner);
        put(text, 100, "AcDbDictionary");
        put(text, 281, 1);
    };
    const auto entry = [&](const char* name, const char* handle) {
        put(text, 3, name);
        put(text, 350, handle);
    };
    dictionary("C", "0");
    entry("ACAD_GROUP", "D");
    entry("ACAD_LAYOUT", "1A");
    entry("ACAD_PLOTSTYLENAME", "E");
    dictionary("D", "C");
    dictionary("1A", "C");
    entry("Model", model_layout);
    entry("Layout1", paper_layout);
    put(text, 0, "ACDBDICTIONARYWDFLT");
    put(text, 5, "E");
    put(text, 330, "C");
    put(text, 100, "AcDbDictionary");
    put(text, 281, 1);
    entry("Normal", plot_style);
    put(text, 100, "AcDbDictionaryWithDefault");
    put(text, 340, plot_style);
    put(text, 0, "ACDBPLACEHOLDER");
    put(text, 5, plot_style);
    put(text, 330, "E");
    layout(text, model_layout, model_record, "Model", 0, extent);
    layout(text, paper_layout, paper_record, "Layout1", 1, extent);
    put(text, 0, "ENDSEC");
    return text;
}

}  // namespace

void DxfDocument::grow(double x_mm, double y_mm) {
    left_mm_ = empty_ ? x_mm : std::min(left_mm_, x_mm);
    right_mm_ = empty_ ? x_mm : std::max(right_mm_, x_mm);
    bottom_mm_ = empty_ ? y_mm : std::min(bottom_mm_, y_mm);
    top_mm_ = empty_ ? y_mm : std::max(top_mm_, y_mm);
    empty_ = false;
}

std::string DxfDocument::next_handle() {
    return fmt::format("{:X}", next_handle_++);
}

void DxfDocument::begin(std::string_view type, DxfLayer layer, std::string_view subclass) {
    put(entities_, 0, type);
    put(entities_, 5, next_handle());
    put(entities_, 330, model_record);
    put(entities_, 100, "AcDbEntity");
    put(entities_, 8, layers.at(static_cast<std::size_t>(layer)).name);
    put(entities_, 100, subclass);
}

void DxfDocument::path(DxfLayer layer, const std::vector<OutlinePiece>& pieces) {
    begin("LWPOLYLINE", layer, "AcDbPolyline");
    put(entities_, 90, static_cast<int>(pieces.size()));
    put(entities_, 70, 1);
    put(entities_, 43, 0.0);
    for (const OutlinePiece& piece : pieces) {
        const double x_mm = in(piece.from.x, millimetre);
        const double y_mm = in(piece.from.y, millimetre);
        grow(x_mm, y_mm);
        put_point(entities_, 10, x_mm, y_mm);
        if (piece.sweep != 0.0) put(entities_, 42, std::tan(0.25 * piece.sweep));
    }
}

void DxfDocument::circle(DxfLayer layer, const PlanePoint& centre, Length diameter) {
    begin("CIRCLE", layer, "AcDbCircle");
    const double x_mm = in(centre.x, millimetre);
    const double y_mm = in(centre.y, millimetre);
    const double radius_mm = 0.5 * in(diameter, millimetre);
    grow(x_mm - radius_mm, y_mm - radius_mm);
    grow(x_mm + radius_mm, y_mm + radius_mm);
    put_point(entities_, 10, x_mm, y_mm, 0.0);
    put(entities_, 40, radius_mm);
}

void DxfDocument::text(const PlanePoint& at, Length height, std::string_view words, double turned_degrees) {
    std::string ascii;
    for (const char c : words) {
        const auto code = static_cast<unsigned char>(c);
        // The bytes that go on a character of several are passed over, so that it becomes one '?'.
        if (code >= 0x80 && code < 0xC0) continue;
        ascii += code < 32 || code > 126 ? '?' : c;
    }
    begin("TEXT", DxfLayer::notes, "AcDbText");
    const double x_mm = in(at.x, millimetre);
    const double y_mm = in(at.y, millimetre);
    const double height_mm = in(height, millimetre);
    const double angle = turned_degrees * std::numbers::pi / 180.0;
    const double long_mm = height_mm * static_cast<double>(ascii.size());
    grow(x_mm, y_mm);
    grow(x_mm + long_mm * std::cos(angle) - height_mm * std::sin(angle),
         y_mm + long_mm * std::sin(angle) + height_mm * std::cos(angle));
    put_point(entities_, 10, x_mm, y_mm, 0.0);
    put(entities_, 40, height_mm);
    put(entities_, 1, std::string_view(ascii));
    if (turned_degrees != 0.0) put(entities_, 50, turned_degrees);
    put(entities_, 7, "Standard");
    put(entities_, 100, "AcDbText");
}

std::string DxfDocument::finish() const {
    const Extent extent{left_mm_, right_mm_, bottom_mm_, top_mm_};
    std::string text = header(extent, next_handle_) + tables(extent) + blocks();
    put(text, 0, "SECTION");
    put(text, 2, "ENTITIES");
    text += entities_;
    put(text, 0, "ENDSEC");
    text += objects(extent);
    put(text, 0, "EOF");
    return text;
}

}  // namespace reedwright
