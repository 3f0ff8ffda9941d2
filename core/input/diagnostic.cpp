#include "core/input/diagnostic.hpp"

#include "core/input/utf8.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <string_view>

namespace reedwright {

namespace {

constexpr std::size_t longest_shown_line = 160;

bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

// Text of a file may hold what steers a terminal: an escape, or its one-character form of U+0080 to U+009F. Options may
// hold any bytes at all.
std::string printable(std::string_view text) {
    std::string shown;
    std::size_t invalid = first_invalid_utf8(text);
    for (std::size_t i = 0; i < text.size(); ++i) {
        if (i == invalid) {
            shown += '?';
            const std::size_t next = first_invalid_utf8(text.substr(i + 1));
            invalid = next == std::string_view::npos ? next : i + 1 + next;
            continue;
        }
        const auto byte = static_cast<unsigned char>(text[i]);
        const bool high_control = byte == 0xC2 && i + 1 < text.size() && static_cast<unsigned char>(text[i + 1]) < 0xA0;
        if (high_control) ++i;
        shown += byte == '\t' ? ' ' : byte < 0x20 || byte == 0x7F || high_control ? '?' : text[i];
    }
    return shown;
}

// A window of the line around the column, so that a line of a megabyte does not flood the terminal.
void append_source(std::string& text, const std::string& line, int column) {
    std::size_t begin = 0;
    std::size_t at = 0;
    for (int character = 1; at < line.size() && character < column; ++character) {
        ++at;
        while (at < line.size() && continues_character(line[at])) ++at;
    }
    if (at > longest_shown_line / 2) {
        begin = at - longest_shown_line / 2;
        while (begin < at && continues_character(line[begin])) ++begin;
    }
    std::size_t end = std::min(line.size(), begin + longest_shown_line);
    while (end < line.size() && continues_character(line[end])) ++end;

    text += "\n    ";
    std::size_t caret = 0;
    for (std::size_t i = begin; i < std::min(at, end); ++i)
        if (!continues_character(line[i])) ++caret;
    text += printable(std::string_view(line).substr(begin, end - begin));
    text += "\n    ";
    text.append(caret, ' ');
    text += '^';
}

std::string all_texts(const std::vector<Diagnostic>& diagnostics) {
    std::string text;
    for (std::size_t i = 0; i < std::min(diagnostics.size(), most_shown_diagnostics); ++i) {
        if (i > 0) text += '\n';
        text += to_text(diagnostics[i]);
    }
    if (diagnostics.size() > most_shown_diagnostics)
        text += fmt::format("\nand {} more", diagnostics.size() - most_shown_diagnostics);
    return text;
}

}  // namespace

std::string to_text(const Diagnostic& diagnostic) {
    std::string text;
    const Place& place = diagnostic.place;
    if (place.line > 0)
        text = fmt::format("{}:{}:{}: ", printable(place.source), place.line, place.column);
    else if (!place.source.empty())
        text = fmt::format("{}: ", printable(place.source));
    text += printable(diagnostic.message);
    if (place.line > 0 && !diagnostic.source_line.empty()) append_source(text, diagnostic.source_line, place.column);
    if (!diagnostic.hint.empty()) text += (place.line > 0 ? "\n    " : "; ") + printable(diagnostic.hint);
    return text;
}

InputError::InputError(std::vector<Diagnostic> diagnostics)
    : std::runtime_error(all_texts(diagnostics)), diagnostics_(std::move(diagnostics)) {}

InputError::InputError(const std::string& message, std::string hint)
    : InputError(std::vector<Diagnostic>{{Place{}, message, {}, std::move(hint)}}) {}

}  // namespace reedwright
