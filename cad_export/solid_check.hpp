// Proof that a solid is what was asked for, before it is written.
#pragma once

#include "core/quantity/quantity.hpp"

#include <TopoDS_Solid.hxx>
#include <string>

namespace reedwright {

/// Throws KernelFailure naming the part unless the solid is closed, passes the kernel's own checks
/// and has the analytic volume within 1e-6 of it.
void check_solid(const TopoDS_Solid& solid, const std::string& part, Volume analytic);

}  // namespace reedwright
