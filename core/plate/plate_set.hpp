// The plates of an instrument: which reed sits where, and the parts that a shop makes.
#pragma once

#include "core/plate/reed_blank.hpp"
#include "core/tongue/reed.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// What plates are laid out by.
enum class PlateCarries {
    /// One plate for each row, over a comb with a cell for each reed: mouth organs.
    row,
    /// One plate for each cell with all its rows side by side, faces in turn: accordions, reed organs.
    cell
};

/// Screws clamp and can be taken out again; pins are driven in and hold by friction alone; wax needs no holes and seals
/// (common practice, no source).
enum class Fixing { screws, pins, wax };

struct PlateRules {
    PlateCarries carries = PlateCarries::row;
    /// From the middle of a reed to that of the next.
    Length spacing = 7.5 * millimetre;
    /// A plate of a row: from its left edge to the middle of the first cell; left out: half a spacing, and the edge
    /// or the fixings in the corners, whichever takes more.
    std::optional<Length> first;
    /// From the plate's back edge to the root lines; left out: the longest pad and the edge.
    std::optional<Length> root_line;
    /// Left out: as long and as wide as the reeds need, to the next half millimetre.
    std::optional<Length> length;
    std::optional<Length> width;
    /// Metal kept around slots and pads where length and width are left out.
    Length edge = 2.0 * millimetre;
    /// Rows whose tongues lie on the inner face, toward the comb; the others lie on the outer.
    std::vector<std::string> inner;
    Fixing fixing = Fixing::screws;
    Length fixing_diameter = 2.0 * millimetre;
    /// Places of the fixings from the lower left corner.
    std::vector<PlanePoint> fixings;
    /// In place of places: one in each corner, so far from both edges.
    std::optional<Length> fixing_inset;
    /// Of the rivets; left out: the plate's.
    std::optional<std::string> rivet_material;
};

/// The body between the plates of rows: a slab with a cell open to its front edge for each reed.
struct CombRules {
    std::string material;
    /// Between the plates.
    Length height = 6.0 * millimetre;
    Length cell_width = 5.5 * millimetre;
    /// From the plate's back edge to the cells' closed ends.
    Length cell_back = 1.5 * millimetre;
};

/// A reed and its place, as plates are laid out from it.
struct PlateReed {
    int cell;
    std::string row;
    Reed reed;
    /// Half of peak to peak at the tip.
    Length swing = 0.0 * metre;
};

/// A tongue on its plate, in the plate's frame: x along the plate from its left edge, y from its back edge toward the
/// tips, z up from its lower face.
struct PlacedTongue {
    /// Index of the reed in the instrument.
    std::size_t reed;
    int cell;
    std::string row;
    /// The middle of the root line.
    PlanePoint root;
    /// Lies on the upper face; otherwise on the lower, its profile downward.
    bool on_upper_face;
    TonguePart part;
    Outline slot;
    std::vector<Hole> rivets;
};

/// Drawn with the tongues of a row's plate on its upper face.
struct Plate {
    /// blank.slots and blank.holes hold the slots, and the rivet holes followed by the holes for the fixings.
    PlateBlank blank;
    Length length;
    Length width;
    std::vector<PlacedTongue> tongues;
    std::vector<Hole> fixings;
    std::string rivet_material;
    /// The tongues lie toward the comb when the plate is mounted.
    bool inner = false;
};

/// A cell of the comb: a rectangle open at the front, in the frame of the plates.
struct CombCell {
    int cell;
    Length left;
    Length right;
    Length back;
};

struct Comb {
    /// A slab whose outline runs around the cells; its holes take the fixings.
    PlateBlank blank;
    std::vector<CombCell> cells;
};

struct PlateSet {
    std::vector<Plate> plates;
    std::optional<Comb> comb;
};

/// Lays out the plates. A tongue's slot is that of its blank (lay_out_blank()), turned so that the tip points away
/// from the back edge. Cells are counted from the left. In a plate of a cell the rows stand side by side in their
/// order, the first on the upper face, the next on the lower, and so on.
/// Throws InputError with every part that cannot be drawn: a slot longer or wider than a stated plate, slots that meet
/// their neighbours, plates of a row whose reeds differ in plate thickness or material, and all that clashes_of()
/// finds.
PlateSet lay_out_plates(const std::vector<PlateReed>& reeds, const PlateRules& rules,
                        const std::optional<CombRules>& comb);

/// Where a placed plate of an assembly stands: the plate's frame is turned over about x when flipped, then moved.
struct Placement {
    /// Index of the plate; the comb when it is the number of plates.
    std::size_t part;
    Length x;
    Length y;
    Length z;
    bool flipped;
};

/// The set as assembled, z up. Plates of rows: the comb lies from z = 0 to its height, plates with their tongues on
/// the inner face above it, those with their tongues on the outer face below, so that all tongues point down; without
/// a comb a gap of 6 mm takes its place, and further plates are laid beside. Plates of cells stand in a row on z = 0, a
/// millimetre apart.
std::vector<Placement> assembled(const PlateSet& set);

/// The extremes of an outline in x and y.
struct Box {
    Length left;
    Length right;
    Length back;
    Length front;
};
Box box_of(const Outline& outline);

}  // namespace reedwright
