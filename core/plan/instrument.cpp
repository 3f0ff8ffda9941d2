#include "core/plan/instrument.hpp"

#include "core/tuning/beats.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace reedwright {

namespace {

void add_once(std::vector<std::string>& list, const std::string& text) {
    if (std::find(list.begin(), list.end(), text) == list.end()) list.push_back(text);
}

}  // namespace

Frequency Tuning::pitch(const Note& note) const {
    Interval offset = temperament.offset(note);
    for (const NoteOffset& own : offsets)
        if (own.note.semitone() == note.semitone()) offset += own.offset;
    return raised_by(equal_pitch(note, a4), offset);
}

std::string InstrumentReed::place() const {
    return fmt::format("{} {}", cell, row);
}

std::vector<std::string> Instrument::cautions() const {
    std::vector<std::string> all;
    for (const InstrumentReed& one : reeds)
        for (const std::string& caution : one.reed.cautions()) add_once(all, caution);
    return all;
}

std::vector<std::string> Instrument::rows() const {
    std::vector<std::string> all;
    for (const InstrumentReed& one : reeds) add_once(all, one.row);
    return all;
}

Reed at_temperature(const Reed& reed, Temperature temperature) {
    Reed result = reed;
    result.temperature = temperature;
    if (result.air) result.air->temperature = temperature;
    return result;
}

Frequency bench_target(const Instrument& instrument, const InstrumentReed& reed, const Tuning& tuning) {
    return raised_by(tremolo_partner(tuning.pitch(reed.note), reed.beats),
                     reed.allowance.value_or(instrument.bench.allowance));
}

}  // namespace reedwright
