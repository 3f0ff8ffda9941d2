#include "core/vibration/pitch.hpp"
#include "app/commands/commands.hpp"
#include "app/explain.hpp"
#include "app/picture/mode_picture.hpp"
#include "app/wind_input.hpp"
#include "core/output/whole_file.hpp"
#include "core/uncertainty/budget.hpp"
#include "core/wind/sounding.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

constexpr std::size_t flap_count = 4;
constexpr std::size_t twist_count = 3;
// Shorter than this, a tongue is a plate whose modes mix.
constexpr double short_in_widths = 2.5;
// The solids that the strip's constants are fitted to and held against.
constexpr double least_in_widths = 3.0;
constexpr double least_in_thicknesses = 20.0;
constexpr double least_flatness = 4.0;
constexpr double most_flatness = 36.0;

std::vector<double> in_hertz(const std::vector<Frequency>& frequencies) {
    std::vector<double> result;
    for (const Frequency& frequency : frequencies) result.push_back(frequency.value());
    return result;
}

void print_budget(std::ostream& out, const Budget& budget) {
    out << "\nuncertainty of the pitch, one standard deviation\n";
    for (const Contribution& part : budget.contributions)
        out << fmt::format("  {:<16}{:<24}{}\n", input_name(part.input), part.standard_deviation,
                           part.pitch ? fmt::format("{:6.1f} cents", part.pitch->value()) : std::string("     ?"));
    if (budget.correlation != 0.0)
        out << fmt::format("  {:<16}{:<24}{:+6.1f} cents\n", correlation_name, correlation_text(budget),
                           budget.correlated.value());
    out << fmt::format("  {:<16}{:<24}{:6.1f} cents\n", "model", "against a solid", budget.model_error.value());
    if (budget.standard)
        out << fmt::format("  {:<40}{:6.1f} cents, so +-{:.0f} cents at 95 %\n", "together", budget.standard->value(),
                           budget.expanded->value());
    else
        out << "  the sum is not known, since the spread of an input is not\n";
}

nlohmann::ordered_json budget_json(const Budget& budget) {
    auto parts = nlohmann::ordered_json::array();
    for (const Contribution& part : budget.contributions)
        parts.push_back({{"input", input_name(part.input)},
                         {"standard_deviation", part.standard_deviation},
                         {"effect_cents",
                          part.pitch ? nlohmann::ordered_json(part.pitch->value()) : nlohmann::ordered_json(nullptr)}});
    if (budget.correlation != 0.0)
        parts.push_back({{"input", correlation_name},
                         {"standard_deviation", correlation_text(budget)},
                         {"effect_cents", budget.correlated.value()}});
    parts.push_back(
        {{"input", "model"}, {"standard_deviation", "against a solid"}, {"effect_cents", budget.model_error.value()}});
    return parts;
}

nlohmann::ordered_json shapes_json(const Vibration& vibration) {
    auto shapes = nlohmann::ordered_json::array();
    for (std::size_t mode = 0; mode < 3; ++mode) {
        auto points = nlohmann::ordered_json::array();
        for (const ShapePoint& point : vibration.shape(mode, 50))
            points.push_back({in(point.at, millimetre), point.deflection});
        shapes.push_back(points);
    }
    return shapes;
}

}  // namespace

namespace {

// What a pressure does to the pitch, where it was asked for.
struct Under {
    bool asked = false;
    bool sounds = false;
    Pressure pressure = 0.0 * pascal;
    Interval offset = 0.0 * cent;
};

Under under_pressure(const PitchRequest& request, Reed& reed, const Vibration& vibration) {
    Under under;
    if (request.under.empty()) return under;
    under.asked = true;
    under.pressure = option_pressure("--under", request.under);
    const auto offset = sounding_offset(blown_from(request.source, reed, vibration), under.pressure);
    under.sounds = offset.has_value();
    if (offset) under.offset = *offset;
    return under;
}

void add_under(nlohmann::ordered_json& json, const Under& under, Frequency plucked) {
    if (!under.asked) return;
    json["pressure_pa"] = under.pressure.value();
    json["sounding_hz"] = nullptr;
    json["sounding_offset_cents"] = nullptr;
    if (!under.sounds) return;
    json["sounding_hz"] = raised_by(plucked, under.offset).value();
    json["sounding_offset_cents"] = under.offset.value();
}

std::string under_line(const Reed& reed, const Under& under, Frequency plucked) {
    if (!under.asked) return {};
    if (!under.sounds) return fmt::format("under     {:.4g} Pa it does not sound\n", under.pressure.value());
    const Frequency sounding = raised_by(plucked, under.offset);
    return fmt::format("under     {:.4g} Pa it sounds {:.2f} Hz, {} from plucked, {}\n", under.pressure.value(),
                       sounding.value(), cents_text(under.offset, 1), note_place_text(note_place(reed, sounding)));
}

// Where the dimensions leave what the model was held against solids for.
std::vector<std::string> shape_warnings(const Tongue& tongue) {
    std::vector<std::string> warnings;
    const double in_widths = (tongue.length() / tongue.width.largest()).value();
    const double in_thicknesses = (tongue.length() / tongue.thickness.largest()).value();
    if (in_widths < short_in_widths)
        warnings.push_back(fmt::format(
            "the tongue is only {:.2g} widths long: a mode that swings across it may be counted as the third flapping "
            "one, so the modes above the first are not to be trusted",
            in_widths));
    else if (in_widths < least_in_widths)
        warnings.push_back(
            fmt::format("the tongue is only {:.2g} widths long; the model was held against solids from "
                        "{:g} on",
                        in_widths, least_in_widths));
    if (in_thicknesses < least_in_thicknesses)
        warnings.push_back(
            fmt::format("the tongue is only {:.2g} thicknesses long; the model was held against solids "
                        "from {:g} on",
                        in_thicknesses, least_in_thicknesses));
    const double flattest = (tongue.width.largest() / tongue.thickness.smallest()).value();
    const double squarest = (tongue.width.smallest() / tongue.thickness.largest()).value();
    if (squarest < least_flatness || flattest > most_flatness)
        warnings.push_back(
            fmt::format("the tongue is {:.2g} times as wide as thick; the model was held against solids "
                        "from {:g} to {:g} times",
                        squarest < least_flatness ? squarest : flattest, least_flatness, most_flatness));
    return warnings;
}

}  // namespace

