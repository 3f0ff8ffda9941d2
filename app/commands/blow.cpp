#include "app/commands/commands.hpp"
#include "app/picture/blow_picture.hpp"
#include "app/sound/wave_file.hpp"
#include "app/wind_input.hpp"
#include "core/output/whole_file.hpp"
#include "core/vibration/pitch.hpp"
#include "core/wind/blow_study.hpp"
#include "core/wind/blown_sound.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

using Json = nlohmann::ordered_json;

// Common practice, no source: a mouth organ played at ease.
constexpr Pressure usual_pressure = 500.0 * si::pascal;
constexpr std::size_t sweep_points = 11;
// A beam's small-swing shape no longer holds; some 15 % are reported for loud playing.
constexpr double widest_swing_share = 0.25;

const char* const swing_caution =
    "the swing is the weakest number of this model: players' reeds swing less than it says; without loss by swing it "
    "is "
    "an upper bound";

struct Blown {
    Reed reed;
    Vibration vibration;
    BlownReed blown;
    SwingLoss drag;
    PressureLimits limits;
    BlowPoint point;
    std::vector<BlowPoint> sweep;
    std::optional<GapEffect> gaps;
};

std::vector<Length> shown_gaps(const BlownReed& reed) {
    std::vector<Length> gaps{reed.rest_gap};
    for (const double share : {0.25, 0.5, 1.5, 2.0, 3.0}) gaps.push_back(share * reed.rest_gap);
    return gaps;
}

std::optional<PressureSpan> span_of(const BlowRequest& request) {
    if (request.sweep.empty()) return std::nullopt;
    return option_pressure_span("--sweep", request.sweep);
}

Json pressure_json(const std::optional<Pressure>& pressure) {
    return pressure ? Json(pressure->value()) : Json(nullptr);
}

std::string outcome_word(Outcome outcome) {
    return outcome == Outcome::sounds ? "sounds" : outcome == Outcome::silent ? "silent" : "unsteady";
}

Json point_json(const BlowPoint& point, const BlownReed& reed) {
    const bool sounds = point.sounding.outcome == Outcome::sounds;
    const auto if_sounding = [&](double value) { return sounds ? Json(value) : Json(nullptr); };
    Json json;
    json["pressure_pa"] = point.pressure.value();
    json["growth_per_s"] = point.growth.value();
    json["outcome"] = outcome_word(point.sounding.outcome);
    json["from_rest"] = point.growth.value() > 0.0;
    json["sounding_hz"] = if_sounding(point.sounding.pitch.value());
    json["sounding_offset_cents"] =
        sounds ? Json(interval_between(reed.natural(), point.sounding.pitch).value()) : Json(nullptr);
    json["swing_mm"] = if_sounding(in(point.sounding.swing, millimetre));
    json["swing_with_drag_mm"] = point.swing_with_loss ? Json(in(*point.swing_with_loss, millimetre)) : Json(nullptr);
    json["mean_flow_ml_s"] = if_sounding(in(point.sounding.mean_flow, millilitre_per_second));
    return json;
}

Json gap_json(const GapPoint& gap) {
    return {{"rest_gap_mm", in(gap.gap, millimetre)},
            {"threshold_pa", pressure_json(gap.range.threshold)},
            {"chokes_at_pa", pressure_json(gap.range.chokes_at)}};
}

Json blow_json(const Blown& all) {
    Json json = {
        {"threshold_pa", pressure_json(all.limits.from_rest.threshold)},
        {"offset_pa", pressure_json(all.limits.offset)},
        {"chokes_at_pa", pressure_json(all.limits.from_rest.chokes_at)},
        {"kept_to_pa", pressure_json(all.limits.kept_to)},
        {"natural_hz", all.blown.natural().value()},
        {"quality", all.blown.quality},
        {"mounting", all.blown.mounting == Mounting::closing ? "closing" : "opening"},
        {"rest_gap_mm", in(all.blown.rest_gap, millimetre)},
        {"chamber_cm3", all.blown.chamber ? Json(all.blown.chamber->value() * 1e6) : Json(nullptr)},
        {"upstream_resonance_hz", all.blown.chamber ? Json(all.blown.upstream_resonance().value()) : Json(nullptr)}};
    json.update(point_json(all.point, all.blown));
    json["partials"] = Json::array();
    for (const Partial& partial : all.point.sounding.partials)
        json["partials"].push_back({{"hz", partial.frequency.value()}, {"relative", partial.amplitude}});
    json["wave"] = Json::array();
    for (std::size_t i = 0; i < all.point.sounding.wave.size(); i += 4) {
        const CyclePoint& moment = all.point.sounding.wave[i];
        json["wave"].push_back({{"ms", moment.at.value() * 1e3},
                                {"tip_mm", in(moment.tip_height, millimetre)},
                                {"flow_ml_s", in(moment.flow, millilitre_per_second)},
                                {"pressure_pa", moment.pressure.value()}});
    }
    json["sweep"] = Json::array();
    for (const BlowPoint& point : all.sweep) json["sweep"].push_back(point_json(point, all.blown));
    if (all.gaps) {
        json["rest_gaps"] = Json::array();
        for (const GapPoint& gap : all.gaps->points) json["rest_gaps"].push_back(gap_json(gap));
        json["easiest_rest_gap"] = all.gaps->easiest ? gap_json(*all.gaps->easiest) : Json(nullptr);
        json["unchoked_rest_gap"] = all.gaps->unchoked ? gap_json(*all.gaps->unchoked) : Json(nullptr);
    }
    json["caution_on_swing"] = swing_caution;
    add_closing(json, all.reed, false);
    return json;
}

