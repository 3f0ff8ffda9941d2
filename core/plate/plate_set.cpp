#include "core/plate/plate_set.hpp"

#include "core/input/diagnostic.hpp"
#include "core/plate/plate_clashes.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

namespace reedwright {

namespace {

const Length zero = 0.0 * metre;
const Length same_length = 1e-9 * metre;

// Up to the next half millimetre: what a shop saws to.
Length up_to_half(Length length) {
    constexpr double half_mm = 0.5;
    return std::ceil(in(length, millimetre) / half_mm - 1e-6) * half_mm * millimetre;
}

// From a tongue's frame, x from root to tip, into the plate's: the tip points to larger y. Seen through the plate, a
// tongue of the lower face is mirrored.
PlanePoint turned(const PlanePoint& point, const PlanePoint& root, bool upper) {
    return {root.x + (upper ? -1.0 : 1.0) * point.y, root.y + point.x};
}

Outline turned(const Outline& outline, const PlanePoint& root, bool upper) {
    Outline result = outline;
    for (PlanePoint& corner : result.corners) corner = turned(corner, root, upper);
    if (!upper) std::reverse(result.corners.begin(), result.corners.end());
    return result;
}

Outline rectangle(Length length, Length width) {
    return {{{zero, zero}, {length, zero}, {length, width}, {zero, width}}, zero};
}

std::string place_text(const PlateReed& one) {
    return fmt::format("cell {} {}", one.cell, one.row);
}

std::string ascii_name(std::string text) {
    for (char& c : text)
        if (static_cast<unsigned char>(c) > 126 || static_cast<unsigned char>(c) < 32) c = '?';
    std::replace(text.begin(), text.end(), '#', 's');
    return text;
}

void add_fault(std::vector<Diagnostic>& faults, const std::string& message, const std::string& hint) {
    Diagnostic fault;
    fault.message = message;
    fault.hint = hint;
    faults.push_back(fault);
}

class Layout {
public:
    Layout(const std::vector<PlateReed>& reeds, const PlateRules& rules) : reeds_(reeds), rules_(rules) {
        for (const PlateReed& one : reeds) {
            blanks_.push_back(lay_out_blank(one.reed));
            if (std::find(rows_.begin(), rows_.end(), one.row) == rows_.end()) rows_.push_back(one.row);
            last_cell_ = std::max(last_cell_, one.cell);
        }
    }

    std::vector<Plate> plates() {
        std::vector<Plate> result;
        if (rules_.carries == PlateCarries::row)
            for (const std::string& row : rows_) result.push_back(plate_of_row(row));
        else
            for (int cell = 1; cell <= last_cell_; ++cell) result.push_back(plate_of_cell(cell));
        if (!faults_.empty()) throw InputError(std::move(faults_));
        return result;
    }

private:
    Plate plate_of_row(const std::string& row) {
        Plate plate;
        plate.inner = std::find(rules_.inner.begin(), rules_.inner.end(), row) != rules_.inner.end();
        plate.blank.name = ascii_name(row + " plate");
        // Fixings in the corners stand beside the outer cells, which are narrower than the spacing.
        const Length beside = rules_.fixing_inset ? *rules_.fixing_inset + 0.5 * rules_.fixing_diameter : zero;
        const Length first = rules_.first.value_or(0.5 * rules_.spacing + std::max(rules_.edge, beside));
        // Root lines, length and width are those of all rows, so that the plates lie on one another.
        const Length root_line = root_line_of([](const PlateReed&) { return true; });
        for (std::size_t i = 0; i < reeds_.size(); ++i) {
            if (reeds_[i].row != row) continue;
            place(i, {first + static_cast<double>(reeds_[i].cell - 1) * rules_.spacing, root_line}, true, plate);
        }
        Length front = zero;
        for (const PlateReed& one : reeds_)
            front = std::max(front, root_line + one.reed.tongue.length() + one.reed.slot.clearance);
        plate.length =
            rules_.length.value_or(up_to_half(2.0 * first + static_cast<double>(last_cell_ - 1) * rules_.spacing));
        plate.width = rules_.width.value_or(up_to_half(front + rules_.edge));
        finish(plate);
        return plate;
    }

