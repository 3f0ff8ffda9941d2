// The lot of strip and the seats that a design is made with.
#pragma once

#include "core/plan/design.hpp"

#include <string>

namespace reedwright::app {

/// Gives the tongues of the calibration's alloy the lot's modulus, and the calibrated seat where none is stated; to be
/// done before tongues are planned, so that thicknesses are solved for the lot. A spread of the modulus or the density
/// that the design states of its process is the lot's no longer. Nothing without a file. Throws InputError as reading
/// the file does, and when no tongue of the design is of its alloy.
void apply_lot(const std::string& lot_file, Design& design);

/// The calibration's text as a sheet shows it below the design, or nothing without a file.
std::string shown_lot(const std::string& lot_file);

}  // namespace reedwright::app
