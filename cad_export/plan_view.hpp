// A plate or comb seen from above, with ordinates, names of slots and numbers of holes.
#pragma once

#include "cad_export/figure.hpp"
#include "cad_export/shop_sheet.hpp"

#include <string>
#include <vector>

namespace reedwright::drawing {

struct TonguePlan {
    Outline outline;
    bool hidden;
};

struct NumberedHole {
    Hole hole;
    std::string number;
    std::string purpose;
    bool rivet;
};

/// A slot or cell: its name stands beyond the front edge, its middle is dimensioned at the back edge.
struct NamedMiddle {
    Length x;
    /// Where it ends toward the front.
    Length front;
    std::string name;
};

struct Level {
    Length y;
    /// Where the line to its ordinate begins.
    Length from_x;
    std::string what;
};

/// What a view shows, in the part's own frame.
struct PlanSubject {
    std::string caption;
    Outline outline;
    std::vector<Outline> openings;
    std::vector<TonguePlan> tongues;
    std::vector<NumberedHole> holes;
    std::vector<NamedMiddle> middles;
    /// Dimensioned from the back edge beside holes.
    std::vector<Level> levels;
};

/// Slots, tongues, rivet holes and fixings; holes numbered as in hole_table() from a number on.
PlanSubject subject_of(const Plate& plate, const ShopSheet& shop, std::size_t first_hole = 1);
/// The comb with its cells.
PlanSubject subject_of(const Comb& comb, const ShopSheet& shop);

/// The view, its datum, the part's lower left corner, at (0, 0) of the figure. Labels along the part may take a room
/// of a given length, centred. Throws std::invalid_argument where they do not fit it.
Figure plan_view(const PlanSubject& subject, double scale, double room_mm,
                 const std::shared_ptr<const TextRuler>& ruler);

/// An outline as a shape on paper: x to the right, y upward from the figure's zero.
Shape shape_of(const Outline& outline, double scale, Pen pen);

}  // namespace reedwright::drawing