std::string pascals(const std::optional<Pressure>& pressure, const char* otherwise) {
    return pressure ? fmt::format("{:.0f} Pa", pressure->value()) : std::string(otherwise);
}

void print_limits(std::ostream& out, const Blown& all) {
    const BlownReed& reed = all.blown;
    const SpeakingRange& range = all.limits.from_rest;
    out << fmt::format("plucked   {:.2f} Hz, Q {:.0f}\n", reed.natural().value(), reed.quality);
    out << fmt::format("mounted   {}, its tip {:.3g} mm above the plate, {:.3g} mm clearance, ",
                       reed.mounting == Mounting::closing ? "closing" : "opening", in(reed.rest_gap, millimetre),
                       in(reed.opening.clearance(), millimetre));
    if (reed.chamber)
        out << fmt::format("{:.3g} cm^3 upstream that resonate at {:.0f} Hz\n", reed.chamber->value() * 1e6,
                           reed.upstream_resonance().value());
    else
        out << "blown from a large supply\n";
    if (!range.threshold) {
        out << "speaks    at no pressure: ";
        if (reed.rest_gap.value() == 0.0)
            out << "a tongue level with its plate opens no more one way than the other\n";
        else if (reed.mounting == Mounting::closing && reed.upstream_resonance() > reed.natural())
            out << "a closing reed needs the resonance upstream below its pitch, a larger --chamber\n";
        else if (reed.mounting == Mounting::opening && reed.upstream_resonance() < reed.natural())
            out << "an opening reed needs the resonance upstream above its pitch, a smaller --chamber\n";
        else
            out << "its losses are more than the wind brings\n";
        return;
    }
    const bool hysteresis = all.limits.offset->value() < 0.99 * range.threshold->value();
    out << fmt::format("speaks    from {:.1f} Pa; once it does it goes on down to {:.1f} Pa{}\n",
                       range.threshold->value(), all.limits.offset->value(), hysteresis ? "" : " (no hysteresis)");
    if (range.chokes_at)
        out << fmt::format("chokes    from rest above {:.0f} Pa; swinging already it goes on to {:.0f} Pa\n",
                           range.chokes_at->value(), all.limits.kept_to->value());
    else
        out << fmt::format("chokes    not up to {:.0f} Pa, as far as the model goes\n", highest_pressure.value());
}

void print_point(std::ostream& out, const Blown& all) {
    const Sounding& sounding = all.point.sounding;
    const double pressure_pa = all.point.pressure.value();
    if (sounding.outcome == Outcome::silent) {
        out << fmt::format("sounds    not at {:.4g} Pa: every swing dies out\n", pressure_pa);
        return;
    }
    if (sounding.outcome == Outcome::unsteady) {
        out << fmt::format(
            "sounds    not steadily at {:.4g} Pa: after {} cycles its swing has neither settled nor died\n",
            pressure_pa, sounding.cycles);
        return;
    }
    const double share = (sounding.swing / all.blown.opening.tongue_length()).value();
    out << fmt::format("sounds    {:.2f} Hz at {:.4g} Pa, {} from plucked, {}{}\n", sounding.pitch.value(), pressure_pa,
                       cents_text(interval_between(all.blown.natural(), sounding.pitch), 1),
                       note_place_text(note_place(all.reed, sounding.pitch)),
                       all.point.growth.value() > 0.0 ? "" : ", only if it swings already");
    out << fmt::format("swing     +-{:.2f} mm at the tip, {:.0f} % of the length; {} with the strip's drag\n",
                       in(sounding.swing, millimetre), 100.0 * share,
                       all.point.swing_with_loss
                           ? fmt::format("+-{:.2f} mm", in(*all.point.swing_with_loss, millimetre))
                           : std::string("unsettled"));
    if (share > widest_swing_share)
        out << "          wider than a first mode holds: a real reed is stopped by its cover, or breaks\n";
    out << "          the weakest number of this model: players' reeds swing less; without loss by swing it is an "
           "upper "
           "bound\n";
    out << fmt::format("air       {:.3g} mL/s\n", in(sounding.mean_flow, millilitre_per_second));
    out << "partials ";
    for (std::size_t n = 0; n < 8 && n < sounding.partials.size(); ++n)
        out << fmt::format(" {:.2f}", sounding.partials[n].amplitude);
    out << " of the strongest, as radiated\n";
}

