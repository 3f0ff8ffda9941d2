// The cells that the reeds of a design speak into: as stated, as the comb has them, or the usual.
#pragma once

#include "core/plan/design.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// Gives every reed of a design with a comb the volume and inlet of its own cell of the comb (cell_of_channel()), save
/// what the design states of it. Does nothing without a comb. The plates must be such as can be laid out.
void take_cells_from_comb(Design& design);

/// What was taken for inlets that the design does not state, in the words of the input and where it comes from; empty
/// when all are stated. The second: for volumes, which count where two reeds of a cell sound together.
std::vector<std::string> inlets_taken(const Design& design);
std::vector<std::string> volumes_taken(const Design& design);

/// The same design, every inlet so many times as long.
Design with_inlets(const Design& design, double times);

}  // namespace reedwright
