// Everything about a design that can be held against a number.
#pragma once

#include "core/plan/design.hpp"
#include "core/plan/planned_tongue.hpp"
#include "core/plate/fit_checks.hpp"

#include <string>
#include <vector>

namespace reedwright {

struct DesignCheck {
    std::vector<Finding> findings;
    /// What was not looked at because the design does not say enough, and what only a person can judge.
    std::vector<std::string> notes;
    /// What was taken of the air because the design does not say.
    std::vector<std::string> assumed;

    bool passes() const;
};

/// Every tongue: in reach, solved within 0.1 cent, thickness, strip, stress, life, stiffness, room to tune, rest gap (a
/// half to twice and a half the tip's thickness; about one is common practice, no source), and clear of its slot with
/// every tolerance at its worst and at its swing. With plates: how all parts fit (fit_findings()), and on a comb what
/// the joints lose of each note's own air at the playing pressure (at most 1 % unless the design says otherwise; our
/// choice, no source). All that leaks where the design has a limit for it, and bends where it asks for them
/// (bend_reach()). The design's tongues must have been worked out (plan_tongues(), whose result is passed on).
DesignCheck check_design(const Design& design, const std::vector<PlannedTongue>& tongues);

}  // namespace reedwright
