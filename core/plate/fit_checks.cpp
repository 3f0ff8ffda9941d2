#include "core/plate/fit_checks.hpp"

#include "core/vibration/vibration.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

double mm(Length length) {
    return in(length, millimetre);
}

Finding at_least(std::string kind, std::string where, Length value, Length limit, std::string fix) {
    return {std::move(kind), std::move(where), mm(value), mm(limit), true, "mm", std::move(fix)};
}

Box pad_box(const PlacedTongue& one) {
    const Length half = 0.5 * one.part.width.at_root();
    return {one.root.x - half, one.root.x + half, one.root.y - one.part.pad_length, one.root.y};
}

// From a point to a rectangle; below nothing inside it.
Length distance(const PlanePoint& point, const Box& box) {
    const Length zero = 0.0 * metre;
    const Length x = std::max(box.left - point.x, point.x - box.right);
    const Length y = std::max(box.back - point.y, point.y - box.front);
    if (x <= zero || y <= zero) return std::max(x, y);
    return std::hypot(x.value(), y.value()) * metre;
}

std::string place(const PlacedTongue& one) {
    return fmt::format("{} {}", one.cell, one.row);
}

class Checker {
public:
    Checker(const PlateSet& set, const std::vector<PlateReed>& reeds, const FitLimits& limits)
        : set_(set), reeds_(reeds), limits_(limits) {}

    std::vector<Finding> findings() {
        for (const Plate& plate : set_.plates) {
            check_webs(plate);
            for (const PlacedTongue& one : plate.tongues) {
                check_edges(plate, one);
                check_rivets(plate, one);
                if (set_.comb) check_cell(plate, one);
            }
            for (std::size_t i = 0; i < plate.fixings.size(); ++i) check_fixing(plate, i);
        }
        if (set_.comb) check_walls();
        return std::move(findings_);
    }

private:
    void check_webs(const Plate& plate) {
        std::vector<const PlacedTongue*> sorted;
        for (const PlacedTongue& one : plate.tongues) sorted.push_back(&one);
        std::sort(sorted.begin(), sorted.end(), [](const auto* a, const auto* b) { return a->root.x < b->root.x; });
        for (std::size_t i = 1; i < sorted.size(); ++i) {
            // Pads reach as far as slots, or farther where the root is the widest.
            const Length web = box_of(sorted[i]->slot).left - box_of(sorted[i - 1]->slot).right;
            findings_.push_back(at_least("web", fmt::format("{} and {}", place(*sorted[i - 1]), place(*sorted[i])), web,
                                         limits_.web, "a wider spacing, or narrower tongues"));
        }
    }

    void check_edges(const Plate& plate, const PlacedTongue& one) {
        const Box slot = box_of(one.slot);
        const Box pad = pad_box(one);
        const Length least = std::min(
            {slot.left, plate.length - slot.right, plate.width - slot.front, pad.left, plate.length - pad.right});
        findings_.push_back(
            at_least("edge", place(one), least, limits_.edge, "a larger plate, or the reed farther from its edge"));
        findings_.push_back(at_least("pad on plate", place(one), pad.back, 0.0 * metre,
                                     "the root line farther from the back edge, or a shorter pad"));
    }

    void check_rivets(const Plate& plate, const PlacedTongue& one) {
        const Box pad = pad_box(one);
        for (const Hole& rivet : one.rivets) {
            const Length radius = 0.5 * rivet.diameter;
            const PlanePoint& at = rivet.centre;
            const Length to_pad =
                std::min({at.x - pad.left, pad.right - at.x, at.y - pad.back, pad.front - at.y}) - radius;
            findings_.push_back(
                at_least("rivet in pad", place(one), to_pad, radius, "a thinner rivet, or a longer pad"));
            const Length to_edge = std::min({at.x, plate.length - at.x, at.y, plate.width - at.y}) - radius;
            findings_.push_back(
                at_least("rivet to edge", place(one), to_edge, radius, "the root line farther from the back edge"));
        }
    }

    const CombCell* cell_of(const PlacedTongue& one) const {
        for (const CombCell& cell : set_.comb->cells)
            if (cell.cell == one.cell) return &cell;
        return nullptr;
    }

    void check_cell(const Plate& plate, const PlacedTongue& one) {
        const CombCell* cell = cell_of(one);
        if (cell == nullptr) return;
        const Box slot = box_of(one.slot);
        findings_.push_back(
            at_least("slot in cell", place(one),
                     std::min({slot.left - cell->left, cell->right - slot.right, slot.back - cell->back}), limits_.cell,
                     "a wider or longer cell, or the root line farther forward"));
        if (!plate.inner) return;
        const Box pad = pad_box(one);
        findings_.push_back(
            at_least("pad in cell", place(one),
                     std::min({pad.left - cell->left, cell->right - pad.right, pad.back - cell->back}), limits_.cell,
                     "a longer cell (a smaller comb.cell_back), a shorter pad, or a larger plates.root_line"));
        const PlateReed& reed = reeds_[one.reed];
        const Length down = reed.reed.slot.rest_gap + reed.reed.tongue.thickness.largest() + reed.swing;
        findings_.push_back(at_least("room to swing in the cell", place(one), set_.comb->blank.thickness - down,
                                     0.0 * metre, "a higher comb"));
    }

