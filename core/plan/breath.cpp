#include "core/plan/breath.hpp"

#include "core/plan/cell_notes.hpp"
#include "core/plan/comb_cells.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/sounding.hpp"
#include "core/wind/stability.hpp"

namespace reedwright {

namespace {

// Of the smallest swings.
Interval mode_offset(const BlownReed& reed, Pressure pressure) {
    return interval_between(reed.natural(), reed_mode(reed, pressure).frequency);
}

Breath breath_of(const BlownReed& reed, Pressure pressure) {
    SoundingRules rules;
    // The pitch to a thousandth of a cent.
    rules.tolerance = 1e-7;
    const Sounding sounding = sound(reed, pressure, rules);
    if (sounding.outcome == Outcome::sounds)
        return {UnderBreath::speaks, pressure, interval_between(reed.natural(), sounding.pitch)};
    const SpeakingRange range = speaking_range(reed);
    if (!range.threshold) return {};
    if (*range.threshold > pressure)
        return {UnderBreath::speaks_above, range.threshold, mode_offset(reed, *range.threshold)};
    if (range.chokes_at && *range.chokes_at < pressure)
        return {UnderBreath::choked, range.chokes_at, mode_offset(reed, *range.chokes_at)};
    // So near to its threshold that its swing takes longer to settle than it is followed.
    return {UnderBreath::speaks, pressure, mode_offset(reed, pressure)};
}

}  // namespace

std::vector<Breath> breaths(const Design& design, Pressure pressure, Temperature temperature,
                            std::vector<std::string>* assumed) {
    check_pressure(pressure);
    const auto reeds = blown_reeds(design, temperature, assumed);
    if (assumed != nullptr)
        for (std::string& told : inlets_taken(design)) assumed->push_back(std::move(told));
    std::vector<Breath> result(reeds.size());
    in_parallel(reeds.size(), [&](std::size_t i) { result[i] = breath_of(reeds[i], pressure); });
    return result;
}

std::vector<BreathAllowance> allow_for_breath(Design& design, Pressure pressure, std::vector<std::string>* assumed) {
    Instrument& instrument = design.instrument;
    const auto blown = breaths(design, pressure, instrument.playing, assumed);
    std::vector<BreathAllowance> result(blown.size());
    for (std::size_t i = 0; i < blown.size(); ++i) {
        InstrumentReed& one = instrument.reeds[i];
        const ReedPitch warm = pitch_of(at_temperature(one.reed, instrument.playing));
        result[i] = {blown[i], interval_between(pitch_of(one.reed).pitch, warm.pitch), warm.temperature_known};
        if (!warm.temperature_known) result[i].warmth = 0.0 * cent;
        if (blown[i].standing != UnderBreath::never) one.allowance = result[i].allowance();
    }
    return result;
}

}  // namespace reedwright
