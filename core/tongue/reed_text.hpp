// A reed written as a tongue file.
#pragma once

#include "core/tongue/reed.hpp"

#include <string>

namespace reedwright {

/// The text of a tongue file from which read_reed() makes the same reed, lengths to a tenth of a nanometre. What the
/// reed took for granted is written as a value. A material of the library is named; one given in place is written with
/// its modulus, density and Poisson's ratio, and whatever else it had said is left out.
std::string reed_text(const Reed& reed);

}  // namespace reedwright
