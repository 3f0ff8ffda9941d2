// Any text as a list of loose tongues.
#include "core/retune/stock_file.hpp"
#include "core/vibration/vibration.hpp"
#include "tests/fuzz/targets.hpp"

namespace reedwright::fuzz {

void stock_list(std::string_view text) {
    const MaterialLibrary library(REEDWRIGHT_FUZZ_MATERIALS);
    const auto stock = read_or_refused(text, [&] { return read_stock(document_of(text), library); });
    if (!stock) return;
    demand(!stock->empty(), "a list without a tongue");
    for (const StockTongue& one : *stock) {
        demand_positive(one.plate_material.youngs_modulus.value.value(), "the plate's modulus");
        if (one.reading) demand_positive(one.reading->value(), "a reading");
    }
    const StockTongue& first = stock->front();
    Seat seat;
    seat.give = first.give.value_or(0.0);
    seat.root_thickness = first.tongue.thickness.at_root();
    seat.root_width = first.tongue.width.at_root();
    Model beam;
    beam.tier = Tier::beam;
    demand_positive(fundamental_frequency(first.tongue, seat, first.temperature, beam).value(), "a pitch");
}

}  // namespace reedwright::fuzz
