// A dimension along the tongue, thickness or width: stations with straight lines between them.
#pragma once

#include "core/quantity/quantity.hpp"

#include <vector>

namespace reedwright {

/// A value at a distance from the root line.
struct Station {
    Length at;
    Length value;
};

/// A piecewise-linear function of the distance from the root. Distances never decrease; the same
/// distance twice is a sharp step. The first station is at 0, the last at the tip.
class Profile {
public:
    /// Throws std::invalid_argument when the stations break the rules above (files are checked
    /// with better words before they come here).
    explicit Profile(std::vector<Station> stations);
    static Profile constant(Length tongue_length, Length value);
    static Profile taper(Length tongue_length, Length at_root, Length at_tip);

    const std::vector<Station>& stations() const { return stations_; }
    Length length() const { return stations_.back().at; }
    Length at_root() const { return stations_.front().value; }
    Length at_tip() const { return stations_.back().value; }
    Length smallest() const;
    Length largest() const;

    /// Value toward the tip from a place (at a sharp step, the tip's side), and toward the root.
    Length beyond(Length at) const;
    Length before(Length at) const;

    /// The integral of the value over the length.
    Area area() const;

    /// The sum with another profile of the same length, exact, keeping the steps of both.
    Profile plus(const Profile& other, double factor = 1.0) const;

    /// The part from the root to a place, which becomes the tip. Throws std::invalid_argument for a place that is not
    /// on the tongue.
    Profile cut_short(Length new_length) const;

    /// Without the stations that lie on the straight line between their neighbours.
    Profile simplified() const;

private:
    std::vector<Station> stations_;
};

/// The integral of the product of two profiles over the length, exact.
Volume integral_of_product(const Profile& a, const Profile& b);

}  // namespace reedwright