int run_pitch(const PitchRequest& request, const Console& console) {
    const Model model = model_of(request.tier);
    Reed reed = read_source(request.source);
    const Vibration vibration = vibration_of(reed, model);
    const Under under = under_pressure(request, reed, vibration);
    const ReedPitch pitch = pitch_of(reed, vibration);
    const Budget budget = pitch_budget(reed, vibration, model);
    const auto flap = vibration.flap(flap_count);
    const auto twist = vibration.twist(twist_count);
    const NotePlace place = note_place(reed, pitch.pitch);
    const auto quality = quality_of(reed, pitch);
    std::vector<ChainStep> chain;
    if (request.explain) chain = explain_chain(reed, model);
    const std::vector<std::string> warnings = shape_warnings(reed.tongue);
    for (const std::string& warning : warnings) console.err << "warning: " << warning << '\n';
    if (!request.picture.empty())
        write_whole_file(request.picture, mode_picture(reed, vibration),
                         request.replace ? Existing::replace : Existing::keep);

    if (request.json) {
        nlohmann::ordered_json json;
        json["pitch_hz"] = pitch.pitch.value();
        json["vacuo_hz"] = pitch.in_vacuo.value();
        json["note"] = place.note.name();
        json["note_cents"] = place.offset.value();
        json["flap_hz"] = in_hertz(flap);
        json["twist_hz"] = in_hertz(twist);
        json["modal_mass_kg"] = vibration.modal_mass().value();
        json["stiffness_n_per_m"] = vibration.stiffness().value();
        json["swept_area_mm2"] = in(vibration.swept_area(), millimetre * millimetre);
        json["expanded_uncertainty_cents"] =
            budget.expanded ? nlohmann::ordered_json(budget.expanded->value()) : nlohmann::ordered_json(nullptr);
        json["budget"] = budget_json(budget);
        json["tier"] = request.tier;
        json["seat_give"] = reed.seat.give;
        json["air_cents"] =
            pitch.air ? nlohmann::ordered_json(pitch.air->shift.value()) : nlohmann::ordered_json(nullptr);
        json["quality"] = or_null(quality);
        json["temperature_degc"] = in_celsius(reed.temperature);
        json["temperature_known"] = pitch.temperature_known;
        add_under(json, under, pitch.pitch);
        if (request.explain) {
            json["chain"] = chain_json(chain);
            json["mode_shapes"] = shapes_json(vibration);
        }
        json["warnings"] = warnings;
        add_closing(json, reed, false);
        print_json(console.out, json);
        return done;
    }

    std::ostream& out = console.out;
    out << tongue_line(reed) << "\n\n";
    out << fmt::format("pitch     {}  {}{}\n", hertz_text(pitch.pitch, budget.expanded), note_place_text(place),
                       budget.expanded ? fmt::format(", +-{:.0f} cents at 95 %", budget.expanded->value())
                                       : std::string(", uncertainty not known"));
    out << fmt::format("          metal at {:.1f} degC{}", in_celsius(reed.temperature),
                       pitch.temperature_known ? "" : " (its drift is not known: as at 20 degC)");
    out << (pitch.air ? fmt::format(", in air {} from {:.2f} Hz in vacuo\n", cents_text(pitch.air->shift, 1),
                                    pitch.in_vacuo.value())
                      : std::string(", in vacuo\n"));
    out << under_line(reed, under, pitch.pitch);
    out << fmt::format("flapping  1 : {:.2f} : {:.2f}, {:.0f} and {:.0f} Hz the second and third\n", flap[1] / flap[0],
                       flap[2] / flap[0], flap[1].value(), flap[2].value());
    if (!twist.empty())
        out << fmt::format("twisting  {:.0f} and {:.0f} Hz, {:.2f} times the pitch the first\n", twist[0].value(),
                           twist[1].value(), (twist[0] / flap[0]).value());
    out << fmt::format("1st mode  {:.4g} N/m stiff, {:.3g} mg moving, both as at the tip\n",
                       vibration.stiffness().value(), in(vibration.modal_mass(), milligram));
    if (quality)
        out << fmt::format("quality   {:.0f}{}\n", *quality,
                           reed.quality
                               ? " as stated"
                               : " at most: metal and air; the loss in the seat is not known (a measured reed: 95)");
    if (request.tier == "beam")
        out << "\nThe beam tier is the textbook's, 8 to 50 cents flat on a real tongue: the clamp stops it from "
               "curling crosswise.\n";
    if (request.explain) print_chain(out, chain);
    print_budget(out, budget);
    print_closing(out, reed, false);
    if (!request.picture.empty()) console.err << "wrote " << request.picture << '\n';
    return done;
}

}  // namespace reedwright::app
