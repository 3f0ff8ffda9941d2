#include "core/plan/cell_notes.hpp"

#include "core/tasks/in_parallel.hpp"
#include "core/tuning/beats.hpp"
#include "core/tuning/layout.hpp"
#include "core/vibration/vibration.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

namespace reedwright {

namespace {

CellWind other(CellWind wind) {
    return wind == CellWind::pressed ? CellWind::drawn : CellWind::pressed;
}

std::string first_word(const std::string& text) {
    return text.substr(0, text.find(' '));
}

Frequency sounding(const Instrument& instrument, const InstrumentReed& one) {
    return tremolo_partner(instrument.tuning.pitch(one.note), one.beats);
}

}  // namespace

CellWind closing_wind(const Design& design, std::size_t reed) {
    const auto& reeds = design.instrument.reeds;
    const InstrumentReed& one = reeds[reed];
    if (design.plates && design.plates->carries == PlateCarries::cell) {
        std::ptrdiff_t before = 0;
        for (const std::string& row : design.instrument.rows()) {
            if (row == one.row) break;
            before += std::count_if(reeds.begin(), reeds.end(), [&](const InstrumentReed& candidate) {
                return candidate.cell == one.cell && candidate.row == row;
            });
        }
        return before % 2 == 0 ? CellWind::pressed : CellWind::drawn;
    }
    const bool pressed =
        design.plates && !design.plates->inner.empty()
            ? std::find(design.plates->inner.begin(), design.plates->inner.end(), one.row) != design.plates->inner.end()
            : first_word(one.row) == first_word(reeds.front().row);
    return pressed ? CellWind::pressed : CellWind::drawn;
}

CellWind playing_wind(const Design& design, std::size_t reed) {
    const CellWind closing = closing_wind(design, reed);
    return design.instrument.reeds[reed].reed.slot.mounting == Mounting::closing ? closing : other(closing);
}

std::vector<CellNote> cell_notes(const Design& design) {
    const auto& reeds = design.instrument.reeds;
    std::vector<CellNote> notes;
    for (std::size_t i = 0; i < reeds.size(); ++i) {
        const CellWind wind = playing_wind(design, i);
        const auto known = std::find_if(notes.begin(), notes.end(), [&](const CellNote& note) {
            return note.cell == reeds[i].cell && note.wind == wind;
        });
        if (known != notes.end())
            known->playing.push_back(i);
        else
            notes.push_back({reeds[i].cell, wind, {i}, {}});
    }
    for (CellNote& note : notes)
        for (std::size_t i = 0; i < reeds.size(); ++i)
            if (reeds[i].cell == note.cell && playing_wind(design, i) != note.wind) note.idle.push_back(i);
    return notes;
}

std::string playing_place(const Instrument& instrument, const CellNote& note) {
    std::string text;
    for (const std::size_t i : note.playing)
        text += text.empty() ? instrument.reeds[i].place() : " and " + instrument.reeds[i].row;
    return text;
}

Interval bend_reach(const Design& design, std::size_t reed) {
    const Interval semitone = 100.0 * cent;
    const auto& reeds = design.instrument.reeds;
    const Frequency own = sounding(design.instrument, reeds[reed]);
    std::optional<Interval> reach;
    for (std::size_t i = 0; i < reeds.size(); ++i) {
        if (reeds[i].cell != reeds[reed].cell || playing_wind(design, i) == playing_wind(design, reed)) continue;
        if (reeds[i].valved()) continue;
        const Frequency lower = sounding(design.instrument, reeds[i]);
        const Interval toward = lower < own ? bend_by_rule(lower, own) : 0.0 * cent;
        reach = std::max(reach.value_or(toward), toward);
    }
    return reach.value_or(semitone);
}

std::vector<BlownReed> blown_reeds(const Design& design, Temperature temperature, std::vector<std::string>* assumed) {
    const auto& reeds = design.instrument.reeds;
    std::vector<std::optional<BlownReed>> blown(reeds.size());
    std::vector<std::vector<std::string>> told(reeds.size());
    std::vector<std::vector<Diagnostic>> faults(reeds.size());
    in_parallel(reeds.size(), [&](std::size_t i) {
        try {
            const Reed reed = at_temperature(reeds[i].reed, temperature);
            blown[i] = blown_reed(reed, vibration_of(reed), &told[i]);
        } catch (const InputError& error) {
            faults[i] = error.diagnostics();
        }
    });
    // One fault of a common section is many reeds' and told once.
    struct Shared {
        std::size_t first;
        std::size_t count;
        Diagnostic fault;
    };
    std::map<std::string, Shared> shared;
    for (std::size_t i = 0; i < reeds.size(); ++i)
        for (const Diagnostic& fault : faults[i])
            ++shared.try_emplace(fault.message, Shared{i, 0, fault}).first->second.count;
    if (!shared.empty()) {
        std::vector<Diagnostic> all;
        for (auto& [message, one] : shared) {
            one.fault.place = design.reeds[one.first].asked_at;
            one.fault.message = fmt::format("{}{}: {}", reeds[one.first].place(),
                                            one.count > 1 ? fmt::format(" and {} more", one.count - 1) : "", message);
            all.push_back(one.fault);
        }
        throw InputError(std::move(all));
    }
    std::vector<BlownReed> result;
    result.reserve(reeds.size());
    for (std::size_t i = 0; i < reeds.size(); ++i) {
        result.push_back(std::move(*blown[i]));
        if (assumed == nullptr) continue;
        for (std::string text : told[i]) {
            // What only this reed's numbers add is left out, so that a set of reeds tells it once.
            if (const auto own = text.find(';'); own != std::string::npos) text = text.substr(0, own) + ")";
            if (text.starts_with("chamber"))
                text = "of opening reeds a chamber fed by a steady flow that lets them speak";
            if (std::find(assumed->begin(), assumed->end(), text) == assumed->end()) assumed->push_back(text);
        }
    }
    return result;
}

}  // namespace reedwright
