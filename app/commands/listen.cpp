#include "app/commands/commands.hpp"
#include "app/sound/wave_file.hpp"
#include "core/listen/heard_pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

const char* const clock_remark = "the recorder's clock, some 0.1 cent, is not in it";

Frequency tuning_a(const std::string& text) {
    const auto a4 = option_quantity<Frequency>("--a4", text);
    if (a4 < 300.0 * hertz || a4 > 600.0 * hertz)
        throw InputError(
            {Diagnostic{Place{"--a4", 0, 0}, fmt::format("{} is outside 300 Hz to 600 Hz", to_text(a4)), {}, {}}});
    return a4;
}

std::optional<Time> time_option(const std::string& option, const std::string& text) {
    if (text.empty()) return std::nullopt;
    return option_quantity<Time>(option, text);
}

// Two digits of the uncertainty.
int decimals_for(double plus_minus, int most) {
    return std::clamp(1 - static_cast<int>(std::floor(std::log10(plus_minus))), 0, most);
}

nlohmann::ordered_json json_of(const HeardPitch& heard, const Recording& recording, const Note& note,
                               Interval note_offset, const std::vector<std::string>& warnings) {
    nlohmann::ordered_json json;
    json["pitch_hz"] = heard.pitch.value();
    json["uncertainty_cents"] = heard.expanded_uncertainty.value();
    json["note"] = note.name();
    json["note_cents"] = note_offset.value();
    json["from_s"] = (recording.from + heard.from).value();
    json["to_s"] = (recording.from + heard.to).value();
    json["wandering_cents"] = heard.wandering.value();
    json["above_noise_db"] = heard.above_noise_db;
    json["sample_rate_hz"] = recording.sample_rate.value();
    json["channels"] = recording.channels;
    json["harmonics"] = nlohmann::ordered_json::array();
    for (const HeardHarmonic& harmonic : heard.harmonics) {
        nlohmann::ordered_json row;
        row["number"] = harmonic.number;
        row["level_db"] = harmonic.level_db;
        row["off_cents"] = harmonic.off ? or_null(harmonic.off->value()) : or_null({});
        row["off_uncertainty_cents"] =
            harmonic.off_uncertainty ? or_null(harmonic.off_uncertainty->value()) : or_null({});
        row["used"] = harmonic.used;
        json["harmonics"].push_back(row);
    }
    json["warnings"] = warnings;
    return json;
}

// What rounds to nothing has no minus, which would hang on the last bit.
double to_hundredths(Interval off) {
    return std::round(100.0 * off.value()) / 100.0 + 0.0;
}

void print_harmonics(std::ostream& out, const HeardPitch& heard) {
    out << "\nharmonic         Hz     level   off its place\n";
    for (const HeardHarmonic& harmonic : heard.harmonics) {
        const double place_hz = static_cast<double>(harmonic.number) * heard.pitch.value();
        if (!harmonic.off) {
            out << fmt::format("{:>8}{:>11.1f}{:>7.0f} dB   in the noise\n", harmonic.number, place_hz,
                               harmonic.level_db);
            continue;
        }
        out << fmt::format("{:>8}{:>11.1f}{:>7.1f} dB   {:+.2f} +-{:.2f} cents{}\n", harmonic.number,
                           raised_by(place_hz * hertz, *harmonic.off).value(), harmonic.level_db,
                           to_hundredths(*harmonic.off), harmonic.off_uncertainty->value(),
                           harmonic.used ? "" : ", left out of the pitch");
    }
}

}  // namespace

int run_listen(const ListenRequest& request, const Console& console) {
    const Frequency a4 = tuning_a(request.a4);
    const Recording recording = read_recording(request.file, time_option("--from", request.from),
                                               time_option("--to", request.to), request.longest);
    const auto heard = heard_pitch(recording.samples, recording.sample_rate);
    if (!heard) throw InputError({Diagnostic{Place{request.file, 0, 0}, heard.error().sentence, {}, {}}});
    std::vector<std::string> warnings;
    if (recording.channels > 1)
        warnings.push_back(fmt::format("{} channels are mixed down to one", recording.channels));
    const auto loudest = std::max_element(recording.samples.begin(), recording.samples.end(),
                                          [](double a, double b) { return std::abs(a) < std::abs(b); });
    if (std::abs(*loudest) > 0.999)
        warnings.emplace_back("the recording reaches full scale: too loud, its harmonics are not the reed's alone");
    const Note note = nearest_note(heard->pitch, a4);
    const Interval offset = interval_between(equal_pitch(note, a4), heard->pitch);
    if (request.json) {
        print_json(console.out, json_of(*heard, recording, note, offset, warnings));
        return done;
    }
    std::ostream& out = console.out;
    // Nobody tunes finer than a hundredth of a cent.
    const double uncertainty = std::max(0.01, heard->expanded_uncertainty.value());
    const double hertz_either_way = raised_by(heard->pitch, heard->expanded_uncertainty).value() - heard->pitch.value();
    const int cents_decimals = decimals_for(uncertainty, 2);
    out << fmt::format("heard     {:.2f} to {:.2f} s of {:.2f} s, {:g} samples per second\n",
                       (recording.from + heard->from).value(), (recording.from + heard->to).value(),
                       recording.duration.value(), recording.sample_rate.value());
    out << fmt::format("pitch     {:.{}f} Hz\n", heard->pitch.value(), decimals_for(hertz_either_way, 3));
    out << fmt::format("note      {} {:+.{}f} cents, A4 {}\n", note.name(), offset.value(), cents_decimals,
                       to_text(a4));
    out << fmt::format("+-        {:.{}f} cents (95 %), from the scatter of its phases; {}\n", uncertainty,
                       cents_decimals, clock_remark);
    if (heard->wandering > 1.0 * cent)
        out << fmt::format("wanders   by {:.1f} cents while it sounds\n", heard->wandering.value());
    out << fmt::format("noise     {:.0f} dB below the tone\n", heard->above_noise_db);
    for (const std::string& warning : warnings) out << "warning   " << warning << '\n';
    print_harmonics(out, *heard);
    return done;
}

}  // namespace reedwright::app
