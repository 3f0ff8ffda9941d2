#include "core/retune/donors.hpp"

#include "core/input/diagnostic.hpp"
#include "core/retune/reading.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/uncertainty/inputs.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <tuple>

namespace reedwright {

namespace {

// A tongue that differs by less fits as it is: a hundredth of the clearance, and no file could take it.
const Length no_difference = 1.0 * micrometre;
constexpr double give_spread = 0.5;
constexpr double seconds_per_hour = 3600.0;

// The design's slot around a tongue that is not the design's. What has to go is told by the dimensions as measured, and
// goes from the tongue as its reading says it is.
class Fit {
public:
    Fit(const Reed& place, const Tongue& measured, const Tongue& weighed, Donor& result)
        : place_(place), result_(result) {
        const Length wanted_length = place.tongue.length();
        const Length length = std::min(measured.length(), wanted_length);
        result_.trimmed = measured.length() - length;
        if (result_.trimmed < no_difference) result_.trimmed = 0.0 * metre;
        const Profile excess = measured.width.cut_short(length).plus(place.tongue.width.cut_short(length), -1.0);
        if (excess.largest() > no_difference) result_.narrowed = excess.largest();
        const Length left = weighed.length() - result_.trimmed;
        thickness_ = weighed.thickness.cut_short(left);
        width_ = weighed.width.cut_short(left).plus(Profile::constant(left, result_.narrowed), -1.0);
        result_.side_gap = place.slot.clearance - 0.5 * (excess.smallest() - result_.narrowed);
        result_.tip_gap = place.slot.clearance + (wanted_length - length);
    }

    // Why the tongue cannot go in; empty when it can.
    std::string fault(const Tongue& donor, const DonorRules& rules) const {
        if (result_.tip_gap > rules.widest_gap)
            return fmt::format("{:.2f} mm too short: a gap of {:.2f} mm at the tip, more than {}",
                               in(result_.tip_gap - place_.slot.clearance, millimetre), in(result_.tip_gap, millimetre),
                               to_text(rules.widest_gap));
        if (result_.side_gap > rules.widest_gap)
            return fmt::format("too narrow: a gap of {:.2f} mm at each side, more than {}",
                               in(result_.side_gap, millimetre), to_text(rules.widest_gap));
        constexpr double most_narrowed = 0.3;
        if (result_.narrowed > most_narrowed * donor.width.smallest())
            return fmt::format("{:.2f} mm too wide: more than three tenths of it would have to go",
                               in(result_.narrowed, millimetre));
        return {};
    }

    Tongue tongue(const Material& material) const { return {material, *thickness_, *width_, {}}; }

private:
    const Reed& place_;
    Donor& result_;
    std::optional<Profile> thickness_;
    std::optional<Profile> width_;
};

void seat_bonded(Reed& reed, const Material& plate, const std::optional<double>& give) {
    reed.seat.give = give.value_or(bonded_give(reed.tongue.material.youngs_modulus.value, plate.youngs_modulus.value));
    reed.seat.give_sigma = give_spread * reed.seat.give;
    reed.seat.stated = give.has_value();
    reed.seat.modulus_correlation = 0.0;
    reed.seat.root_thickness = reed.tongue.thickness.at_root();
    reed.seat.root_width = reed.tongue.width.at_root();
}

// The tongue as its reading says it is, on the seat that it came from.
Reed weighed(const Reed& place, const StockTongue& stock, Model model) {
    Reed reed = place;
    reed.tongue = stock.tongue;
    reed.spread = stock.spread;
    reed.temperature = stock.temperature;
    if (reed.air) reed.air->temperature = stock.temperature;
    seat_bonded(reed, stock.plate_material, stock.give);
    return stock.reading ? explain_reading(reed, *stock.reading, tuner_deviation, model).reed : reed;
}

std::optional<Interval> expanded_of(const Reed& mounted, bool read, Model model) {
    const Vibration vibration = vibration_of(mounted, model);
    if (!read) return pitch_budget(mounted, vibration, model).expanded;
    // What the reading has not settled: the seat it was read on, and the new one.
    const auto gain = cents_per_deviation(mounted, vibration, model);
    const double seat_cents = gain[static_cast<std::size_t>(Input::seat)];
    return 2.0 * std::sqrt(2.0 * seat_cents * seat_cents + tuner_deviation.value() * tuner_deviation.value()) * cent;
}

class Ranker {
public:
    Ranker(const Instrument& instrument, const InstrumentReed& place, const DonorRules& rules, Model model)
        : instrument_(instrument), place_(place), rules_(rules), model_(model) {}

