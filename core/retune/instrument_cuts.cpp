#include "core/retune/instrument_cuts.hpp"

#include "core/input/diagnostic.hpp"
#include "core/retune/reading.hpp"
#include "core/tasks/in_parallel.hpp"
#include "core/tuning/beats.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <tuple>

namespace reedwright {

namespace {

constexpr std::size_t enough_for_a_median = 5;
// An instrument whose readings lie this far off together stands at another pitch than its design says.
constexpr double off_as_a_whole_cents = 20.0;
// A reading this far from its own target and this near to another's is likely that other reed's.
const Interval far_from_own = 70.0 * cent;
const Interval near_to_other = 30.0 * cent;
// A cut that takes more of the thickness leaves little for the next tuning.
constexpr double much_taken = 0.25;

constexpr double seconds_per_hour = 3600.0;

bool temperature_known(const Reed& reed) {
    return reed.tongue.material.modulus_change && reed.tongue.material.expansion;
}

double median(std::vector<double> values) {
    std::sort(values.begin(), values.end());
    const std::size_t middle = values.size() / 2;
    return values.size() % 2 == 1 ? values[middle] : 0.5 * (values[middle - 1] + values[middle]);
}

bool near_root(const CutChoice& choice) {
    return choice.zone == "root" || choice.zone == "inner" || choice.zone == "middle";
}

// What the reed was made to read: the design's own tuning and allowance, whatever a breath is allowed for now.
Frequency as_made(const Instrument& instrument, const InstrumentReed& one) {
    return raised_by(tremolo_partner(instrument.tuning.pitch(one.note), one.beats), instrument.bench.allowance);
}

// What all readings together say, before any is looked at alone.
struct Survey {
    /// By how much the whole instrument is off the design's own tuning: the median of the readings, where they are
    /// enough and it is far.
    double median_cents = 0.0;
};

class Worker {
public:
    Worker(const Instrument& instrument, const WorkRules& rules, Model model, Survey survey)
        : instrument_(instrument), rules_(rules), model_(model), survey_(survey) {}

    ReedWork unread(std::size_t index) const {
        const InstrumentReed& one = instrument_.reeds[index];
        ReedWork work{};
        work.reed = index;
        work.verdict = Verdict::unread;
        work.target = bench_target(instrument_, one, rules_.tuning);
        work.model_pitch = pitch_of(one.reed, model_).pitch;
        work.warm = warm(one.reed, work.model_pitch, work.target);
        work.remarks.emplace_back("no reading");
        return work;
    }

    ReedWork read(const ReedReading& reading) const {
        ReedWork work = unread(reading.reed);
        const InstrumentReed& one = instrument_.reeds[reading.reed];
        work.remarks.clear();
        work.reading = reading.pitch;
        work.sounded = reading.sounded;
        work.on_bench = on_bench(one.reed, reading, work);
        work.wanted = interval_between(*work.on_bench, work.target);
        if (misplaced(one, work) || cracked(one, work)) return work;
        if (std::abs(work.wanted.value()) <= instrument_.tolerance.value()) {
            work.verdict = Verdict::leave;
            return work;
        }
        const ExplainedReading explained = explain_reading(one.reed, *work.on_bench, tuner_deviation, model_);
        const double surprise = explained.surprise.value();
        if (!explained.explained())
            work.remarks.push_back(
                fmt::format("{:+.0f} cents from the pitch of its dimensions, {} standard deviations of what is stated: "
                            "look for {}another reed or a wrong dimension before anything is cut",
                            surprise, explained.distance_text(), surprise < 0.0 ? "a crack, a loose rivet, " : ""));
        else if (std::abs(surprise) > 100.0)
            work.remarks.push_back(
                fmt::format("{:+.0f} cents from the pitch of its dimensions: measure them again", surprise));
        correct(explained.reed, work);
        return work;
    }

private:
    Frequency warm(const Reed& reed, Frequency cold, Frequency target) const {
        if (!temperature_known(reed)) return target;
        const Frequency there = pitch_of(at_temperature(reed, instrument_.playing), model_).pitch;
        return raised_by(target, interval_between(cold, there));
    }

    // As plucked on the bench.
    Frequency on_bench(const Reed& reed, const ReedReading& reading, ReedWork& work) const {
        const Frequency plucked = raised_by(reading.pitch, -reading.breath);
        const Temperature bench = instrument_.bench.temperature;
        if (!reading.temperature || std::abs((*reading.temperature - bench).value()) < 0.01) return plucked;
        if (!temperature_known(reed)) {
            work.remarks.emplace_back("how its alloy drifts with temperature is not known: the reading is taken as is");
            return plucked;
        }
        const Frequency there = pitch_of(at_temperature(reed, *reading.temperature), model_).pitch;
        return raised_by(plucked, interval_between(there, work.model_pitch));
    }

    // Far from its own target and right on another's: reeds or lines may have been mixed up.
    bool misplaced(const InstrumentReed& one, ReedWork& work) const {
        const Interval own = off_as_made(one, work);
        if (std::abs(own.value()) < far_from_own.value()) return false;
        for (const InstrumentReed& other : instrument_.reeds) {
            if (&other == &one || other.note.semitone() == one.note.semitone()) continue;
            const Interval off =
                interval_between(as_made(instrument_, other), *work.on_bench) - survey_.median_cents * cent;
            if (std::abs(off.value()) > near_to_other.value()) continue;
            work.verdict = Verdict::check;
            work.remarks.push_back(
                fmt::format("{:+.0f} cents from its own note, but {:+.0f} from {} of cell {}: read "
                            "both again before anything is cut",
                            own.value(), off.value(), other.note.name(), other.place()));
            if (own.value() < -rules_.fallen.value())
                work.remarks.emplace_back(
                    "if this is its reading, it has a crack or a loose rivet: replace the tongue");
            return true;
        }
        return false;
    }

