// What of a laid-out set would cut or overlap something else, so that it could not be made or drawn.
#pragma once

#include "core/input/diagnostic.hpp"
#include "core/plate/plate_set.hpp"

#include <vector>

namespace reedwright {

/// Each clash once, with its numbers and what frees it: fixings over an edge, a slot, a pad, each other or a cell of
/// the comb; pads over the plate's back edge; tongues of inner faces that stand in the comb's walls or are thicker than
/// its cells are high; combs without height, cells or a back wall. Slots are taken with sharp corners.
std::vector<Diagnostic> clashes_of(const PlateSet& set);

}  // namespace reedwright
