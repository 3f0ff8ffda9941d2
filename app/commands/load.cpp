#include "app/commands/commands.hpp"
#include "core/retune/load_search.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

int run_load(const LoadRequest& request, const Console& console) {
    const Model model = model_of(request.tier);
    const Reed stated = read_source(request.source);
    const Frequency reading = option_pitch("--read", request.reading, stated);
    const Frequency want = option_pitch("--want", request.want, stated);
    const Interval wanted = interval_between(reading, want);
    const ExplainedReading explained = explain_reading(stated, reading, tuner_deviation, model);
    const Reed reed = request.trust == "dimensions" ? stated : explained.reed;
    const bool far_off = std::abs(explained.surprise.value()) > 100.0;
    const std::string far_off_text = fmt::format(
        "the reading lies {} from the pitch of these dimensions: check that it is this reed, and that "
        "nothing is cracked or loose",
        cents_text(explained.surprise, 0));
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

    if (request.json) {
        nlohmann::ordered_json json;
        json["reachable"] = effect.reachable;
        json["mass_mg"] = in(effect.load.mass, milligram);
        json["at_mm"] = in(at, millimetre) / stretch;
        json["shift_cents"] = effect.shift.value();
        json["trial_ratio"] = request.trial.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(ratio);
        json["wanted_cents"] = wanted.value();
        json["surprise_cents"] = explained.surprise.value();
        json["warnings"] = far_off ? std::vector<std::string>{far_off_text} : std::vector<std::string>{};
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
        if (far_off) out << "warning   " << far_off_text << '\n';
        print_closing(out, stated, false);
        out << (stated.cautions().empty() ? "\ncaution\n  " : "  ") << solder_caution() << '\n';
    }
    if (effect.reachable) return done;
    console.err << fmt::format("no load up to the tongue's own mass there brings {}; {:.3g} mg bring {}\n",
                               cents_text(wanted), in(effect.load.mass, milligram), cents_text(effect.shift));
    return bad_input;
}

}  // namespace reedwright::app