    bool cracked(const InstrumentReed& one, ReedWork& work) const {
        const Interval own = off_as_made(one, work);
        if (own.value() >= -rules_.fallen.value()) return false;
        work.verdict = Verdict::replace;
        work.remarks.push_back(fmt::format(
            "{:.0f} cents flat{}: a tongue that falls so far by itself has a crack at its root or a loose rivet; "
            "replace it or make it fast, do not tune it",
            -own.value(), survey_.median_cents != 0.0 ? " of its fellows" : ""));
        return true;
    }

    // From what the design was made for, beyond what the whole instrument is off.
    Interval off_as_made(const InstrumentReed& one, const ReedWork& work) const {
        return interval_between(as_made(instrument_, one), *work.on_bench) - survey_.median_cents * cent;
    }

    double least_hours() const { return instrument_.least_life.value() / seconds_per_hour; }

    void correct(const Reed& likely, ReedWork& work) const {
        const Length swing = instrument_.reeds[work.reed].swing_share * likely.tongue.length();
        auto choices = rank_cuts(likely, work.wanted, swing, rules_.safe, model_);
        const bool reachable = !choices.empty();
        const auto chosen = std::find_if(choices.begin(), choices.end(),
                                         [&](const auto& one) { return spares_life(one, instrument_.least_life); });
        if (chosen != choices.end()) {
            work.verdict = Verdict::cut;
            work.cut = std::move(*chosen);
            work.first = first_pass(likely, work.cut->effect, rules_.overshoot_level, rules_.hand, model_);
            warn_of_cut(work);
            return;
        }
        const std::string why = reachable ? overworked(choices.front()) : "no safe depth reaches";
        if (work.wanted.value() < 0.0) {
            const LoadEffect load = find_load(likely, likely.tongue.length(), work.wanted, model_);
            if (load.reachable) {
                work.verdict = Verdict::load;
                work.load = load;
                work.remarks.push_back(fmt::format("{}: a load at the tip instead", why));
                return;
            }
        }
        work.verdict = Verdict::replace;
        work.remarks.push_back(fmt::format("out of reach, {}: another tongue", why));
    }

    std::string overworked(const CutChoice& choice) const {
        if (choice.after.proof_share.value_or(0.0) > 1.0)
            return fmt::format("a cut would be stressed to {:.0f} % of the proof strength",
                               100.0 * *choice.after.proof_share);
        return fmt::format("it is worked hard already, an estimate of {:.2g} hours at its swing", *choice.before.hours);
    }

    void warn_of_cut(ReedWork& work) const {
        const CutChoice& choice = *work.cut;
        if (choice.thickness_kept < 1.0 - much_taken)
            work.remarks.push_back(fmt::format("takes {:.0f} % of the thickness there; little is left for another time",
                                               100.0 * (1.0 - choice.thickness_kept)));
        if (choice.after.hours && *choice.after.hours < least_hours())
            work.remarks.push_back(
                fmt::format("short-lived already at this swing: an estimate of {:.2g} hours", *choice.after.hours));
        if (near_root(choice))
            work.remarks.emplace_back("cut near the root: it may creep sharp for hours, read it again next day");
    }

    const Instrument& instrument_;
    const WorkRules& rules_;
    Model model_;
    Survey survey_;
};

Survey survey_of(const Instrument& instrument, const Readings& readings) {
    std::vector<double> off;
    for (const ReedReading& one : readings.readings)
        off.push_back(
            (interval_between(as_made(instrument, instrument.reeds[one.reed]), one.pitch) - one.breath).value());
    if (off.size() < enough_for_a_median) return {};
    const double middle = median(off);
    return std::abs(middle) > off_as_a_whole_cents ? Survey{middle} : Survey{};
}

// Cuts and loads are done in one round over the plate.
int round_of(Verdict verdict) {
    return verdict == Verdict::load ? static_cast<int>(Verdict::cut) : static_cast<int>(verdict);
}

}  // namespace

std::vector<ReedWork> instrument_cuts(const Instrument& instrument, const Readings& readings, const WorkRules& rules,
                                      Model model) {
    const Worker worker(instrument, rules, model, survey_of(instrument, readings));
    const std::size_t read = readings.readings.size();
    std::vector<ReedWork> works(read + readings.unread.size());
    in_parallel(works.size(), [&](std::size_t i) {
        works[i] = i < read ? worker.read(readings.readings[i]) : worker.unread(readings.unread[i - read]);
    });
    const auto rows = instrument.rows();
    const auto place = [&](const ReedWork& work) {
        const InstrumentReed& one = instrument.reeds[work.reed];
        return std::tuple(round_of(work.verdict), std::find(rows.begin(), rows.end(), one.row) - rows.begin(),
                          one.cell);
    };
    std::sort(works.begin(), works.end(), [&](const auto& a, const auto& b) { return place(a) < place(b); });
    return works;
}

std::string_view verdict_name(Verdict verdict) {
    switch (verdict) {
        case Verdict::replace:
            return "replace";
        case Verdict::check:
            return "check";
        case Verdict::cut:
            return "cut";
        case Verdict::load:
            return "load";
        case Verdict::leave:
            return "leave";
        case Verdict::unread:
            break;
    }
    return "unread";
}

}  // namespace reedwright
