// A page to print as its parts: sections of text, pictures and tables, set into the template app/sheet/sheet.html.
#pragma once

#include <string>
#include <vector>

namespace reedwright::app {

struct SheetColumn {
    /// May hold line breaks.
    std::string head;
    /// Set to the right, its digits under one another.
    bool number = false;
    /// Left wide, to be written in by hand.
    bool by_hand = false;
};

struct SheetTable {
    std::vector<SheetColumn> columns;
    std::vector<std::vector<std::string>> rows;
    /// A line under the table.
    std::string note;
    /// The last row is set off from the others: a sum, or a bound.
    bool sum = false;
};

/// What a section holds comes in this order.
struct SheetSection {
    std::string title;
    std::vector<std::string> paragraphs;
    /// SVG documents.
    std::vector<std::string> pictures;
    std::vector<SheetTable> tables;
    std::vector<std::string> list;
    /// The list is numbered.
    bool in_order = false;
    /// Set as it stands, line by line.
    std::string as_it_stands;
    /// Begins a page of its own.
    bool new_page = false;
    /// Never parted by the end of a page; for short ones.
    bool whole = false;
};

/// What the sheet was made from.
struct SheetInput {
    /// As the user knows it; "command line" where there is none.
    std::string file;
    std::string text;
};

struct SheetPage {
    std::string title;
    std::vector<std::string> lines;
    SheetInput input;
    bool landscape = false;
    std::vector<SheetSection> sections;
};

/// The first eight digits of the input's SHA-256: the revision that `shop` states too.
std::string revision_of(const std::string& input);

/// A whole HTML document that refers to nothing outside itself. Texts are escaped, pictures are not; their names within
/// are kept apart from picture to picture.
std::string sheet_html(const SheetPage& page);

}  // namespace reedwright::app