void print_sweep(std::ostream& out, const Blown& all) {
    if (all.sweep.empty()) return;
    out << "\nalong the pressure       growth   sounds      from plucked    swing   with drag       air\n";
    for (const BlowPoint& point : all.sweep) {
        out << fmt::format("  {:8.4g} Pa  {:+14.1f} /s", point.pressure.value(), point.growth.value());
        if (point.sounding.outcome != Outcome::sounds) {
            out << fmt::format("  {}\n", outcome_word(point.sounding.outcome));
            continue;
        }
        out << fmt::format(
            "  {:8.2f} Hz  {:+6.2f} cents  {:5.2f} mm  {:>7}  {:6.3g} mL/s{}\n", point.sounding.pitch.value(),
            interval_between(all.blown.natural(), point.sounding.pitch).value(), in(point.sounding.swing, millimetre),
            point.swing_with_loss ? fmt::format("{:.2f} mm", in(*point.swing_with_loss, millimetre)) : "unsettled",
            in(point.sounding.mean_flow, millilitre_per_second),
            point.growth.value() > 0.0 ? "" : "  if swinging already");
    }
}

void print_gaps(std::ostream& out, const Blown& all) {
    if (!all.gaps) return;
    out << "\nrest gap     speaks from   chokes from rest\n";
    for (const GapPoint& gap : all.gaps->points)
        out << fmt::format("  {:.3f} mm  {:>11}   {:>11}{}\n", in(gap.gap, millimetre),
                           pascals(gap.range.threshold, "never"),
                           gap.range.threshold ? pascals(gap.range.chokes_at, "not") : "",
                           gap.gap == all.blown.rest_gap ? "   as it is" : "");
    if (all.gaps->easiest)
        out << fmt::format("easiest at {:.2f} mm, from {}", in(all.gaps->easiest->gap, millimetre),
                           pascals(all.gaps->easiest->range.threshold, ""));
    if (all.gaps->unchoked && all.blown.mounting == Mounting::closing)
        out << fmt::format("; from {:.2f} mm on nothing below 3 kPa chokes it from rest",
                           in(all.gaps->unchoked->gap, millimetre));
    if (all.gaps->easiest) out << '\n';
}

}  // namespace

int run_blow(const BlowRequest& request, const Console& console) {
    const Pressure pressure =
        request.pressure.empty() ? usual_pressure : option_pressure("--pressure", request.pressure);
    const auto span = span_of(request);
    Reed reed = read_source(request.source);
    Vibration vibration = vibration_of(reed);
    const BlownReed blown = blown_from(request.source, reed, vibration, request.chamber);
    if (request.pressure.empty()) reed.assumed.push_back(fmt::format("pressure {:g} Pa", pressure.value()));
    const SwingLoss drag = strip_drag(reed, vibration);
    const PressureLimits limits = pressure_limits(blown);
    Blown all{std::move(reed), std::move(vibration), blown, drag, limits, blow_point(blown, drag, pressure), {}, {}};
    const bool whole = request.pressure.empty();
    if (whole || span || !request.picture.empty())
        all.sweep = pressure_sweep(blown, drag,
                                   span ? even_pressures(span->low, span->high, sweep_points)
                                        : usual_pressures(limits.offset.value_or(0.0 * pascal)));
    if (whole && blown.rest_gap.value() > 0.0) all.gaps = rest_gap_effect(blown, shown_gaps(blown));

    const Existing existing = request.replace ? Existing::replace : Existing::keep;
    if (!request.picture.empty())
        write_whole_file(request.picture, blow_picture(tongue_line(all.reed), blown, limits, all.sweep), existing);
    if (!request.wave.empty()) {
        const SoundRequest sound_request{pressure};
        // Room above the loudest sample, so that a player's own gain does not clip it.
        constexpr double peak = 0.8;
        auto samples = blown_sound(blown, sound_request);
        for (double& sample : samples) sample *= peak;
        write_wave_file(request.wave, samples, static_cast<double>(sound_request.samples_per_second) * hertz, existing);
    }
    if (request.json) {
        print_json(console.out, blow_json(all));
        return done;
    }
    std::ostream& out = console.out;
    out << tongue_line(all.reed) << "\n\n";
    print_limits(out, all);
    print_point(out, all);
    print_sweep(out, all);
    print_gaps(out, all);
    print_closing(out, all.reed, false);
    for (const std::string& file : {request.picture, request.wave})
        if (!file.empty()) console.err << "wrote " << file << '\n';
    return done;
}

}  // namespace reedwright::app
