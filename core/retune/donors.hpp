// Which loose tongue goes into the place of a broken one with least work.
#pragma once

#include "core/plan/instrument.hpp"
#include "core/retune/choose_cut.hpp"
#include "core/retune/load_search.hpp"
#include "core/retune/stock_file.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

struct DonorRules {
    /// A wider gap than this between tongue and slot, at a side or at the tip, leaks too much (poor work is 0.08 mm;
    /// common practice, no source).
    Length widest_gap = 0.08 * millimetre;
    SafeDepth safe;
};

/// What brings a donor to its note once it is mounted.
enum class DonorWork { none, cut, load };

/// A loose tongue held against a place.
struct Donor {
    /// Index in the stock.
    std::size_t stock;
    /// Why it cannot serve; empty when it can.
    std::string unfit;
    /// Taken off the tip, and off the width all along, before it goes in.
    Length trimmed = 0.0 * metre;
    Length narrowed = 0.0 * metre;
    /// The widest gap at a side and at the tip once mounted.
    Length side_gap = 0.0 * metre;
    Length tip_gap = 0.0 * metre;
    /// As mounted, before tuning, at bench temperature; with the most probable thickness and alloy after its reading.
    std::optional<Reed> mounted;
    Frequency pitch = 0.0 * hertz;
    /// From that pitch to the target on the bench.
    Interval wanted = 0.0 * cent;
    /// At 95 %: the seat that it comes from and the one that it gets where it has been read, everything otherwise;
    /// empty where the spread of an input is unknown.
    std::optional<Interval> expanded;
    DonorWork work = DonorWork::none;
    std::optional<CutChoice> cut;
    std::optional<LoadEffect> load;
    /// At the design's swing, once tuned.
    std::optional<Life> life;
    /// Metal to be filed off in all, the snipped tip left out.
    Mass filed = 0.0 * kilogram;
    std::vector<std::string> remarks;
};

/// Every tongue of the stock held against a place of the instrument, those that serve first.
///
/// The slot is the one that the design's tongue needs: its width and length with the design's clearance. A longer
/// tongue is snipped at the tip, a wider one narrowed by an equal amount all along (on both edges, so that it stays
/// symmetrical); one that would then leave a wider gap than the rules allow does not fit. A reading of the loose
/// tongue weighs it (explain_reading() on the seat that it came from); its pitch in the new place follows on the new
/// seat, the root as made being the donor's own. It is tuned by the cut that costs least (rank_cuts(), spares_life()),
/// or lowered by a load, or serves as it is within the instrument's tolerance. Sorted: cut or as it is before loaded,
/// long-lived before short-lived, then by the metal to be filed.
std::vector<Donor> rank_donors(const Instrument& instrument, const InstrumentReed& place,
                               const std::vector<StockTongue>& stock, const DonorRules& rules = {}, Model model = {});

}  // namespace reedwright
