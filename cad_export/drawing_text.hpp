// Numbers as drawings write them.
#pragma once

#include "core/quantity/quantity.hpp"

#include <string>

namespace reedwright::drawing {

/// A length in millimetres without its unit: at least two decimals, a third where it is not zero.
std::string mm_text(Length length);
/// Likewise with three decimals always: the thickness of strip.
std::string micrometre_text(Length length);
/// "1:1", "5:1", "1:2".
std::string scale_text(double scale);
/// A pitch in hertz with two decimals, without its unit.
std::string hertz_text(Frequency frequency);

}  // namespace reedwright::drawing
