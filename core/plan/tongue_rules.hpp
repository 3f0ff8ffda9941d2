// What a builder states of a whole set of tongues, from which each is worked out.
#pragma once

#include "core/quantity/quantity.hpp"
#include "core/tongue/profile.hpp"
#include "core/tuning/note.hpp"

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// A measure that runs smoothly from the lowest note to the highest, by equal ratios per semitone; bowed, its middle
/// lies off that line by so much of itself: ln m = (1 - u) ln low + u ln high + 4 u (1 - u) bow, u from 0 to 1.
struct SmoothScale {
    double lowest;
    double highest;
    double bow = 0.0;

    double at(double u) const;
};

enum class ProfileFamily {
    /// As thick at the tip as at the root.
    flat,
    /// A straight line from root to tip.
    taper,
    /// A thin stretch between the root and a thick tip, with straight ramps: a short tongue that sounds low.
    heavy_tip
};

/// "flat", "taper", "heavy-tip".
std::string_view family_name(ProfileFamily family);

/// The shape of a thickness profile; its size is solved for each note.
struct ProfileShape {
    ProfileFamily family = ProfileFamily::flat;
    /// Up to this note, itself included; empty: to the highest.
    std::optional<Note> up_to;
    /// Thickness at the tip and of the thin stretch as a share of that at the root.
    double tip = 1.0;
    double waist = 1.0;
    /// The thin stretch as shares of the length: it begins where its near ramp from the root ends, and its far ramp
    /// ends at tip_from.
    double waist_from = 0.3;
    double waist_to = 0.62;
    double tip_from = 0.7;

    /// The profile with this thickness at the root, its stations on multiples of a step (none for zero).
    Profile profile(Length length, Length at_root, Length station_step) const;
};

/// What the shop can set to.
struct ShopSteps {
    Length length = 0.1 * millimetre;
    Length width = 0.05 * millimetre;
    Length station = 0.1 * millimetre;
    Length thickness = 2.0 * micrometre;
};

struct TongueRules {
    std::vector<ProfileShape> profiles;
    ShopSteps steps;
    /// Strip in stock, thinnest first; empty: any.
    std::vector<Length> gauges;
    Length thinnest = 0.05 * millimetre;
    std::optional<Stiffness> least_stiffness;
    std::optional<Stiffness> most_stiffness;
    /// Metal left for tuning: a tongue must be able to go so far up by a cut at the tip and down by one at the root.
    Interval room_up = 50.0 * cent;
    Interval room_down = 50.0 * cent;
    /// Stress at the playing swing stays below this share of the proof strength.
    double most_proof_share = 0.8;
};

}  // namespace reedwright
