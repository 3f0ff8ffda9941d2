// What a fuzz target is: it takes any text at all and throws BrokenPromise when the library breaks its word. A reader
// either gives a value or refuses with InputError, its faults in order; what it gives, the rest of core can use.
#pragma once

#include "core/input/diagnostic.hpp"
#include "core/input/node.hpp"

#include <functional>
#include <optional>
#include <stdexcept>
#include <string>
#include <string_view>

namespace reedwright::fuzz {

void tongue_file(std::string_view text);
void design_file(std::string_view text);
void readings_table(std::string_view text);
void pass_log(std::string_view text);
void stock_list(std::string_view text);
void measured_table(std::string_view text);
void calibration_file(std::string_view text);
/// Every line is taken for a quantity of each dimension, a note, a key, a tuner's reading and a zone.
void words(std::string_view text);
/// Part of builds with the program.
void page_question(std::string_view text);

class BrokenPromise : public std::logic_error {
public:
    using std::logic_error::logic_error;
};

void demand(bool holds, const std::string& what);
void demand_positive(double value, const std::string& what);
void demand_finite(double value, const std::string& what);

/// The name under which a text is read. It lies beside the alloys, so that relative paths in a text stay there.
const std::string& source_name();

/// A text as a YAML document, under the conditions of a file.
Document document_of(std::string_view text);

/// Demands of a refusal: at least one fault; each says what is wrong in printable UTF-8 of bounded length, at a place
/// that the text has (or of the file as a whole).
void demand_in_order(const InputError& refusal, std::string_view text);

/// What a reader makes of the text; empty when it refuses in order. Anything else that it throws is left to fly.
template <class Read>
auto read_or_refused(std::string_view text, Read read) -> std::optional<decltype(read())> {
    try {
        return read();
    } catch (const InputError& refusal) {
        demand_in_order(refusal, text);
        return std::nullopt;
    }
}

}  // namespace reedwright::fuzz
