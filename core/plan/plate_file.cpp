#include "core/plan/plate_file.hpp"

#include "core/tongue/tongue_shape_file.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace reedwright {

namespace {

const Range<Length> plate_range{2.0 * millimetre, 1000.0 * millimetre};
const Range<Length> part_range{0.0 * millimetre, 200.0 * millimetre};
const Range<Length> tolerance_range{0.0 * millimetre, 1.0 * millimetre};

std::vector<PlanePoint> read_points(Section& section, std::string_view key) {
    std::vector<PlanePoint> points;
    const Node* list = section.find(key, false);
    if (list == nullptr) return points;
    if (list->kind != Node::Kind::list) {
        section.fault(*list, key, "must be a list of places, [[5 mm, 4 mm], [60 mm, 4 mm]]");
        return points;
    }
    for (std::size_t i = 0; i < list->list.size(); ++i) {
        const Node& pair = list->list[i];
        const std::string name = fmt::format("{}[{}]", key, i + 1);
        if (pair.kind != Node::Kind::list || pair.list.size() != 2) {
            section.fault(pair, name, "a place is a pair, [along the plate, across it]");
            continue;
        }
        const auto x = section.value_of<Length>(pair.list[0], name, plate_range);
        const auto y = section.value_of<Length>(pair.list[1], name, {0.0 * metre, plate_range.high});
        if (x && y) points.push_back({*x, *y});
    }
    return points;
}

// Names of rows of the design; empty when the key is absent.
std::vector<std::string> read_rows(Section& section, std::string_view key, const Design& design) {
    std::vector<std::string> named;
    const Node* list = section.find(key, false);
    if (list == nullptr) return named;
    if (list->kind != Node::Kind::list) {
        section.fault(*list, key, "must be a list of rows, [blow]");
        return named;
    }
    const auto rows = design.instrument.rows();
    for (const Node& row : list->list) {
        if (std::find(rows.begin(), rows.end(), row.scalar) == rows.end() && !rows.empty()) {
            const std::string near = nearest_word(row.scalar, rows);
            section.fault(
                row, key, fmt::format("'{}' is no row of the design", row.scalar),
                near.empty() ? fmt::format("rows: {}", fmt::join(rows, ", ")) : fmt::format("did you mean {}?", near));
        }
        named.push_back(row.scalar);
    }
    return named;
}

// A value, or what stands in its place, which is then told.
void take(const std::optional<Length>& given, Length& value, const std::string& name, AirRules& air) {
    if (given)
        value = *given;
    else
        air.assumed.push_back(fmt::format("{} {}", name, to_text(value)));
}

void read_flatness(Section& plates, AirRules& air) {
    const Node* out_of_flat = plates.find("out_of_flat", false);
    take(plates.optional<Length>("out_of_flat", {0.0 * millimetre, 2.0 * millimetre}), air.out_of_flat,
         "plates.out_of_flat", air);
    const auto over = plates.optional<Length>("over", {5.0 * millimetre, 1000.0 * millimetre});
    if (over && out_of_flat == nullptr)
        plates.fault(*plates.find("over", false), "over", "is the length over which plates.out_of_flat was measured",
                     "state both: out_of_flat: 0.02 mm, over: 100 mm");
    take(over, air.over, "plates.over", air);
    take(plates.optional<Length>("roughness", {0.0 * millimetre, 0.2 * millimetre}), air.roughness, "plates.roughness",
         air);
}

// What wax does without.
void refuse_with_wax(Section& fixings, std::initializer_list<std::string_view> keys) {
    for (const std::string_view key : keys)
        if (const Node* node = fixings.find(key, false))
            fixings.fault(*node, key, "goes with screws or pins; wax has no holes and does not clamp");
}

void read_fixings(Section& plates, PlateRules& rules, AirRules& air) {
    auto section = plates.section("fixings", false);
    if (!section) return;
    const auto kind = section->optional_word("kind", {"screws", "pins", "wax"});
    rules.fixing = kind == "pins" ? Fixing::pins : kind == "wax" ? Fixing::wax : Fixing::screws;
    if (rules.fixing == Fixing::wax) refuse_with_wax(*section, {"diameter", "at", "inset", "clamp", "bearing"});
    air.clamp = section->optional<Force>("clamp", {0.0 * newton, 5000.0 * newton});
    air.bearing = section->optional<Length>("bearing", {0.0 * millimetre, 10.0 * millimetre});
    rules.fixing_diameter =
        section->optional<Length>("diameter", {0.3 * millimetre, 10.0 * millimetre}).value_or(rules.fixing_diameter);
    rules.fixings = read_points(*section, "at");
    rules.fixing_inset = section->optional<Length>("inset", {0.3 * millimetre, 50.0 * millimetre});
    if (rules.fixing_inset && !rules.fixings.empty())
        section->fault(section->node(), "inset", "and places exclude each other");
    section->close();
}

// Valves over the far sides of whole rows' slots, of all rows when none is named; a reed's own word stands.
void read_valves(Section& root, Design& design) {
    auto section = root.section("valves", false);
    Valve& valve = design.air.valve;
    std::optional<Length> gap, overlap;
    std::vector<std::string> rows;
    if (section) {
        rows = read_rows(*section, "rows", design);
        gap = section->optional<Length>("gap", {0.1 * micrometre, 1.0 * millimetre});
        overlap = section->optional<Length>("overlap", {0.05 * millimetre, 10.0 * millimetre});
        section->close();
    }
    // A valve may be the mend of a leak where none is stated.
    take(gap, valve.gap, "valves.gap", design.air);
    take(overlap, valve.overlap, "valves.overlap", design.air);
    if (!section) return;
    for (InstrumentReed& one : design.instrument.reeds)
        if (!one.valve && (rows.empty() || std::find(rows.begin(), rows.end(), one.row) != rows.end()))
            one.valve = true;
}

void read_comb(Section& root, Design& design) {
    auto section = root.section("comb", false);
    if (!section) return;
    CombRules comb;
    comb.material = section->optional_text("material").value_or("");
    comb.height = section->optional<Length>("height", {1.0 * millimetre, 100.0 * millimetre}).value_or(comb.height);
    comb.cell_width = section->optional<Length>("cell_width", part_range).value_or(comb.cell_width);
    comb.cell_back = section->optional<Length>("cell_back", part_range).value_or(comb.cell_back);
    section->close();
    if (!design.plates || design.plates->carries != PlateCarries::row) {
        section->fault(section->node(), "comb", "goes between plates that carry rows, and the design has none");
        return;
    }
    design.comb = comb;
}

void read_tolerances(Section& root, Tolerances& tolerances) {
    auto section = root.section("tolerances", false);
    if (!section) return;
    const auto read = [&](std::string_view key, Length& value) {
        value = section->optional<Length>(key, tolerance_range).value_or(value);
    };
    read("slot_width", tolerances.slot_width);
    read("tongue_width", tolerances.tongue_width);
    read("centring", tolerances.centring);
    read("tilt", tolerances.tilt);
    read("slot_length", tolerances.slot_length);
    read("tongue_length", tolerances.tongue_length);
    section->close();
}

void read_limits(Section& root, FitLimits& limits, AirRules& air) {
    auto section = root.section("limits", false);
    if (!section) return;
    const auto read = [&](std::string_view key, Length& value) {
        value = section->optional<Length>(key, part_range).value_or(value);
    };
    read("web", limits.web);
    read("edge", limits.edge);
    read("cell", limits.cell);
    read("fixing", limits.fixing);
    read("wall", limits.wall);
    read("clearance", limits.clearance);
    read("widest_gap", limits.widest_gap);
    const Range<Ratio> share{0.0, 1.0};
    if (const auto most = section->optional<Ratio>("joint_leak", share)) air.most_joint_share = most->value();
    if (const auto most = section->optional<Ratio>("air_lost", share)) air.most_lost_share = most->value();
    section->close();
}

}  // namespace

