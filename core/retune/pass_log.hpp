// The log of one reed: its readings, what was taken between them, and what was proposed.
#pragma once

#include "core/retune/passes.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// One line of the log: a reading, and before it what was taken since the reading above.
struct PassRecord {
    Frequency reading;
    Frequency target;
    Zone zone;
    /// Taken before this reading; empty for the first, and where it was not said (then what was proposed counts).
    std::optional<Length> taken;
    std::optional<double> strokes;
    /// Proposed after this reading; zero for nothing.
    Length proposed;
    /// Of the ramps inside the zone; empty in a log of before ramps were kept.
    std::optional<Length> ramp = {};
};

/// Whether two records say the same of the reed and of what was done to it, to the digits that a log keeps; what was
/// proposed after them is not looked at.
bool same_entry(const PassRecord& a, const PassRecord& b);

/// Reads a log: a YAML list of one flow mapping a line. A last line cut short by a killed process is left out (and
/// told through cut_short); anything else that is wrong is a fault with its place, and so is a text that does not begin
/// as a log does or whose unfinished last line is no reading. No file, and an empty one, is an empty log.
struct PassLog {
    std::vector<PassRecord> records;
    bool cut_short = false;
};
PassLog read_pass_log(const std::filesystem::path& file);
PassLog read_pass_log_text(const std::string& source_name, std::string text);

/// The line that stands for a record in a log.
std::string pass_line(const PassRecord& record);

/// Appends one record with a single write and waits for the disk; a line that was cut short goes first. Whole lines
/// are never rewritten. Throws InputError, the file left as it is, when it cannot be written or is no log.
void append_pass(const std::filesystem::path& file, const PassRecord& record);

}  // namespace reedwright
