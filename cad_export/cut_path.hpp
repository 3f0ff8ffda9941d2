// Outlines moved aside by half a cut, so that what is left has the size drawn.
#pragma once

#include "core/plate/reed_blank.hpp"

#include <vector>

namespace reedwright {

/// The closed way of a tool's middle, or of a beam.
struct CutPath {
    std::vector<OutlinePiece> pieces;
    /// Largest rounding in the part of a corner that the tool cannot follow; 0 when it follows all. Kinks of less than
    /// 30 degrees are not counted.
    Length left_in_corners = 0.0 * metre;

    /// The enclosed area, arcs counted exactly.
    Area area() const;
};

/// The outline moved outward by a distance (inward where it is negative), exactly: every edge stays parallel to itself,
/// an arc keeps its centre, a sharp corner that is passed on the outside becomes an arc about itself, and one on the
/// inside stays a corner of the path, in which a round tool leaves its own radius.
/// Throws std::domain_error where the outline does not take the distance: an edge is used up, a narrow place closes, an
/// arc has no room; std::invalid_argument as Outline::pieces() does.
CutPath moved_aside(const Outline& outline, Length outward);

/// The greatest distance inward (or outward) up to a wanted one that the outline takes, rounded down to a micrometre.
Length largest_aside(const Outline& outline, Length wanted);

}  // namespace reedwright
