// Where the middle of the length scale should lie.
#pragma once

#include "core/plan/design.hpp"

#include <functional>
#include <optional>
#include <string>

namespace reedwright {

enum class PlanAim {
    /// Tip stiffness as even as may be from the lowest tongue to the highest.
    even_stiffness,
    /// The greatest stress of any tongue at its swing, as a share of its proof strength, as low as may be.
    least_stress,
    /// As few different strips as may be; among equals the evener stiffness.
    fewest_strips
};

struct BowChoice {
    double bow;
    /// What was sought, in words with its unit, and its value with the bow and without.
    std::string measure;
    double value;
    double value_unbowed;
};

/// Tries bows of the length scale from -20 % to +20 %, plans every tongue with each (lengths on the shop's steps), and
/// takes the best of those with which every note is in reach; then finer around it, to 1 %. A search over all, since
/// strips and steps make the measure jump.
/// Throws InputError for a design without a length scale, or when no bow brings every note into reach.
/// The design is read anew with each bow, its own where none is given.
BowChoice best_bow(const std::function<Design(std::optional<double> bow)>& read, PlanAim aim);

}  // namespace reedwright