void read_plates(Section& root, Design& design) {
    if (auto plates = root.section("plates", false)) {
        PlateRules rules;
        const auto carry = plates->optional_word("carry", {"row", "cell"});
        rules.carries = carry == "cell" ? PlateCarries::cell : PlateCarries::row;
        rules.spacing =
            plates->optional<Length>("spacing", {1.0 * millimetre, 100.0 * millimetre}).value_or(rules.spacing);
        rules.first = plates->optional<Length>("first", part_range);
        rules.root_line = plates->optional<Length>("root_line", part_range);
        rules.length = plates->optional<Length>("length", plate_range);
        rules.width = plates->optional<Length>("width", plate_range);
        rules.edge = plates->optional<Length>("edge", part_range).value_or(rules.edge);
        rules.inner = read_rows(*plates, "inner", design);
        read_fixings(*plates, rules, design.air);
        read_flatness(*plates, design.air);
        rules.rivet_material = plates->optional_text("rivet_material");
        plates->close();
        design.plates = rules;
    }
    read_comb(root, design);
    read_tolerances(root, design.tolerances);
    read_limits(root, design.limits, design.air);
    read_valves(root, design);
    if (root.find("process", false) != nullptr) design.process = read_spread(root, "process");
}

void check_layout(Section& root, const Design& design) {
    if (!design.plates) return;
    try {
        (void)lay_out_plates(plate_reeds(design.instrument), *design.plates, design.comb);
    } catch (const InputError& error) {
        for (const Diagnostic& diagnostic : error.diagnostics()) {
            Place place = root.find("plates", false)->place;
            std::string message = diagnostic.message;
            for (std::size_t i = 0; i < design.reeds.size(); ++i) {
                const InstrumentReed& one = design.instrument.reeds[i];
                if (message.starts_with(fmt::format("cell {} {}:", one.cell, one.row)) ||
                    message.starts_with(fmt::format("cell {} {} and", one.cell, one.row)))
                    place = design.reeds[i].asked_at;
            }
            if (message.starts_with("comb") && root.find("comb", false) != nullptr)
                place = root.find("comb", false)->place;
            root.faults().add(place, "plates: " + message, diagnostic.hint);
        }
    }
}

}  // namespace reedwright
