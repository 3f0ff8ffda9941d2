// Findings of a check in words.
#pragma once

#include "core/plan/design_check.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

/// "0.108 mm".
std::string number_text(double value, const std::string& unit);
/// "at least 0.07 mm".
std::string limit_text(const Finding& one);
/// Of each kind the place nearest to its limit, in the order of the check, which must outlive them.
std::vector<const Finding*> tightest_findings(const DesignCheck& check);

}  // namespace reedwright::app
