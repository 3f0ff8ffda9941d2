// Which reeds of a cell sound together, and which lie idle beside them.
#pragma once

#include "core/plan/design.hpp"
#include "core/wind/blown_reed.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// The two ways of the wind through a cell.
enum class CellWind { pressed, drawn };

/// The wind that presses a reed's tongue into its slot. On plates of rows a tongue of an inner face is pressed in by
/// pressure in the cell, one of an outer face by suction; on plates of cells the faces take turns, the first row's
/// pressed in by pressure. Without plates, or where no row is said to lie inward, the first word of the row tells:
/// "blow" and "blow high" go together, and those of the first reed's word are pressed in by pressure.
CellWind closing_wind(const Design& design, std::size_t reed);
/// The wind that plays a reed: of an opening one the other.
CellWind playing_wind(const Design& design, std::size_t reed);

/// What one way of the wind plays in a cell; reeds by their index in the instrument.
struct CellNote {
    int cell;
    CellWind wind;
    std::vector<std::size_t> playing;
    std::vector<std::size_t> idle;
};

/// Every note of the design, cell by cell in the order of its reeds.
std::vector<CellNote> cell_notes(const Design& design);

/// "3 draw", "3 draw and draw high".
std::string playing_place(const Instrument& instrument, const CellNote& note);

/// How far a player can bend a reed's note down, by the trade's rule: the higher reed of a cell toward the lower
/// (bend_by_rule()) where the other wind plays that one and no valve lies over it; the lower not at all; one alone, or
/// beside a valved reed, by a semitone at most (common practice, no source).
Interval bend_reach(const Design& design, std::size_t reed);

/// The reeds of the design in the wind, metal and air at a temperature, without loss by swing. What had to be assumed
/// is told in assumed, each once. Throws InputError with every reed that cannot be blown, at its place in the design.
std::vector<BlownReed> blown_reeds(const Design& design, Temperature temperature,
                                   std::vector<std::string>* assumed = nullptr);

}  // namespace reedwright
