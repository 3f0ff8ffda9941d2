#include "tests/fuzz/targets.hpp"

#include "core/input/yaml_reader.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <vector>

namespace reedwright::fuzz {

namespace {

// Fifty faults of at most two shortened texts of 600 bytes and a line of 160 characters of up to 4 bytes, with room
// for their places.
constexpr std::size_t longest_message = most_shown_diagnostics * std::size_t{2400};

bool continues_character(char byte) {
    return (static_cast<unsigned char>(byte) & 0xC0U) == 0x80U;
}

bool is_printable(std::string_view text) {
    return std::all_of(text.begin(), text.end(), [](char c) {
        const auto byte = static_cast<unsigned char>(c);
        return byte == '\n' || (byte >= 0x20 && byte != 0x7F);
    });
}

bool is_utf8(const std::string& text) {
    try {
        (void)checked_text("", text, text.size());
        return true;
    } catch (const InputError&) {
        return false;
    }
}

// Characters of each line, as an editor counts them.
std::vector<int> lengths_of_lines(std::string_view text) {
    std::vector<int> lengths{0};
    for (const char c : text) {
        if (c == '\n')
            lengths.push_back(0);
        else if (!continues_character(c))
            ++lengths.back();
    }
    return lengths;
}

}  // namespace

void demand(bool holds, const std::string& what) {
    if (!holds) throw BrokenPromise(what);
}

void demand_finite(double value, const std::string& what) {
    demand(std::isfinite(value), fmt::format("{} is {}", what, value));
}

void demand_positive(double value, const std::string& what) {
    demand(std::isfinite(value) && value > 0.0, fmt::format("{} is {}", what, value));
}

const std::string& source_name() {
    static const std::string name = REEDWRIGHT_FUZZ_MATERIALS "/input";
    return name;
}

Document document_of(std::string_view text) {
    return read_yaml_text(source_name(), checked_text(source_name(), std::string(text), largest_text_bytes));
}

void demand_in_order(const InputError& refusal, std::string_view text) {
    const std::string told = refusal.what();
    demand(!refusal.diagnostics().empty(), "a refusal without a fault");
    demand(is_printable(told) && is_utf8(told), "a message that cannot be printed: " + told);
    demand(told.size() <= longest_message, fmt::format("a message of {} bytes", told.size()));
    const std::vector<int> lengths = lengths_of_lines(text);
    for (const Diagnostic& fault : refusal.diagnostics()) {
        demand(!fault.message.empty(), "a fault without a word");
        const Place& place = fault.place;
        if (place.line == 0) {
            demand(place.column == 0, "a column without a line: " + told);
            continue;
        }
        // The fault of an alloy's file stands there.
        if (place.source != source_name()) continue;
        demand(place.line >= 1 && place.line <= static_cast<int>(lengths.size()),
               fmt::format("line {} of {}: {}", place.line, lengths.size(), told));
        // One beyond the end is where something is missing.
        const int last = lengths[static_cast<std::size_t>(place.line) - 1] + 1;
        demand(place.column >= 1 && place.column <= last,
               fmt::format("column {} of {} in line {}: {}", place.column, last, place.line, told));
    }
}

}  // namespace reedwright::fuzz
