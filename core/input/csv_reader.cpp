#include "core/input/csv_reader.hpp"

#include "core/input/section.hpp"
#include "core/input/yaml_reader.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <optional>

namespace reedwright {

namespace {

constexpr std::size_t most_lines = 100'000;
constexpr std::size_t most_fields = 64;

[[noreturn]] void refuse(const std::string& source, const std::string& what, std::string hint = {}) {
    throw InputError({Diagnostic{Place{source, 0, 0}, what, {}, std::move(hint)}});
}

bool is_blank(char c) {
    return c == ' ' || c == '\t';
}

bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

// Reads the fields of one line, keeping the column, in characters, of each.
class LineReader {
public:
    LineReader(Faults& faults, const std::string& source, std::string_view line, int number)
        : faults_(faults), source_(source), line_(line), number_(number) {}

    /// Empty when the line is faulty.
    std::optional<CsvRow> read() {
        CsvRow row;
        skip_blanks();
        row.place = place();
        while (true) {
            skip_blanks();
            auto field = at_ < line_.size() && line_[at_] == '"' ? quoted() : bare();
            if (!field) return std::nullopt;
            row.fields.push_back(std::move(*field));
            if (at_ >= line_.size()) return row;
            if (row.fields.size() >= most_fields) {
                faults_.add(row.place, fmt::format("has more than the {} fields allowed", most_fields));
                return std::nullopt;
            }
            advance();  // the comma
        }
    }

private:
    Place place() const { return {source_, number_, column_}; }
    void advance() {
        ++at_;
        while (at_ < line_.size() && continues_character(line_[at_])) ++at_;
        ++column_;
    }
    void skip_blanks() {
        while (at_ < line_.size() && is_blank(line_[at_])) advance();
    }
    std::optional<CsvField> bare() {
        CsvField field{{}, place()};
        const std::size_t begin = at_;
        while (at_ < line_.size() && line_[at_] != ',') {
            if (line_[at_] == '"') {
                faults_.add(place(), "a quote stands inside a field", "put the whole field in quotes, or none of it");
                return std::nullopt;
            }
            advance();
        }
        std::size_t end = at_;
        while (end > begin && is_blank(line_[end - 1])) --end;
        field.text = std::string(line_.substr(begin, end - begin));
        return field;
    }
    std::optional<CsvField> quoted() {
        CsvField field{{}, place()};
        advance();
        while (true) {
            if (at_ >= line_.size()) {
                faults_.add(field.place, "this quote is not closed on its line", "close the field with another \"");
                return std::nullopt;
            }
            if (line_[at_] != '"') {
                const std::size_t begin = at_;
                advance();
                field.text += line_.substr(begin, at_ - begin);
                continue;
            }
            advance();
            if (at_ >= line_.size() || line_[at_] != '"') break;
            field.text += '"';
            advance();
        }
        skip_blanks();
        if (at_ < line_.size() && line_[at_] != ',') {
            faults_.add(place(), "something stands after the closing quote of a field",
                        "a quote inside quotes is written twice");
            return std::nullopt;
        }
        return field;
    }

