// Any text as a table of a small instrument's readings.
#include "core/input/yaml_reader.hpp"
#include "core/plan/instrument_file.hpp"
#include "core/retune/readings_file.hpp"
#include "tests/fuzz/targets.hpp"

#include <cmath>

namespace reedwright::fuzz {

void readings_table(std::string_view text) {
    static const Instrument instrument = read_instrument_file(REEDWRIGHT_SOURCE_DIR "/tests/bad_readings/in_order.yaml",
                                                              MaterialLibrary(REEDWRIGHT_SOURCE_DIR "/materials"));
    const auto readings = read_or_refused(text, [&] {
        const std::string checked = checked_text(source_name(), std::string(text), largest_text_bytes);
        return read_readings(read_csv_text(source_name(), checked), instrument);
    });
    if (!readings) return;
    demand(readings->readings.size() + readings->unread.size() == instrument.reeds.size(),
           "a reed neither read nor unread, or both");
    for (const ReedReading& one : readings->readings) {
        demand(one.reed < instrument.reeds.size(), "a reading of no reed");
        const Frequency target = bench_target(instrument, instrument.reeds[one.reed], instrument.tuning);
        demand_positive(one.pitch.value(), "a reading");
        demand(std::abs(interval_between(target, one.pitch).value()) <= farthest_reading.value(), "a reading far off");
    }
}

}  // namespace reedwright::fuzz
