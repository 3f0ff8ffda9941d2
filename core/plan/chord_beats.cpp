#include "core/plan/chord_beats.hpp"

#include "core/tuning/beats.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace reedwright {

namespace {

// A whole tone is 9 to 8.
constexpr int largest_number = 9;
// Equal temperament parts from the ratios of these numbers by 17.6 cents at most (9 to 5, 7 to 5); what lies farther
// off is not heard as beating against that ratio (our choice, no source).
constexpr double nearest_cents = 20.0;
constexpr double octave_cents = 1200.0;

}  // namespace

std::vector<ChordBeat> chord_beats(const Instrument& instrument) {
    std::vector<ChordBeat> result;
    for (const std::string& row : instrument.rows()) {
        std::map<int, const InstrumentReed*> cells;
        for (const InstrumentReed& one : instrument.reeds)
            if (one.row == row) cells.emplace(one.cell, &one);
        for (auto it = cells.begin(); it != cells.end() && std::next(it) != cells.end(); ++it) {
            const InstrumentReed* low = it->second;
            const InstrumentReed* high = std::next(it)->second;
            if (high->note.semitone() < low->note.semitone()) std::swap(low, high);
            const Frequency low_pitch = tremolo_partner(instrument.tuning.pitch(low->note), low->beats);
            const Frequency high_pitch = tremolo_partner(instrument.tuning.pitch(high->note), high->beats);
            const double apart = interval_between(low_pitch, high_pitch).value();
            if (apart > octave_cents + nearest_cents || apart < nearest_cents) continue;
            ChordBeat best{row, low->note, high->note, 1, 1, 1e9 * cent, 0.0 * hertz};
            for (int q = 1; q <= largest_number; ++q)
                for (int p = q + 1; p <= std::min(largest_number, 2 * q); ++p) {
                    if (std::gcd(p, q) != 1) continue;
                    const double off = apart - octave_cents * std::log2(static_cast<double>(p) / q);
                    if (std::abs(off) >= std::abs(best.off.value())) continue;
                    best.p = p;
                    best.q = q;
                    best.off = off * cent;
                }
            if (std::abs(best.off.value()) > nearest_cents) continue;
            best.beats = beat_rate(low_pitch, high_pitch, best.p, best.q);
            result.push_back(best);
        }
    }
    return result;
}

}  // namespace reedwright
