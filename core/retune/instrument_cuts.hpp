// What to do to every reed of an instrument, from one round of readings.
#pragma once

#include "core/plan/instrument.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/first_pass.hpp"
#include "core/retune/load_search.hpp"
#include "core/retune/readings_file.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// In the order in which the work is done.
enum class Verdict {
    /// Cracked, or out of reach of file and solder: another tongue goes in, and is tuned.
    replace,
    /// The reading looks like another reed's: read again before anything is cut.
    check,
    cut,
    load,
    leave,
    /// No reading.
    unread
};

/// The work on one reed. All pitches are at bench temperature.
struct ReedWork {
    /// Index of the reed in the design.
    std::size_t reed;
    Verdict verdict = Verdict::unread;
    Frequency target;
    /// The pitch of the dimensions as the design states them.
    Frequency model_pitch;
    /// As read, and as it would be read plucked at bench temperature.
    std::optional<Frequency> reading;
    std::optional<Frequency> on_bench;
    Sounded sounded = Sounded::plucked;
    /// From the reading to the target.
    Interval wanted = 0.0 * cent;
    /// What a tuner will show once the reed is on its target and as warm as it is played, breath left aside.
    Frequency warm;

    /// With Verdict::cut.
    std::optional<CutChoice> cut;
    std::optional<FirstPass> first;
    /// With Verdict::load.
    std::optional<LoadEffect> load;
    /// Why, and what to look out for, in words for the bench.
    std::vector<std::string> remarks;
};

struct WorkRules {
    /// What is wanted; the design's own tuning is what the instrument was made for.
    Tuning tuning;
    SafeDepth safe;
    HandSpread hand;
    /// Chance that a first pass goes past its target.
    double overshoot_level = 0.05;
    /// Fallen farther than this from what it was made for, and from where its fellows are, a reed is cracked.
    Interval fallen = 50.0 * cent;
};

/// The whole work, sorted by what is done first (see Verdict; cuts and loads together), then row by row and cell by
/// cell, so that a plate is gone through once from end to end.
///
/// Each reading is brought to bench temperature by the drift of pitch of its own tongue, metal and air; explained by
/// what is uncertain of the tongue (explain_reading()); and corrected in the zone that costs least (rank_cuts()). A cut
/// is not safe that would bring the stress above the proof strength, or the hours below the design's least life and
/// below what they were; nor one near the root of a tongue that does not reach the least life as it is. Then, or where
/// no safe depth reaches, a load at the tip is taken downward, and a new tongue otherwise. "Fallen" is measured from
/// the design's own tuning and bench allowance, not from what is now wanted or allowed for a breath; where five
/// readings or more lie off it together (their median by more than 20 cents), from their median, since an instrument
/// that stands flat as a whole is not cracked. A blown reading is taken as it is: how far breath has flattened it is
/// not reckoned.
std::vector<ReedWork> instrument_cuts(const Instrument& instrument, const Readings& readings, const WorkRules& rules,
                                      Model model = {});

/// "replace", "check", "cut", "load", "leave", "unread".
std::string_view verdict_name(Verdict verdict);

}  // namespace reedwright
