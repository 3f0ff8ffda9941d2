// Reading what a design says of its plates, comb, tolerances and limits.
#pragma once

#include "core/input/section.hpp"
#include "core/plan/design.hpp"

namespace reedwright {

/// Reads `plates`, `comb`, `tolerances`, `limits`, `valves` and `process` of a design whose reeds have been read.
/// Faults are recorded; what is left out keeps its default, and no `plates` leaves the design without any.
void read_plates(Section& root, Design& design);

/// Lays the plates out once and records what cannot be drawn, each fault at the reed or section it comes from.
/// Nothing is done for a design without plates.
void check_layout(Section& root, const Design& design);

}  // namespace reedwright