    Plate plate_of_cell(int cell) {
        Plate plate;
        plate.blank.name = fmt::format("plate {}", cell);
        const Length root_line = root_line_of([&](const PlateReed& one) { return one.cell == cell; });
        std::vector<std::size_t> here;
        for (const std::string& row : rows_)
            for (std::size_t i = 0; i < reeds_.size(); ++i)
                if (reeds_[i].cell == cell && reeds_[i].row == row) here.push_back(i);
        if (here.empty()) {
            fault(fmt::format("cell {}: it has no reed, but cell {} has", cell, last_cell_), "cells without a gap");
            return plate;
        }
        Length widest = zero;
        Length front = zero;
        for (const std::size_t i : here) {
            const Reed& reed = reeds_[i].reed;
            widest = std::max(widest, reed.tongue.width.largest() + 2.0 * reed.slot.clearance);
            front = std::max(front, root_line + reed.tongue.length() + reed.slot.clearance);
        }
        const Length between = static_cast<double>(here.size() - 1) * rules_.spacing;
        plate.length = rules_.length.value_or(up_to_half(between + widest + 2.0 * rules_.edge));
        plate.width = rules_.width.value_or(up_to_half(front + rules_.edge));
        for (std::size_t k = 0; k < here.size(); ++k)
            place(here[k], {0.5 * (plate.length - between) + static_cast<double>(k) * rules_.spacing, root_line},
                  k % 2 == 0, plate);
        finish(plate);
        return plate;
    }

    template <class Counts>
    Length root_line_of(Counts counts) const {
        if (rules_.root_line) return *rules_.root_line;
        Length longest = zero;
        for (const PlateReed& one : reeds_)
            if (counts(one)) longest = std::max(longest, one.reed.pad.length);
        return longest + rules_.edge;
    }

    void place(std::size_t index, const PlanePoint& root, bool upper, Plate& plate) {
        const PlateReed& one = reeds_[index];
        const ReedBlank& blank = blanks_[index];
        PlacedTongue placed{index, one.cell, one.row, root, upper, blank.tongue, {}, {}};
        const std::string note = one.reed.note ? fmt::format(" {}", one.reed.note->name()) : std::string();
        placed.part.name = ascii_name(fmt::format("tongue {} {}{}", one.cell, one.row, note));
        placed.slot = turned(blank.plate.slots.front(), root, upper);
        for (const Hole& hole : blank.plate.holes)
            placed.rivets.push_back({turned(hole.centre, root, upper), hole.diameter});
        if (plate.tongues.empty()) {
            plate.blank.material = blank.plate.material;
            plate.blank.thickness = blank.plate.thickness;
            plate.rivet_material = rules_.rivet_material.value_or(blank.plate.material);
        } else if (plate.blank.material != blank.plate.material ||
                   std::abs((plate.blank.thickness - blank.plate.thickness).value()) > same_length.value()) {
            fault(fmt::format("{}: its plate is of {}, {} thick, but that of the reeds before it is of {}, {} thick",
                              place_text(one), blank.plate.material, to_text(blank.plate.thickness),
                              plate.blank.material, to_text(plate.blank.thickness)),
                  "one plate has one material and thickness");
        }
        plate.tongues.push_back(std::move(placed));
    }

    // Outline and holes, and what cannot be drawn.
    void finish(Plate& plate) {
        plate.blank.outline = rectangle(plate.length, plate.width);
        for (const PlacedTongue& one : plate.tongues) {
            plate.blank.slots.push_back(one.slot);
            plate.blank.holes.insert(plate.blank.holes.end(), one.rivets.begin(), one.rivets.end());
            const Box box = box_of(one.slot);
            const PlateReed& reed = reeds_[one.reed];
            if (box.front >= plate.width || box.back <= zero)
                fault(fmt::format("{}: its slot reaches from {} to {} across a plate {} wide", place_text(reed),
                                  to_text(box.back), to_text(box.front), to_text(plate.width)),
                      fmt::format("a plate at least {} wide, or a shorter tongue",
                                  to_text(up_to_half(box.front + rules_.edge))));
            if (box.left <= zero || box.right >= plate.length)
                fault(fmt::format("{}: its slot reaches from {} to {} along a plate {} long", place_text(reed),
                                  to_text(box.left), to_text(box.right), to_text(plate.length)),
                      fmt::format("a plate at least {} long", to_text(up_to_half(box.right + rules_.edge))));
        }
        check_neighbours(plate);
        std::vector<PlanePoint> places = rules_.fixings;
        if (rules_.fixing_inset) {
            const Length inset = *rules_.fixing_inset;
            places = {{inset, inset},
                      {plate.length - inset, inset},
                      {plate.length - inset, plate.width - inset},
                      {inset, plate.width - inset}};
        }
        for (const PlanePoint& at : places) plate.fixings.push_back({at, rules_.fixing_diameter});
        plate.blank.holes.insert(plate.blank.holes.end(), plate.fixings.begin(), plate.fixings.end());
    }

    void check_neighbours(const Plate& plate) {
        for (std::size_t i = 0; i < plate.tongues.size(); ++i)
            for (std::size_t j = i + 1; j < plate.tongues.size(); ++j) {
                const Box a = box_of(plate.tongues[i].slot);
                const Box b = box_of(plate.tongues[j].slot);
                if (a.right < b.left || b.right < a.left) continue;
                fault(fmt::format("{} and {}: their slots meet", place_text(reeds_[plate.tongues[i].reed]),
                                  place_text(reeds_[plate.tongues[j].reed])),
                      fmt::format("a spacing of more than {}, or narrower tongues", to_text(rules_.spacing)));
            }
    }

