#include "app/commands/commands.hpp"
#include "app/progress_bar.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/uncertainty/pitch_scatter.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <chrono>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

// The part of the first-order budget that the scatter can be held against: the inputs without the model.
struct FirstOrder {
    Budget budget;
    double standard_cents;

    FirstOrder(const Reed& reed, const Model& model)
        : budget(pitch_budget(reed, vibration_of(reed, model), model)), standard_cents(budget.of_inputs().value()) {}
    double share(double cents) const {
        return standard_cents > 0.0 ? cents * std::abs(cents) / (standard_cents * standard_cents) : 0.0;
    }
    double share(const Contribution& part) const { return part.pitch ? share(part.pitch->value()) : 0.0; }
};

std::vector<std::string> names(const std::vector<Input>& inputs) {
    std::vector<std::string> result;
    for (const Input input : inputs) result.emplace_back(input_name(input));
    return result;
}

void print_text(std::ostream& out, const Reed& reed, const PitchScatter& scatter, const FirstOrder& first_order,
                const ScatterRun& run, double seconds) {
    const auto hertz_at = [&](Interval interval) { return raised_by(scatter.nominal, interval).value(); };
    out << tongue_line(reed) << "\n\n";
    out << fmt::format("nominal   {:.2f} Hz  {}\n", scatter.nominal.value(),
                       note_place_text(note_place(reed, scatter.nominal)));
    out << fmt::format("mean      {:.2f} Hz  {} from the nominal\n", hertz_at(scatter.mean), cents_text(scatter.mean));
    out << fmt::format(
        "spread    {:.2f} Hz  {:.2f} cents, one standard deviation; the first-order budget says {:.2f}\n",
        hertz_at(scatter.standard) - scatter.nominal.value(), scatter.standard.value(), first_order.standard_cents);
    out << fmt::format("95 %      {:.2f} to {:.2f} Hz  {:+.1f} to {}\n", hertz_at(scatter.low95),
                       hertz_at(scatter.high95), scatter.low95.value(), cents_text(scatter.high95, 1));
    out << "\nwhere it comes from, to first order\n";
    for (const Contribution& part : first_order.budget.contributions)
        out << fmt::format(
            "  {:<16}{:<24}{}\n", input_name(part.input), part.standard_deviation,
            part.pitch ? fmt::format("{:6.1f} cents {:5.1f} %", part.pitch->value(), 100.0 * first_order.share(part))
                       : std::string("     ?  kept as stated"));
    if (first_order.budget.correlation != 0.0)
        out << fmt::format("  {:<16}{:<24}{:+6.1f} cents {:5.1f} %\n", correlation_name,
                           correlation_text(first_order.budget), first_order.budget.correlated.value(),
                           100.0 * first_order.share(first_order.budget.correlated.value()));
    out << fmt::format("\n{} tongues were drawn, each input normal about its stated value, and the pitch of\n",
                       scatter.samples);
    if (scatter.reduced)
        out << fmt::format(
            "each computed from six shapes of the strip, within {:.3f} cent of the full model where tried.\n",
            scatter.greatest_error.value());
    else
        out << "each computed on the full model, since the spread is too wide for six shapes of the strip.\n";
    out << fmt::format(
        "Nineteen of twenty lie in the 95 % interval. What the model itself misses against a solid,\n{:.1f} cents as "
        "one standard deviation, comes on top.\n",
        first_order.budget.model_error.value());
    if (!scatter.unknown_spread.empty())
        out << fmt::format(
            "Nobody has stated a spread of {}:\nkept as stated, so that the scatter here is of the rest alone, and the "
            "whole uncertainty is not known.\n",
            fmt::join(names(scatter.unknown_spread), ", "));
    out << fmt::format("seed {}, {:.3f} s, {:.3g} tongues a second\n", run.seed, seconds,
                       static_cast<double>(scatter.samples) / seconds);
    print_closing(out, reed, false);
}

nlohmann::ordered_json as_json(const Reed& reed, const PitchScatter& scatter, const FirstOrder& first_order,
                               const ScatterRun& run, double seconds) {
    nlohmann::ordered_json tongue;
    tongue["nominal_hz"] = scatter.nominal.value();
    tongue["mean_cents"] = scatter.mean.value();
    tongue["std_cents"] = scatter.standard.value();
    tongue["low95_cents"] = scatter.low95.value();
    tongue["high95_cents"] = scatter.high95.value();
    tongue["low95_hz"] = raised_by(scatter.nominal, scatter.low95).value();
    tongue["high95_hz"] = raised_by(scatter.nominal, scatter.high95).value();
    // What pitch calls unknown is unknown here too; the spread above is of what is stated.
    tongue["total_std_cents"] =
        scatter.unknown_spread.empty()
            ? nlohmann::ordered_json(std::hypot(scatter.standard.value(), first_order.budget.model_error.value()))
            : nlohmann::ordered_json(nullptr);
    tongue["first_order_std_cents"] = first_order.standard_cents;
    auto shares = nlohmann::ordered_json::array();
    for (const Contribution& part : first_order.budget.contributions)
        shares.push_back({{"input", input_name(part.input)},
                          {"standard_deviation", part.standard_deviation},
                          {"effect_cents",
                           part.pitch ? nlohmann::ordered_json(part.pitch->value()) : nlohmann::ordered_json(nullptr)},
                          {"share", part.pitch ? nlohmann::ordered_json(first_order.share(part))
                                               : nlohmann::ordered_json(nullptr)}});
    if (first_order.budget.correlation != 0.0)
        shares.push_back({{"input", correlation_name},
                          {"standard_deviation", correlation_text(first_order.budget)},
                          {"effect_cents", first_order.budget.correlated.value()},
                          {"share", first_order.share(first_order.budget.correlated.value())}});
    tongue["inputs"] = shares;
    tongue["reduced"] = scatter.reduced;
    tongue["reduced_error_cents"] = scatter.greatest_error.value();

    nlohmann::ordered_json json;
    json["samples"] = scatter.samples;
    json["seed"] = run.seed;
    json["seconds"] = seconds;
    json["tongues"] = nlohmann::ordered_json::array({tongue});
    json["unknown_spread"] = names(scatter.unknown_spread);
    add_closing(json, reed, false);
    return json;
}

}  // namespace

int run_scatter(const ScatterRun& run, const Console& console) {
    if (is_design_file(run.source.file)) return run_scatter_design(run, console);
    if (!run.picture.empty())
        throw InputError({Diagnostic{Place{"--svg", 0, 0}, "shows the spread of a whole design", {}, "name a design"}});
    const Model model = model_of("strip");
    const Reed reed = read_source(run.source);
    if (const std::string reason = impossible_spread(reed); !reason.empty())
        throw InputError({Diagnostic{Place{run.source.file.empty() ? "--material" : run.source.file, 0, 0},
                                     reason,
                                     {},
                                     "state a smaller one under uncertainty:, or in the material"}});
    const FirstOrder first_order(reed, model);

    const auto start = std::chrono::steady_clock::now();
    ProgressBar bar(console.err);
    const PitchScatter scatter =
        pitch_scatter(reed, model, {run.samples, run.seed, run.threads, [&bar](double share) { bar.show(share); }});
    const double seconds = std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count();

    if (run.json)
        print_json(console.out, as_json(reed, scatter, first_order, run, seconds));
    else
        print_text(console.out, reed, scatter, first_order, run, seconds);
    return done;
}

}  // namespace reedwright::app
