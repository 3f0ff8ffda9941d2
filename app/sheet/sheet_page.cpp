#include "app/sheet/sheet_page.hpp"

#include "app/sha256.hpp"
#include "app/sheet/templates.hpp"

#include <fmt/format.h>
#include <kainjow/mustache.hpp>
#include <stdexcept>

namespace reedwright::app {

namespace {

using kainjow::mustache::data;

constexpr std::size_t revision_digits = 8;

data texts(const std::vector<std::string>& all) {
    data list{data::type::list};
    for (const std::string& one : all) list << data{one};
    return list;
}

// A string of a style sheet: whatever is no plain letter is written by its number.
std::string style_text(const std::string& text) {
    std::string quoted = "\"";
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        const bool special = byte < 0x20 || byte == '"' || byte == '\\' || byte == '<' || byte == '>' || byte == '&';
        quoted += special ? fmt::format("\\{:06x}", byte) : std::string(1, c);
    }
    return quoted + '"';
}

void replace_all(std::string& text, const std::string& what, const std::string& with) {
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + with.size()))
        text.replace(at, what.size(), with);
}

// Pictures of one document must not share names; the heading of an XML file has no place in it.
std::string in_page(std::string svg, std::size_t number) {
    const auto begin = svg.find("<svg");
    if (begin == std::string::npos) throw std::logic_error("a picture of the sheet is no SVG");
    svg.erase(0, begin);
    const std::string own = fmt::format("p{}-", number);
    replace_all(svg, " id=\"", " id=\"" + own);
    replace_all(svg, "href=\"#", "href=\"#" + own);
    replace_all(svg, "url(#", "url(#" + own);
    return svg;
}

std::string class_of(const SheetColumn& column) {
    return column.by_hand ? "hand" : column.number ? "number" : "words";
}

data table_data(const SheetTable& table) {
    data result;
    data columns{data::type::list};
    for (const SheetColumn& column : table.columns) {
        data one;
        one.set("head", column.head);
        one.set("class", class_of(column));
        columns << one;
    }
    result.set("columns", columns);
    data rows{data::type::list};
    for (const auto& row : table.rows) {
        data cells{data::type::list};
        for (std::size_t i = 0; i < table.columns.size(); ++i) {
            data cell;
            cell.set("class", class_of(table.columns[i]));
            cell.set("text", i < row.size() ? row[i] : std::string());
            cells << cell;
        }
        data one;
        one.set("cells", cells);
        rows << one;
    }
    result.set("rows", rows);
    result.set("has_note", data{!table.note.empty()});
    result.set("note", table.note);
    result.set("sum", data{table.sum});
    return result;
}

}  // namespace

std::string revision_of(const std::string& input) {
    return sha256_hex(input).substr(0, revision_digits);
}

std::string sheet_html(const SheetPage& page) {
    data all;
    const std::string revision = revision_of(page.input.text);
    all.set("title", page.title);
    all.set("lines", texts(page.lines));
    all.set("file", page.input.file);
    all.set("revision", revision);
    all.set("version", std::string(REEDWRIGHT_VERSION));
    all.set("orientation", std::string(page.landscape ? "landscape" : "portrait"));
    all.set("width", std::string(page.landscape ? "277mm" : "190mm"));
    all.set("foot", style_text(fmt::format("{}, revision {}", page.input.file, revision)));
    data sections{data::type::list};
    std::size_t picture = 0;
    for (const SheetSection& section : page.sections) {
        data one;
        one.set("title", section.title);
        one.set("new_page", data{section.new_page});
        one.set("whole", data{section.whole});
        one.set("paragraphs", texts(section.paragraphs));
        data pictures{data::type::list};
        for (const std::string& svg : section.pictures) pictures << data{in_page(svg, ++picture)};
        one.set("pictures", pictures);
        data tables{data::type::list};
        for (const SheetTable& table : section.tables) tables << table_data(table);
        one.set("tables", tables);
        one.set("has_steps", data{section.in_order && !section.list.empty()});
        one.set("has_points", data{!section.in_order && !section.list.empty()});
        one.set(section.in_order ? "steps" : "points", texts(section.list));
        one.set("has_text", data{!section.as_it_stands.empty()});
        one.set("text", section.as_it_stands);
        sections << one;
    }
    all.set("sections", sections);
    kainjow::mustache::mustache sheet{std::string(sheet_template("sheet.html"))};
    if (!sheet.is_valid()) throw std::logic_error("the template of the sheet: " + sheet.error_message());
    return sheet.render(all);
}

}  // namespace reedwright::app