    Faults& faults_;
    const std::string& source_;
    std::string_view line_;
    int number_;
    std::size_t at_ = 0;
    int column_ = 1;
};

std::vector<std::string> split_lines(std::string_view text) {
    std::vector<std::string> lines;
    while (true) {
        const auto end = text.find('\n');
        std::string_view line = text.substr(0, end);
        if (!line.empty() && line.back() == '\r') line.remove_suffix(1);
        lines.emplace_back(line);
        if (end == std::string_view::npos) return lines;
        text.remove_prefix(end + 1);
    }
}

bool passed_over(std::string_view line) {
    const auto first = line.find_first_not_of(" \t");
    return first == std::string_view::npos || line[first] == '#';
}

void refuse_control_characters(Faults& faults, const Document& document) {
    for (std::size_t i = 0; i < document.lines.size(); ++i) {
        const std::string& line = document.lines[i];
        const auto bad = std::find_if(line.begin(), line.end(), [](char c) {
            const auto byte = static_cast<unsigned char>(c);
            return (byte < 0x20 && c != '\t') || byte == 0x7F;
        });
        if (bad == line.end()) continue;
        const auto column = 1 + std::count_if(line.begin(), bad, [](char c) { return !continues_character(c); });
        faults.add({document.source, static_cast<int>(i) + 1, static_cast<int>(column)},
                   fmt::format("a control character (0x{:02x}) stands here", static_cast<unsigned char>(*bad)),
                   *bad == '\r' ? "end lines with LF or CRLF" : "");
    }
    faults.throw_if_any();
}

bool is_digit(char c) {
    return c >= '0' && c <= '9';
}

// "437,2Hz" in a table of commas arrives as two fields: one that ends in a digit, one that starts with one.
std::string decimal_comma_hint(const CsvRow& row) {
    for (std::size_t i = row.fields.size() - 1; i > 0; --i) {
        const std::string& whole = row.fields[i - 1].text;
        const std::string& rest = row.fields[i].text;
        if (!whole.empty() && is_digit(whole.back()) && !rest.empty() && is_digit(rest.front()))
            return fmt::format("a decimal is written with a point: {}.{}", whole, rest);
    }
    return {};
}

void refuse_other_separators(const Document& document, Faults& faults, const std::string& line, int number) {
    if (line.find(',') != std::string::npos) return;
    const auto at = line.find_first_of(";\t");
    if (at == std::string::npos) return;
    const auto column = 1 + std::count_if(line.begin(), line.begin() + static_cast<std::ptrdiff_t>(at),
                                          [](char c) { return !continues_character(c); });
    faults.add({document.source, number, static_cast<int>(column)},
               fmt::format("fields are separated by {}, not by commas", line[at] == ';' ? "semicolons" : "tabs"),
               "write commas between fields and a point in decimals, as in 1,blow,437.2Hz (a spreadsheet does so when "
               "its language is set to English)");
    faults.throw_if_any();
}

}  // namespace

CsvTable read_csv_text(std::string source_name, std::string_view text) {
    CsvTable table;
    Document& document = table.document;
    document.source = std::move(source_name);
    if (text.starts_with("\xEF\xBB\xBF")) text.remove_prefix(3);
    if (static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n')) >= most_lines)
        refuse(document.source, fmt::format("has more than the {} lines allowed", most_lines));
    document.lines = split_lines(text);
    Faults faults(document);
    refuse_control_characters(faults, document);

    bool header_seen = false;
    bool header_sound = false;
    for (std::size_t i = 0; i < document.lines.size(); ++i) {
        const std::string& line = document.lines[i];
        const int number = static_cast<int>(i) + 1;
        if (passed_over(line)) continue;
        if (!header_seen) refuse_other_separators(document, faults, line, number);
        auto row = LineReader(faults, document.source, line, number).read();
        if (!header_seen) {
            header_seen = true;
            header_sound = row.has_value();
            if (row) table.header = std::move(*row);
            continue;
        }
        if (!row) continue;
        if (header_sound && row->fields.size() != table.header.fields.size())
            faults.add(row->place,
                       fmt::format("has {} {}, but the header has {}", row->fields.size(),
                                   row->fields.size() == 1 ? "field" : "fields", table.header.fields.size()),
                       row->fields.size() > table.header.fields.size() ? decimal_comma_hint(*row) : "");
        else
            table.rows.push_back(std::move(*row));
    }
    if (!header_seen) refuse(document.source, "the file holds nothing", "start it with a header line");
    faults.throw_if_any();
    return table;
}

CsvTable read_csv_file(const std::filesystem::path& file) {
    return read_csv_text(file.string(), read_text_file(file, largest_text_bytes));
}

}  // namespace reedwright
