#include "app/report.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {
constexpr std::size_t longest_line = 96;
}

std::string hertz_text(Frequency pitch, std::optional<Interval> expanded) {
    if (!expanded) return fmt::format("{:.2f} Hz", pitch.value());
    // Two digits of the uncertainty are kept.
    const double plus_minus = raised_by(pitch, *expanded).value() - pitch.value();
    const int decimals = std::clamp(1 - static_cast<int>(std::floor(std::log10(plus_minus))), 0, 3);
    return fmt::format("{:.{}f} Hz", pitch.value(), decimals);
}

std::string cents_text(Interval interval, int decimals) {
    return fmt::format("{:+.{}f} cents", interval.value(), decimals);
}

NotePlace note_place(const Reed& reed, Frequency pitch) {
    const Note note = reed.note.value_or(nearest_note(pitch, reed.a4));
    return {note, interval_between(equal_pitch(note, reed.a4), pitch)};
}

std::string note_place_text(const NotePlace& place) {
    return fmt::format("{} {:+.1f} cents", place.note.name(), place.offset.value());
}

std::string tongue_line(const Reed& reed) {
    const auto range = [](const Profile& profile) {
        const double low = in(profile.smallest(), millimetre);
        const double high = in(profile.largest(), millimetre);
        return low == high ? fmt::format("{:.4g} mm", low) : fmt::format("{:.4g} to {:.4g} mm", low, high);
    };
    return fmt::format("{}, {:.5g} mm long, {} wide, {} thick", reed.tongue.material.name,
                       in(reed.tongue.length(), millimetre), range(reed.tongue.width), range(reed.tongue.thickness));
}

const std::string& filing_caution() {
    static const std::string text =
        "Thin strip and burrs cut: wear eye protection, support the tongue, brush the filings off and keep them from "
        "mouth and food. "
        "Follow local rules for workplace dust and for articles in mouth contact.";
    return text;
}

const std::string& solder_caution() {
    static const std::string text =
        "A load is lead-free solder, put on with little heat and good air: heat softens strip, so keep it short and at "
        "the tip alone. Wax with metal powder does for a trial.";
    return text;
}

void print_closing(std::ostream& out, const Reed& reed, bool filing) {
    if (!reed.assumed.empty()) {
        out << "\ntaken because nothing was said\n";
        std::string line;
        for (const std::string& assumption : reed.assumed) {
            if (!line.empty() && line.size() + assumption.size() > longest_line) {
                out << "  " << line << ",\n";
                line.clear();
            }
            line += line.empty() ? assumption : ", " + assumption;
        }
        out << "  " << line << '\n';
    }
    const auto cautions = reed.cautions();
    if (cautions.empty() && !filing) return;
    out << "\ncaution\n";
    for (const std::string& caution : cautions) out << "  " << caution << '\n';
    if (filing) out << "  " << filing_caution() << '\n';
}

void add_closing(nlohmann::ordered_json& json, const Reed& reed, bool filing) {
    json["assumed"] = reed.assumed;
    auto cautions = reed.cautions();
    if (filing) cautions.push_back(filing_caution());
    json["cautions"] = cautions;
}

const std::vector<std::string>& after_cut_checklist() {
    static const std::vector<std::string> list{
        "brush off the dust and let the reed cool", "centre the tongue in its slot", "set its rest gap again",
        "read again; after a cut at the root also the next day, since it may creep sharp for hours"};
    return list;
}

std::string json_text(const nlohmann::ordered_json& json) {
    return json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + '\n';
}

void print_json(std::ostream& out, const nlohmann::ordered_json& json) {
    out << json_text(json);
}

nlohmann::ordered_json or_null(const std::optional<double>& value) {
    return value && std::isfinite(*value) ? nlohmann::ordered_json(*value) : nlohmann::ordered_json(nullptr);
}

}  // namespace reedwright::app
