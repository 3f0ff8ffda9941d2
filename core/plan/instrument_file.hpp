// Reading the design of an instrument.
#pragma once

#include "core/input/node.hpp"
#include "core/material/material_file.hpp"
#include "core/plan/instrument.hpp"

#include <filesystem>

namespace reedwright {

/// Reads a YAML design whose reeds are given one by one:
///   name: the club's C
///   tuning: {a4: 440 Hz, temperament: equal, key: C, offsets: {F5: -12 cents}}
///     # equal, just, septimal, quarter-comma, or twelve distances from equal, the key's first: [0 cents, ...]
///   bench: {temperature: 20 degC, humidity: 50 %, allowance: 3 cents}
///   playing: {temperature: 30 degC}
///   tolerance: 2 cents
///   swing: 6 %                     # of the length, half of peak to peak
///   least_life: 100 h
///   common: {material: cuzn37-r630, plate_material: cuzn37-plate, seat: {...}, slot: {...}, pad: {...},
///            uncertainty: {...}}   # of every reed that does not say otherwise
///   reeds:
///     - {cell: 1, row: blow, note: C4, length: 16 mm, width: 2.2 mm, thickness: 0.1 mm}
/// A reed may have all keys of `common`, a `swing` of its own, `loads` as in a tongue file, and `beats: 2.5 Hz`, by
/// which it sounds faster than its note. Only `reeds` must be there. Cells are counted from 1 without a gap; one place
/// holds one reed. Throws InputError with every fault of the file.
Instrument read_instrument_file(const std::filesystem::path& file, const MaterialLibrary& library);
Instrument read_instrument(const Document& document, const MaterialLibrary& library);

}  // namespace reedwright
