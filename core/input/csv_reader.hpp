// Strict tables of comma-separated values, in which every field still knows where it stands.
#pragma once

#include "core/input/node.hpp"

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// One field, without its quotes and the blanks around it.
struct CsvField {
    std::string text;
    Place place;
};

struct CsvRow {
    std::vector<CsvField> fields;
    /// Where the row starts.
    Place place;
};

/// A table with its text, for error messages that show the line. The nodes of the document are empty.
struct CsvTable {
    Document document;
    CsvRow header;
    std::vector<CsvRow> rows;
};

/// Reads a table: a header, then rows with as many fields, separated by commas; a field may stand in double quotes, in
/// which a quote is written twice. Blank lines, and lines whose first character is '#', are passed over. Lines end in
/// LF or CRLF; a byte order mark is dropped. Refused, each at its place and all at once: an empty file, fields that
/// are separated by semicolons or tabs, a row with more or fewer fields than the header (told apart from a decimal
/// comma), quotes that do not close on their line or stand inside a field, control characters, more than 100 000
/// lines, 64 fields in a row or 4 MiB. The text must be UTF-8. Throws InputError.
CsvTable read_csv_file(const std::filesystem::path& file);
CsvTable read_csv_text(std::string source_name, std::string_view text);

}  // namespace reedwright
