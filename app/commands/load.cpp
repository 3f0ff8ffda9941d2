#include "app/commands/cut_words.hpp"
#include "core/retune/load_search.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {
// Of the tongue's own mass (common practice, no source).
constexpr double much_mass = 0.1;
}  // namespace

int run_load(const LoadRequest& request, const Console& console) {
    const Model model = model_of(request.tier);
    const Reed stated = read_source(request.source);
    const Frequency reading = option_pitch("--read", request.reading, stated);
    const Frequency want = option_pitch("--want", request.want, stated);
    const Interval wanted = interval_between(reading, want);
    const ExplainedReading explained = explain_reading(stated, reading, tuner_deviation, model);
    const Reed reed = request.trust == "dimensions" ? stated : explained.reed;
    std::vector<std::string> warnings = reading_warnings(explained);
    const std::size_t told = explained.explained() ? 0 : warnings.size();
    warn_of_reading(console, explained);
    // At the tip unless said otherwise; a place is measured on the tongue as stated.
    if (!request.at.empty()) {
        const Length place = option_quantity<Length>("--at", request.at);
        if (place.value() < 0.0 || place > stated.tongue.length())
            throw InputError({Diagnostic{
                Place{"--at", 0, 0},
                fmt::format("{} is not on the tongue, 0 mm to {}", to_text(place), to_text(stated.tongue.length())),
                {},
                {}}});
    }
    const double stretch = (reed.tongue.length() / stated.tongue.length()).value();
    const Length at = request.at.empty() ? reed.tongue.length() : option_quantity<Length>("--at", request.at) * stretch;
    LoadEffect effect = find_load(reed, at, wanted, model);
    double ratio = 1.0;
    if (!request.trial.empty()) {
        const Mass trial = option_quantity<Mass>("--trial", request.trial);
        if (trial.value() <= 0.0)
            throw InputError(
                {Diagnostic{Place{"--trial", 0, 0}, fmt::format("{} is no weight", to_text(trial)), {}, {}}});
        ratio =
            trial_ratio(reed, at, trial,
                        interval_between(reading, option_pitch("--trial-reads", request.trial_reading, stated)), model);
        effect.load.mass /= ratio;
    }
    const Frequency pitch_after = raised_by(reading, effect.shift);
    const double share = (effect.load.mass / reed.tongue.mass()).value();
    if (effect.reachable && share > much_mass)
        warnings.push_back(fmt::format(
            "{:.3g} mg is {:.0f} % of the tongue's own mass: so heavy a load changes how it speaks and shakes "
            "loose more easily; metal from near the root, or another tongue, may serve better (common "
            "practice, no source)",
            in(effect.load.mass, milligram), 100.0 * share));

    if (request.json) {
        nlohmann::ordered_json json;
        json["reachable"] = effect.reachable;
        json["mass_mg"] = in(effect.load.mass, milligram);
        json["at_mm"] = in(at, millimetre) / stretch;
        json["shift_cents"] = effect.shift.value();
        json["trial_ratio"] = request.trial.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(ratio);
        json["wanted_cents"] = wanted.value();
        json["surprise_cents"] = explained.surprise.value();
        json["reading_explained"] = explained.explained();
        json["reading_deviations"] = explained.distance;
        json["mass_share"] = share;
        json["warnings"] = warnings;
        json["new_pitch_hz"] = pitch_after.value();
        add_closing(json, stated, false);
        json["cautions"].push_back(solder_caution());
        print_json(console.out, json);
    } else if (effect.reachable) {
        std::ostream& out = console.out;
        out << tongue_line(stated) << "\n\n";
        out << fmt::format("reads     {:.2f} Hz, wanted {:.2f} Hz: {}\n", reading.value(), want.value(),
                           cents_text(wanted));
        out << fmt::format("load      {:.3g} mg at {:.4g} mm from the root, for {}\n", in(effect.load.mass, milligram),
                           in(at, millimetre) / stretch, cents_text(effect.shift));
        if (!request.trial.empty())
            out << fmt::format(
                "trial     it acts as {:.2f} times its weight on the tongue of these dimensions, and the load is "
                "reckoned so\n",
                ratio);
        for (std::size_t i = told; i < warnings.size(); ++i) out << "warning   " << warnings[i] << '\n';
        print_closing(out, stated, false);
        out << (stated.cautions().empty() ? "\ncaution\n  " : "  ") << solder_caution() << '\n';
    }
    if (effect.reachable) return done;
    console.err << fmt::format("no load up to the tongue's own mass there brings {}; {:.3g} mg bring {}\n",
                               cents_text(wanted), in(effect.load.mass, milligram), cents_text(effect.shift));
    return bad_input;
}

}  // namespace reedwright::app
