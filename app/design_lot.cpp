#include "app/design_lot.hpp"

#include "core/input/yaml_reader.hpp"
#include "core/retune/calibration_file.hpp"

#include <fmt/format.h>
#include <filesystem>

namespace reedwright::app {

void apply_lot(const std::string& lot_file, Design& design) {
    if (lot_file.empty()) return;
    const Calibration calibration = read_calibration_file(lot_file);
    Instrument& instrument = design.instrument;
    bool applies = false;
    bool to_every_seat = true;
    for (InstrumentReed& one : instrument.reeds) {
        const bool is_of_it = one.reed.tongue.material.id == calibration.material;
        to_every_seat = to_every_seat && (is_of_it || one.reed.seat.stated);
        if (!is_of_it) continue;
        one.reed = with_calibration(one.reed, calibration);
        applies = true;
    }
    if (!applies)
        throw InputError({Diagnostic{Place{lot_file, 0, 0},
                                     fmt::format("is of {}, and no tongue of the design is", calibration.material),
                                     {},
                                     {}}});
    if (to_every_seat)
        std::erase_if(instrument.assumed, [](const std::string& told) { return told.starts_with("seat.give "); });
    instrument.assumed.push_back(
        fmt::format("of {} the lot and seats of {} (speed {:.4f} of the library's, give {:.2f})", calibration.material,
                    lot_file, calibration.speed_factor.value, calibration.give.value));
    if (design.process) {
        design.process->modulus_share.reset();
        design.process->density_share.reset();
    }
}

std::string shown_lot(const std::string& lot_file) {
    constexpr std::size_t largest_shown_bytes = std::size_t{1} << 20U;
    if (lot_file.empty()) return {};
    return fmt::format("\n# the lot and its seats, {}\n{}", std::filesystem::path(lot_file).filename().string(),
                       read_text_file(lot_file, largest_shown_bytes));
}

}  // namespace reedwright::app
