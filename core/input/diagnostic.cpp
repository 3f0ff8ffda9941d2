#include "core/input/diagnostic.hpp"

#include <algorithm>
#include <fmt/format.h>

namespace reedwright {

namespace {

constexpr std::size_t longest_shown_line = 160;
constexpr std::size_t most_shown = 50;

bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
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
    for (std::size_t i = begin; i < end; ++i) {
        if (i < at && !continues_character(line[i])) ++caret;
        const auto byte = static_cast<unsigned char>(line[i]);
        text += byte == '\t' ? ' ' : byte < 0x20 || byte == 0x7F ? '?' : line[i];
    }
    text += "\n    ";
    text.append(caret, ' ');
    text += '^';
}

std::string all_texts(const std::vector<Diagnostic>& diagnostics) {
    std::string text;
    for (std::size_t i = 0; i < std::min(diagnostics.size(), most_shown); ++i) {
        if (i > 0) text += '\n';
        text += to_text(diagnostics[i]);
    }
    if (diagnostics.size() > most_shown) text += fmt::format("\nand {} more", diagnostics.size() - most_shown);
    return text;
}

}  // namespace

std::string to_text(const Diagnostic& diagnostic) {
    std::string text;
    const Place& place = diagnostic.place;
    if (place.line > 0)
        text = fmt::format("{}:{}:{}: ", place.source, place.line, place.column);
    else if (!place.source.empty())
        text = fmt::format("{}: ", place.source);
    text += diagnostic.message;
    if (place.line > 0 && !diagnostic.source_line.empty())
        append_source(text, diagnostic.source_line, place.column);
    if (!diagnostic.hint.empty()) text += (place.line > 0 ? "\n    " : "; ") + diagnostic.hint;
    return text;
}

InputError::InputError(std::vector<Diagnostic> diagnostics)
    : std::runtime_error(all_texts(diagnostics)), diagnostics_(std::move(diagnostics)) {}

InputError::InputError(const std::string& message, std::string hint)
    : InputError(std::vector<Diagnostic>{{Place{}, message, {}, std::move(hint)}}) {}

}  // namespace reedwright