    Donor held_against(const StockTongue& stock, std::size_t index) const {
        Donor donor{};
        donor.stock = index;
        const Reed former = weighed(place_.reed, stock, model_);
        const Fit fit(place_.reed, stock.tongue, former.tongue, donor);
        donor.unfit = fit.fault(stock.tongue, rules_);
        if (!donor.unfit.empty()) return donor;

        Reed mounted = place_.reed;
        mounted.spread = stock.spread;
        mounted.tongue = fit.tongue(former.tongue.material);
        const auto stated = place_.reed.seat.stated ? std::optional(place_.reed.seat.give) : std::nullopt;
        seat_bonded(mounted, mounted.slot.plate_material, stated);
        donor.pitch = pitch_of(mounted, model_).pitch;
        donor.wanted = interval_between(donor.pitch, bench_target(instrument_, place_, instrument_.tuning));
        donor.expanded = expanded_of(mounted, stock.reading.has_value(), model_);
        const double narrowed_kg = (mounted.tongue.material.density.value * donor.narrowed *
                                    former.tongue.thickness.cut_short(mounted.tongue.length()).area())
                                       .value();
        donor.filed = Mass::from_value(narrowed_kg);
        donor.mounted = mounted;
        tune(donor);
        if (donor.unfit.empty()) remark(donor, stock);
        return donor;
    }

private:
    Length swing(const Reed& reed) const { return place_.swing_share * reed.tongue.length(); }

    void tune(Donor& donor) const {
        const Reed& reed = *donor.mounted;
        if (std::abs(donor.wanted.value()) <= instrument_.tolerance.value()) {
            donor.life = life_of(reed, vibration_of(reed, model_), swing(reed));
            return;
        }
        auto choices = rank_cuts(reed, donor.wanted, swing(reed), rules_.safe, model_);
        const auto chosen = std::find_if(choices.begin(), choices.end(), [&](const CutChoice& one) {
            return spares_life(one, instrument_.least_life);
        });
        if (chosen != choices.end()) {
            donor.work = DonorWork::cut;
            donor.filed += chosen->effect.removed;
            donor.life = chosen->after;
            donor.cut = std::move(*chosen);
            return;
        }
        if (donor.wanted.value() < 0.0) {
            const LoadEffect load = find_load(reed, reed.tongue.length(), donor.wanted, model_);
            if (load.reachable) {
                donor.work = DonorWork::load;
                donor.load = load;
                Reed loaded = reed;
                loaded.tongue.loads.push_back(load.load);
                donor.life = life_of(loaded, vibration_of(loaded, model_), swing(loaded));
                return;
            }
        }
        donor.unfit = fmt::format("would sound {:.1f} Hz, {:.0f} cents {} its target: {}", donor.pitch.value(),
                                  std::abs(donor.wanted.value()), donor.wanted.value() > 0.0 ? "below" : "above",
                                  choices.empty() ? "no safe depth reaches that" : "a cut would work it too hard");
    }

    bool short_lived(const Donor& donor) const {
        const double least_hours = instrument_.least_life.value() / seconds_per_hour;
        return donor.life && donor.life->hours && *donor.life->hours < least_hours;
    }

    void remark(Donor& donor, const StockTongue& stock) const {
        if (short_lived(donor))
            donor.remarks.push_back(fmt::format("short-lived at a swing of {:.2f} mm: an estimate of {:.2g} hours",
                                                in(donor.life->swing, millimetre), *donor.life->hours));
        if (!stock.reading) donor.remarks.emplace_back("never read: its pitch comes from its dimensions alone");
        if (donor.mounted->tongue.material.id != place_.reed.tongue.material.id)
            donor.remarks.push_back(fmt::format("another alloy, {}", donor.mounted->tongue.material.name));
        if (donor.cut && donor.cut->thickness_kept < 0.75)
            donor.remarks.push_back(fmt::format("the cut takes {:.0f} % of the thickness there",
                                                100.0 * (1.0 - donor.cut->thickness_kept)));
    }

    const Instrument& instrument_;
    const InstrumentReed& place_;
    const DonorRules& rules_;
    Model model_;
};

}  // namespace

std::vector<Donor> rank_donors(const Instrument& instrument, const InstrumentReed& place,
                               const std::vector<StockTongue>& stock, const DonorRules& rules, Model model) {
    const Ranker ranker(instrument, place, rules, model);
    std::vector<Donor> donors;
    donors.reserve(stock.size());
    for (std::size_t i = 0; i < stock.size(); ++i) donors.push_back(ranker.held_against(stock[i], i));
    const double least_hours = instrument.least_life.value() / seconds_per_hour;
    const auto order = [&](const Donor& donor) {
        const bool tired = donor.life && donor.life->hours && *donor.life->hours < least_hours;
        return std::tuple(!donor.unfit.empty(), donor.work == DonorWork::load, tired, donor.filed.value());
    };
    std::stable_sort(donors.begin(), donors.end(), [&](const Donor& a, const Donor& b) { return order(a) < order(b); });
    return donors;
}

}  // namespace reedwright
