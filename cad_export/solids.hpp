// The solids of a reed's parts, in millimetres.
#pragma once

#include "core/plate/reed_blank.hpp"
#include "core/plate/rivet.hpp"

#include <TopoDS_Solid.hxx>

namespace reedwright {

/// The plate from z = 0 up: outline, slots and holes drawn through its thickness. Planes and
/// cylinders only. Checked as sound and of the analytic volume.
/// Throws KernelFailure naming the plate; std::invalid_argument for an outline that cannot be drawn.
TopoDS_Solid plate_solid(const PlateBlank& plate);

/// The tongue with its pad, flat underneath at z = 0, thickness upward. One plane for each straight
/// stretch of thickness or width, upright faces at sharp steps, cylinders through the pad. A step of
/// less than 0.2 nm is drawn as none. Checked as plate_solid() is.
/// Throws KernelFailure naming the tongue; std::invalid_argument when thickness and width are not of
/// one length or not positive.
TopoDS_Solid tongue_solid(const TonguePart& tongue);

/// The rivet about the z axis from z = 0 up. Checked as plate_solid() is. Throws KernelFailure naming the rivet.
TopoDS_Solid rivet_solid(const RivetPart& rivet);

}  // namespace reedwright
