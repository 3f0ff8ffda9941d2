// A tongue and what it is mounted in: all that a tongue file says.
#pragma once

#include "core/material/material.hpp"
#include "core/quantity/quantity.hpp"
#include "core/tongue/profile.hpp"
#include "core/tuning/note.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A lump of mass on the tongue: a drop of solder, a trial weight.
struct Load {
    /// Distance of its middle from the root.
    Length at;
    Mass mass;
    /// Extent along the tongue; its rotary inertia is that of a bar, m size^2 / 12. May be zero.
    Length size = 0.0 * metre;
};

/// The vibrating strip from the root line to the tip.
struct Tongue {
    Material material;
    Profile thickness;
    Profile width;
    std::vector<Load> loads;

    Length length() const { return thickness.length(); }
    /// Mass of the strip without its loads.
    Mass mass() const { return material.density.value * integral_of_product(thickness, width); }
};

/// How the root is held. The seat gives like a rotation spring k = E I0 / (give h0) at the root
/// line, I0 = b0 h0^3 / 12, with the root as made: later cuts leave it alone.
struct Seat {
    /// Extra free length in root thicknesses; 0 is the ideal clamp.
    double give = 0.0;
    /// One standard deviation of give.
    double give_sigma = 0.0;
    Length root_thickness;
    Length root_width;
    /// Whether the file states the give; otherwise it is the bonded value, which a calibration replaces.
    bool stated = false;
    /// Correlation of the give with the modulus, where one calibration tells both.
    double modulus_correlation = 0.0;
};

enum class Mounting { closing, opening };

/// The slot under the tongue.
struct Slot {
    Length clearance = 0.03 * millimetre;
    Length corner_radius = 0.1 * millimetre;
    Length plate_thickness = 0.95 * millimetre;
    Material plate_material;
    /// Height of the tip above the plate's face at rest.
    Length rest_gap = 0.12 * millimetre;
    Mounting mounting = Mounting::closing;
};

/// The channel that the reed speaks into.
struct Cell {
    Volume volume;
    /// Of the air that moves to the reed; only their ratio counts.
    Length inlet_length;
    Area inlet_area;
    /// Whether the file states them; otherwise they are the usual ones, which a comb replaces.
    bool volume_stated = false;
    bool inlet_length_stated = false;
    bool inlet_area_stated = false;
};

/// Moist air around the reed.
struct Air {
    Temperature temperature = celsius(20.0);
    /// Relative humidity, 0 to 1.
    double humidity = 0.5;
};

/// The pad behind the root, riveted onto the plate, and the blank of plate around it.
struct Pad {
    Length length = 4.0 * millimetre;
    Length rivet_diameter = 0.8 * millimetre;
    int rivets = 1;
    /// Plate left around the slot and the pad in the blank of a single reed.
    Length plate_margin = 3.0 * millimetre;
};

/// One standard deviation of what the file states as measured, where it says nothing better: a
/// micrometer on thin strip, a travelling rule (defaults: common practice, no source). Each is one
/// error common to all stations. The material brings its own; empty here leaves it in force.
struct Spread {
    Length thickness = 2.0 * micrometre;
    Length length = 0.03 * millimetre;
    Length width = 0.01 * millimetre;
    std::optional<double> modulus_share;
    std::optional<double> density_share;
};

struct Reed {
    std::optional<Note> note;
    Frequency a4 = 440.0 * hertz;
    Tongue tongue;
    Seat seat;
    Slot slot;
    Cell cell;
    Pad pad;
    /// Empty: in vacuo.
    std::optional<Air> air = Air{};
    /// Quality factor of the plucked reed; empty: from material, air and seat.
    std::optional<double> quality;
    /// Of the metal; the dimensions hold at 20 degC.
    Temperature temperature = celsius(20.0);

    Spread spread;

    /// What was left out of the file and the value taken instead: "seat.give 0.64".
    std::vector<std::string> assumed;

    /// The cautions of all materials used, each once.
    std::vector<std::string> cautions() const;
};

/// The seat of a pad bonded all over to a solid plate, in root thicknesses:
/// s = 0.64 (E_tongue / E_plate)^0.28, whatever the length and thickness. A fit to solid finite
/// elements that holds within 0.6 cent for pads longer than 2 mm. A rivet or a partial contact
/// gives more; by how much is not known and must be calibrated.
double bonded_give(Pressure tongue_modulus, Pressure plate_modulus);

}  // namespace reedwright
