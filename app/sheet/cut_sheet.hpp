// The work on an instrument as a sheet to print and fill in by hand, and as a table.
#pragma once

#include "core/plan/instrument.hpp"
#include "core/retune/instrument_cuts.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// All that the sheet and the table tell.
struct CutPlan {
    const Instrument& instrument;
    const Tuning& tuning;
    const std::vector<ReedWork>& works;
    /// In words: how readings and targets are meant.
    std::vector<std::string> notes;
    std::vector<std::string> cautions;
};

/// "equal, A4 440 Hz, set 3 cents sharp on the bench at 20 degC".
std::string tuned_to_text(const CutPlan& plan);
/// "20 reeds: 1 to replace, 14 to cut, ...".
std::string counts_text(const CutPlan& plan);
/// Where metal is taken or a load put, on the tongue as stated: "12.8 to 16 mm".
std::string where_text(const CutPlan& plan, const ReedWork& work);
/// The zone of a cut on the tongue as stated, whose length the reading may have changed by a hair.
Zone stated_zone(const CutPlan& plan, const ReedWork& work);

/// A self-contained page for A4 or letter, landscape.
std::string cut_sheet_html(const CutPlan& plan);
/// One line a reed, in the order of the work.
std::string cut_table_csv(const CutPlan& plan);

}  // namespace reedwright::app
