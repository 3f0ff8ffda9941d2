#include "core/plate/plate_clashes.hpp"

#include "core/plate/fit_checks.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>

namespace reedwright {

namespace {

// Closer than this, edges touch: far below what a shop can set, far above rounding.
constexpr double same_place_m = 1e-9;

Box pad_of(const PlacedTongue& tongue) {
    const Length half = 0.5 * tongue.part.width.at_root();
    return {tongue.root.x - half, tongue.root.x + half, tongue.root.y - tongue.part.pad_length, tongue.root.y};
}

std::vector<PlanePoint> corners_of(const Box& box) {
    return {{box.left, box.back}, {box.right, box.back}, {box.right, box.front}, {box.left, box.front}};
}

double distance_to_edge_m(const PlanePoint& point, const PlanePoint& from, const PlanePoint& to) {
    const double along_x = (to.x - from.x).value();
    const double along_y = (to.y - from.y).value();
    const double reach_x = (point.x - from.x).value();
    const double reach_y = (point.y - from.y).value();
    const double share =
        std::clamp((reach_x * along_x + reach_y * along_y) / (along_x * along_x + along_y * along_y), 0.0, 1.0);
    return std::hypot(reach_x - share * along_x, reach_y - share * along_y);
}

// From a point to a polygon, 0 inside.
double distance_m(const PlanePoint& point, const std::vector<PlanePoint>& polygon) {
    double nearest = std::numeric_limits<double>::infinity();
    bool inside = false;
    for (std::size_t i = 0; i < polygon.size(); ++i) {
        const PlanePoint& a = polygon[i];
        const PlanePoint& b = polygon[(i + 1) % polygon.size()];
        nearest = std::min(nearest, distance_to_edge_m(point, a, b));
        // A ray to the right crosses this edge.
        if ((a.y > point.y) != (b.y > point.y) &&
            point.x < a.x + (b.x - a.x) * ((point.y - a.y).value() / (b.y - a.y).value()))
            inside = !inside;
    }
    return inside ? 0.0 : nearest;
}

bool meets(const Hole& hole, const std::vector<PlanePoint>& polygon) {
    return distance_m(hole.centre, polygon) < 0.5 * hole.diameter.value() + same_place_m;
}

class Clashes {
public:
    explicit Clashes(const PlateSet& set) : set_(set) {}

    std::vector<Diagnostic> find() {
        if (set_.comb) check_comb(*set_.comb);
        for (const Plate& plate : set_.plates) {
            check_pads(plate);
            check_fixings(plate);
            if (set_.comb && plate.inner) check_cells(plate);
        }
        return std::move(found_);
    }

private:
    void check_comb(const Comb& comb) {
        if (!(comb.blank.thickness.value() > same_place_m))
            add(fmt::format("comb.height: {} is not more than 0 mm", to_text(comb.blank.thickness)), {});
        for (const CombCell& cell : comb.cells) {
            if (!(cell.back.value() > same_place_m))
                add(fmt::format("comb.cell_back: {} leaves no wall behind the cells", to_text(cell.back)),
                    "more than 0 mm");
            if (!((cell.right - cell.left).value() > same_place_m))
                add(fmt::format("comb.cell_width: {} is not more than 0 mm", to_text(cell.right - cell.left)), {});
        }
    }

    void check_pads(const Plate& plate) {
        for (const PlacedTongue& tongue : plate.tongues) {
            const Length back = pad_of(tongue).back;
            if (back.value() < -same_place_m)
                add(fmt::format("{}: its pad reaches {} beyond the plate's back edge", place_of(tongue),
                                to_text(-back)),
                    fmt::format("a root line at least {} from the edge", to_text(tongue.part.pad_length)));
        }
    }

