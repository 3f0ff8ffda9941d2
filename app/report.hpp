// How results are shown: digits, JSON, cautions.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/uncertainty/budget.hpp"

#include <iosfwd>
#include <nlohmann/json_fwd.hpp>
#include <optional>
#include <string>

namespace reedwright::app {

/// Where a command writes: results, and what is only about them.
struct Console {
    std::ostream& out;
    std::ostream& err;
};

/// "437 Hz" with the digits that its uncertainty allows; two decimals when none is known.
std::string hertz_text(Frequency pitch, std::optional<Interval> expanded);
/// "+12.3 cents" with a given number of decimals.
std::string cents_text(Interval interval, int decimals = 2);
/// "A4 -11.3 cents": the note (its own, or the nearest) and how far the pitch lies from it.
struct NotePlace {
    Note note;
    Interval offset;
};
NotePlace note_place(const Reed& reed, Frequency pitch);
std::string note_place_text(const NotePlace& place);

/// One line about the tongue: material, length, width, thickness.
std::string tongue_line(const Reed& reed);

/// The values taken because the file was silent, and the cautions of the materials in use.
void print_closing(std::ostream& out, const Reed& reed, bool filing);
/// The same as JSON members "assumed" and "cautions".
void add_closing(nlohmann::ordered_json& json, const Reed& reed, bool filing);

/// The usual cautions of taking metal by hand.
const std::string& filing_caution();
/// The usual cautions of putting a load on.
const std::string& solder_caution();

/// What to do after a cut, in the trade's order (common practice, no source).
const std::vector<std::string>& after_cut_checklist();

/// Indented, a newline at the end. Bytes that are not UTF-8, as names of files may hold, are replaced by U+FFFD: no
/// reason to fail after the work is done.
std::string json_text(const nlohmann::ordered_json& json);
void print_json(std::ostream& out, const nlohmann::ordered_json& json);

/// Null where there is nothing.
nlohmann::ordered_json or_null(const std::optional<double>& value);

}  // namespace reedwright::app
