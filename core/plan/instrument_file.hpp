// Reading the design of an instrument.
#pragma once

#include "core/input/node.hpp"
#include "core/material/material_file.hpp"
#include "core/plan/design.hpp"
#include "core/plan/instrument.hpp"

#include <filesystem>
#include <optional>

namespace reedwright {

/// Reads a YAML design:
///   name: the club's C
///   tuning: {a4: 440 Hz, temperament: equal, key: C, offsets: {F5: -12 cents}}
///     # equal, just, septimal, quarter-comma, or twelve distances from equal, the key's first: [0 cents, ...]
///   bench: {temperature: 20 degC, humidity: 50 %, allowance: 3 cents}
///   playing: {temperature: 30 degC, pressure: 500 Pa}
///   tolerance: 2 cents
///   swing: 6 %                     # of the length, half of peak to peak
///   least_life: 100 h
///   common: {material: cuzn37-r630, plate_material: cuzn37-plate, seat: {...}, slot: {...}, cell: {...},
///            pad: {...}, quality: 95, uncertainty: {...}}   # of every reed that does not say otherwise
///   reeds:
///     - {cell: 1, row: blow, note: C4, length: 16 mm, width: 2.2 mm, thickness: 0.1 mm}
/// A reed may have all keys of `common`, a `swing` of its own, `loads` as in a tongue file, and `beats: 2.5 Hz`, by
/// which it sounds faster than its note, `valve: yes` or `no`, and `bend: 300 cents`, which its note must reach. Cells
/// are counted from 1 without a gap; one place holds one reed. What a reed states of its own cell stands with the
/// number: `cell: {number: 1, inlet_length: 9 mm}`. What no one states of cells comes from the comb (comb_cells.hpp).
///
/// In place of a list, or with one for the places that differ, a layout names the notes, and scales and profiles say
/// what the tongues are to be like:
///   layout: {kind: ten-hole, first: C4}     # or {kind: solo, first: C4, cells: 12}; pair: tremolo, beats: 3 Hz
///   tongues:
///     length: {lowest: 16 mm, highest: 9.5 mm}
///     width: {lowest: 2.2 mm, highest: 1.7 mm}
///     profiles: [{up_to: A4, family: heavy-tip, waist: 60 %, tip: 95 %}, {family: taper, tip: 70 %}]
///     gauges: [0.2 mm, 0.3 mm]
/// `plates`, `comb`, `valves`, `tolerances`, `limits` and `process` say how they are mounted and made (plate_file.hpp).
///
/// A reed whose thickness is not stated has the shape of its profile at a thickness that is still to be solved
/// (plan_tongues()). Throws InputError with every fault of the file.
Design read_design_file(const std::filesystem::path& file, const MaterialLibrary& library);
/// A bow stands in place of that of the scale of lengths, to try what it does.
Design read_design(const Document& document, const MaterialLibrary& library, std::optional<double> bow = {});

/// The instrument of a design, every tongue worked out.
Instrument read_instrument_file(const std::filesystem::path& file, const MaterialLibrary& library);
Instrument read_instrument(const Document& document, const MaterialLibrary& library);

}  // namespace reedwright