    void fault(const std::string& message, const std::string& hint) { add_fault(faults_, message, hint); }

    const std::vector<PlateReed>& reeds_;
    const PlateRules& rules_;
    std::vector<ReedBlank> blanks_;
    std::vector<std::string> rows_;
    int last_cell_ = 0;
    std::vector<Diagnostic> faults_;
};

Comb comb_of(const std::vector<Plate>& plates, const PlateRules& rules, const CombRules& comb) {
    const Plate& first = plates.front();
    Comb result;
    std::map<int, Length> middles;
    for (const Plate& plate : plates)
        for (const PlacedTongue& one : plate.tongues) middles.emplace(one.cell, one.root.x);
    for (const auto& [cell, middle] : middles)
        result.cells.push_back({cell, middle - 0.5 * comb.cell_width, middle + 0.5 * comb.cell_width, comb.cell_back});
    std::vector<Diagnostic> faults;
    const auto fault = [&](const std::string& message, const std::string& hint) { add_fault(faults, message, hint); };
    if (comb.cell_width >= rules.spacing)
        fault(fmt::format("comb.cell_width: {} leaves no wall at a spacing of {}", to_text(comb.cell_width),
                          to_text(rules.spacing)),
              "a narrower cell");
    if (!result.cells.empty() && (result.cells.front().left <= zero || result.cells.back().right >= first.length))
        fault("comb: its outer cells are open to the sides", "a longer plate, or narrower cells");
    if (comb.cell_back >= first.width)
        fault(fmt::format("comb.cell_back: {} is beyond the plate's width, {}", to_text(comb.cell_back),
                          to_text(first.width)),
              {});
    if (!faults.empty()) throw InputError(std::move(faults));

    // Counter-clockwise: along the back, then from right to left along the front, in and out of each cell.
    Outline outline{{{zero, zero}, {first.length, zero}, {first.length, first.width}}, zero};
    for (auto cell = result.cells.rbegin(); cell != result.cells.rend(); ++cell) {
        outline.corners.push_back({cell->right, first.width});
        outline.corners.push_back({cell->right, cell->back});
        outline.corners.push_back({cell->left, cell->back});
        outline.corners.push_back({cell->left, first.width});
    }
    outline.corners.push_back({zero, first.width});
    result.blank = {"comb", comb.material, comb.height, outline, {}, first.fixings};
    return result;
}

}  // namespace

Box box_of(const Outline& outline) {
    Box box{outline.corners.front().x, outline.corners.front().x, outline.corners.front().y, outline.corners.front().y};
    for (const PlanePoint& corner : outline.corners) {
        box.left = std::min(box.left, corner.x);
        box.right = std::max(box.right, corner.x);
        box.back = std::min(box.back, corner.y);
        box.front = std::max(box.front, corner.y);
    }
    return box;
}

PlateSet lay_out_plates(const std::vector<PlateReed>& reeds, const PlateRules& rules,
                        const std::optional<CombRules>& comb) {
    if (reeds.empty()) throw InputError("there is no reed to lay out");
    PlateSet set;
    set.plates = Layout(reeds, rules).plates();
    if (comb && rules.carries == PlateCarries::row) set.comb = comb_of(set.plates, rules, *comb);
    std::vector<Diagnostic> clashes = clashes_of(set);
    if (!clashes.empty()) throw InputError(std::move(clashes));
    return set;
}

std::vector<Placement> assembled(const PlateSet& set) {
    const Length apart = 1.0 * millimetre;
    const Length no_comb = 6.0 * millimetre;
    std::vector<Placement> result;
    const bool rows =
        set.comb || std::any_of(set.plates.begin(), set.plates.end(), [](const Plate& plate) { return plate.inner; });
    if (!rows) {
        Length x = zero;
        for (std::size_t i = 0; i < set.plates.size(); ++i) {
            result.push_back({i, x, zero, zero, false});
            x += set.plates[i].length + apart;
        }
        return result;
    }
    const Length height = set.comb ? set.comb->blank.thickness : no_comb;
    if (set.comb) result.push_back({set.plates.size(), zero, set.plates.front().width, height, true});
    // Two plates close the comb; a set of pairs has more, which lie in front of it.
    std::size_t inner = 0;
    std::size_t outer = 0;
    for (std::size_t i = 0; i < set.plates.size(); ++i) {
        const Plate& plate = set.plates[i];
        const std::size_t beside = plate.inner ? inner++ : outer++;
        const Length y = static_cast<double>(beside) * (plate.width + apart);
        // Turned over about x, a plate reaches from -width to 0 in y and from -thickness to 0 in z.
        const Length z = plate.inner ? height + plate.blank.thickness : zero;
        result.push_back({i, zero, y + plate.width, z, true});
    }
    return result;
}

}  // namespace reedwright