    void check_fixings(const Plate& plate) {
        for (std::size_t i = 0; i < plate.fixings.size(); ++i) {
            const Hole& hole = plate.fixings[i];
            const std::string name = fmt::format("fixings: a hole of {} at {}, {}", to_text(hole.diameter),
                                                 to_text(hole.centre.x), to_text(hole.centre.y));
            const Length radius = 0.5 * hole.diameter;
            if (!(radius.value() > same_place_m)) add(name + " is not a hole", "a diameter of more than 0 mm");
            const Length nearest =
                std::min({hole.centre.x, hole.centre.y, plate.length - hole.centre.x, plate.width - hole.centre.y});
            if (nearest.value() < radius.value() + same_place_m)
                add(fmt::format("{} cuts an edge of the plate, {} long and {} wide", name, to_text(plate.length),
                                to_text(plate.width)),
                    fmt::format("its middle more than {} inside", to_text(radius)));
            for (const PlacedTongue& tongue : plate.tongues) {
                if (meets(hole, tongue.slot.corners)) add(name + " cuts the slot of " + place_of(tongue), elsewhere);
                if (meets(hole, corners_of(pad_of(tongue))))
                    add(name + " lies under the pad of " + place_of(tongue), elsewhere);
            }
            for (std::size_t other = 0; other < i; ++other) {
                const Hole& known = plate.fixings[other];
                const double apart =
                    std::hypot((hole.centre.x - known.centre.x).value(), (hole.centre.y - known.centre.y).value());
                if (apart < 0.5 * (hole.diameter + known.diameter).value() + same_place_m)
                    add(name + " meets another", elsewhere);
            }
            check_in_comb(name, hole);
        }
    }

    void check_in_comb(const std::string& name, const Hole& hole) {
        if (!set_.comb) return;
        for (const CombCell& cell : set_.comb->cells)
            if (meets(hole, corners_of({cell.left, cell.right, cell.back, front_of_comb()})))
                add(fmt::format("{} cuts cell {} of the comb, from {} to {}", name, cell.cell, to_text(cell.left),
                                to_text(cell.right)),
                    elsewhere);
    }

    // What lets a pad into its cell, with the room behind it that the fit is held against.
    static std::string deeper_cell(Length pad_back, Length root_line) {
        const Length room = FitLimits{}.cell;
        const std::string root_lines = fmt::format("plates.root_line of at least {}", to_text(root_line + room));
        return fmt::format("{}{}; that leaves {} behind the pad, which 'check' wants unless limits.cell says otherwise",
                           pad_back > room ? fmt::format("comb.cell_back of at most {}, or ", to_text(pad_back - room))
                                           : std::string(),
                           root_lines, to_text(room));
    }

    // Tongues on inner faces lie inside their cells.
    void check_cells(const Plate& plate) {
        for (const PlacedTongue& tongue : plate.tongues) {
            const auto cell = std::find_if(set_.comb->cells.begin(), set_.comb->cells.end(),
                                           [&](const CombCell& one) { return one.cell == tongue.cell; });
            if (cell == set_.comb->cells.end()) continue;
            const Length back = pad_of(tongue).back;
            if (back.value() < cell->back.value() - same_place_m)
                add(fmt::format("{}: its pad reaches back to {}, but its cell of the comb only to {}", place_of(tongue),
                                to_text(back), to_text(cell->back)),
                    deeper_cell(back, tongue.root.y + cell->back - back));
            const Length half = 0.5 * std::max(tongue.part.width.largest(), tongue.part.width.at_root());
            if ((tongue.root.x - half).value() < cell->left.value() - same_place_m ||
                (tongue.root.x + half).value() > cell->right.value() + same_place_m)
                add(fmt::format("{}: {} wide, it does not fit its cell of the comb, {} wide", place_of(tongue),
                                to_text(2.0 * half), to_text(cell->right - cell->left)),
                    "a wider cell");
            if (tongue.part.thickness.largest().value() > set_.comb->blank.thickness.value() - same_place_m)
                add(fmt::format("{}: {} thick, it does not fit its cell of the comb, {} high", place_of(tongue),
                                to_text(tongue.part.thickness.largest()), to_text(set_.comb->blank.thickness)),
                    "a higher comb");
        }
    }

    Length front_of_comb() const { return box_of(set_.comb->blank.outline).front; }

    static std::string place_of(const PlacedTongue& tongue) {
        return fmt::format("cell {} {}", tongue.cell, tongue.row);
    }

    void add(const std::string& message, const std::string& hint) {
        // Plates of one comb share their fixings.
        if (std::any_of(found_.begin(), found_.end(),
                        [&](const Diagnostic& known) { return known.message == message; }))
            return;
        Diagnostic clash;
        clash.message = message;
        clash.hint = hint;
        found_.push_back(std::move(clash));
    }

    static constexpr const char* elsewhere = "another place for it, or a smaller diameter";

    const PlateSet& set_;
    std::vector<Diagnostic> found_;
};

}  // namespace

std::vector<Diagnostic> clashes_of(const PlateSet& set) {
    return Clashes(set).find();
}

}  // namespace reedwright