    void check_fixing(const Plate& plate, std::size_t index) {
        const Hole& hole = plate.fixings[index];
        const PlanePoint& at = hole.centre;
        const Length radius = 0.5 * hole.diameter;
        const std::string where = fmt::format("{}, hole {}", plate.blank.name, index + 1);
        const std::string fix = "move the hole, or make it smaller";
        findings_.push_back(at_least("fixing to edge", where,
                                     std::min({at.x, plate.length - at.x, at.y, plate.width - at.y}) - radius,
                                     limits_.fixing, fix));
        Length to_reed = plate.length;
        for (const PlacedTongue& one : plate.tongues)
            to_reed = std::min({to_reed, distance(at, box_of(one.slot)), distance(at, pad_box(one))});
        findings_.push_back(at_least("fixing to reed", where, to_reed - radius, limits_.fixing, fix));
        if (!set_.comb) return;
        Length to_cell = plate.length;
        for (const CombCell& cell : set_.comb->cells)
            to_cell = std::min(to_cell, distance(at, {cell.left, cell.right, cell.back, plate.width}));
        findings_.push_back(at_least("fixing to cell", where, to_cell - radius, limits_.fixing, fix));
    }

    void check_walls() {
        const auto& cells = set_.comb->cells;
        for (std::size_t i = 1; i < cells.size(); ++i)
            findings_.push_back(at_least("comb wall", fmt::format("cells {} and {}", cells[i - 1].cell, cells[i].cell),
                                         cells[i].left - cells[i - 1].right, limits_.wall, "narrower cells"));
    }

    const PlateSet& set_;
    const std::vector<PlateReed>& reeds_;
    const FitLimits& limits_;
    std::vector<Finding> findings_;
};

}  // namespace

double Finding::margin() const {
    // Of the unit named: what sums of a few doubles lose is far less, what anyone can measure far more.
    constexpr double rounding = 1e-9;
    const double above = at_least ? value - limit : limit - value;
    if (above < 0.0 && above >= -rounding) return 0.0;
    return limit == 0.0 ? above : above / std::max(std::abs(limit), rounding);
}

std::vector<Finding> fit_findings(const PlateSet& set, const std::vector<PlateReed>& reeds, const FitLimits& limits) {
    return Checker(set, reeds, limits).findings();
}

SlotClearance slot_clearance(const Reed& reed, const Vibration& vibration, Length swing, const Tolerances& tolerances) {
    constexpr std::size_t samples = 201;
    const auto shape = vibration.shape(0, samples);
    // Slopes of the mode by differences; their squares' integral is within 1e-4 of the exact one for this many.
    double slope_squared = 0.0;
    for (std::size_t i = 1; i < shape.size(); ++i) {
        const double dx_m = (shape[i].at - shape[i - 1].at).value();
        if (dx_m > 0.0) slope_squared += std::pow(shape[i].deflection - shape[i - 1].deflection, 2) / dx_m;
    }
    const std::size_t last = shape.size() - 1;
    const double tip_slope =
        (shape[last].deflection - shape[last - 1].deflection) / (shape[last].at - shape[last - 1].at).value();
    // x(a) = h/2 phi' a - a^2/2 int phi'^2 is greatest where its derivative is nothing, or at the end of the swing.
    const double half_tip_m = 0.5 * reed.tongue.thickness.at_tip().value();
    const double farthest_m = swing.value();
    const double top_m = std::min(farthest_m, half_tip_m * tip_slope / slope_squared);
    const double outward_m = half_tip_m * tip_slope * top_m - 0.5 * top_m * top_m * slope_squared;

    const auto root_sum = [](std::initializer_list<Length> parts) {
        double sum = 0.0;
        for (const Length& part : parts) sum += part.value() * part.value();
        return std::sqrt(sum) * metre;
    };
    const Length half_slot = 0.5 * tolerances.slot_width;
    const Length half_tongue = 0.5 * tolerances.tongue_width;
    const Length stack = half_slot + half_tongue + tolerances.centring + tolerances.tilt;
    const Length outward = outward_m * metre;
    const Length clearance = reed.slot.clearance;
    return {clearance - stack,
            clearance - root_sum({half_slot, half_tongue, tolerances.centring, tolerances.tilt}),
            clearance - outward - tolerances.slot_length - tolerances.tongue_length,
            clearance - outward - root_sum({tolerances.slot_length, tolerances.tongue_length}),
            clearance + stack,
            outward};
}

std::vector<Finding> clearance_findings(const std::string& where, const SlotClearance& clearance,
                                        const FitLimits& limits) {
    const std::string fix = "closer tolerances, or more clearance";
    return {at_least("side clearance, worst case", where, clearance.side_worst, limits.clearance, fix),
            at_least("tip clearance while swinging, worst case", where, clearance.tip_worst, limits.clearance, fix),
            {"widest gap at a side", where, mm(clearance.side_widest), mm(limits.widest_gap), false, "mm",
             "less clearance, or closer tolerances"}};
}

}  // namespace reedwright
