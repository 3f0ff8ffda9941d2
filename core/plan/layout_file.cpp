#include "core/plan/layout_file.hpp"

#include "core/tongue/tongue_shape_file.hpp"
#include "core/tuning/layout.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <map>

namespace reedwright {

namespace {

const Range<Length> length_range{1.0 * millimetre, longest_tongue};
const Range<Length> width_range{0.2 * millimetre, 30.0 * millimetre};
const Range<Length> thickness_range{0.01 * millimetre, 1.5 * millimetre};
const Range<Length> gap_range{0.0 * millimetre, 10.0 * millimetre};
const Range<Ratio> swing_range{0.001, 0.5};
const Range<Ratio> bow_range{-0.3, 0.3};
const Range<Frequency> beats_range{-30.0 * hertz, 30.0 * hertz};
// Any thickness will do to start the search with.
const Length first_guess = 0.15 * millimetre;

const Node* child_of(const Node& mapping, std::string_view key) {
    for (const Node::Entry& entry : mapping.mapping)
        if (entry.key == key) return &entry.value;
    return nullptr;
}

// `cell: 3` or `cell: {number: 3, ...}`.
const Node* cell_number(const Node& reed) {
    const Node* cell = child_of(reed, "cell");
    return cell != nullptr && cell->kind == Node::Kind::mapping ? child_of(*cell, "number") : cell;
}

Node text_node(const Place& place, std::string text) {
    Node node;
    node.place = place;
    node.scalar = std::move(text);
    return node;
}

void add(Node& mapping, std::string_view key, Node value) {
    mapping.mapping.push_back({std::string(key), value.place, std::move(value)});
}

std::string exact_text(Length length) {
    return fmt::format("{:.6f} mm", in(length, millimetre));
}

Length rounded_to(Length length, Length step) {
    return std::max(1.0, std::round((length / step).value())) * step;
}

// A scale of the file with where it stands.
struct ReadScale {
    SmoothScale scale;
    Place place;
};

template <class Quantity>
std::optional<ReadScale> read_scale(Section& section, std::string_view key, Range<Quantity> range, bool bow_allowed) {
    const Node* node = section.find(key, false);
    if (node == nullptr) return std::nullopt;
    if (node->kind == Node::Kind::scalar) {
        const auto value = section.value_of<Quantity>(*node, key, range);
        return value ? std::optional(ReadScale{{value->value(), value->value(), 0.0}, node->place}) : std::nullopt;
    }
    auto ends = section.section(key, false);
    if (!ends) return std::nullopt;
    const auto lowest = ends->required<Quantity>("lowest", range);
    const auto highest = ends->required<Quantity>("highest", range);
    const auto bow = bow_allowed ? ends->optional<Ratio>("bow", bow_range) : std::nullopt;
    ends->close();
    if (!lowest || !highest) return std::nullopt;
    return ReadScale{{lowest->value(), highest->value(), bow ? bow->value() : 0.0}, node->place};
}

std::optional<Note> read_note(Section& section, std::string_view key, bool required) {
    const auto text = required ? section.required_text(key) : section.optional_text(key);
    if (!text) return std::nullopt;
    const auto note = parse_note(*text);
    if (!note) section.fault(*section.find(key, false), key, note.error().message, note.error().hint);
    return note ? std::optional(*note) : std::nullopt;
}

// The scales that hold for a row, or for all.
struct RowScales {
    std::optional<ReadScale> length;
    std::optional<ReadScale> width;
    std::optional<ReadScale> swing;
    std::optional<ReadScale> rest_gap;
};

RowScales read_scales(Section& section) {
    RowScales scales;
    scales.length = read_scale(section, "length", length_range, true);
    scales.width = read_scale(section, "width", width_range, false);
    scales.swing = read_scale(section, "swing", swing_range, false);
    scales.rest_gap = read_scale(section, "rest_gap", gap_range, false);
    for (const auto& [scale, key] : {std::pair(&scales.swing, "swing"), std::pair(&scales.rest_gap, "rest_gap")})
        if (*scale && ((*scale)->scale.lowest <= 0.0 || (*scale)->scale.highest <= 0.0)) {
            section.fault(*section.find(key, false), key, "must be more than nothing at both ends");
            scale->reset();
        }
    return scales;
}

std::optional<ProfileShape> read_shape(Section& tongues, const Node& node, std::size_t index, bool last) {
    Section one(tongues.faults(), node, fmt::format("tongues.profiles[{}]", index + 1));
    if (node.kind != Node::Kind::mapping) return std::nullopt;
    ProfileShape shape;
    const auto family = one.optional_word("family", {"flat", "taper", "heavy-tip"});
    if (one.find("family", false) == nullptr) one.fault(node, "family", "is missing", "one of flat, taper, heavy-tip");
    shape.up_to = read_note(one, "up_to", false);
    if (!last && one.find("up_to", false) == nullptr)
        one.fault(node, "up_to", "is missing: only the last profile goes on to the highest note");
    if (family == "flat") {
        shape.family = ProfileFamily::flat;
    } else if (family == "taper") {
        shape.family = ProfileFamily::taper;
        shape.tip = one.required<Ratio>("tip", {0.1, 3.0}).value_or(Ratio(1.0)).value();
    } else if (family == "heavy-tip") {
        shape.family = ProfileFamily::heavy_tip;
        shape.tip = one.required<Ratio>("tip", {0.2, 4.0}).value_or(Ratio(1.0)).value();
        shape.waist = one.required<Ratio>("waist", {0.1, 1.5}).value_or(Ratio(1.0)).value();
        const auto share = [&](std::string_view key, double& value) {
            if (const auto given = one.optional<Ratio>(key, {0.05, 0.95})) value = given->value();
        };
        share("waist_from", shape.waist_from);
        share("waist_to", shape.waist_to);
        share("tip_from", shape.tip_from);
        if (shape.waist_to < shape.waist_from + 0.01 || shape.tip_from < shape.waist_to + 0.01)
            one.fault(
                node, "waist_from",
                fmt::format("waist_from {:.3g} %, waist_to {:.3g} % and tip_from {:.3g} % must follow one another",
                            100.0 * shape.waist_from, 100.0 * shape.waist_to, 100.0 * shape.tip_from));
    }
    one.close();
    return family ? std::optional(shape) : std::nullopt;
}

void read_profiles(Section& tongues, TongueRules& rules) {
    const Node* list = tongues.find("profiles", false);
    if (list == nullptr) return;
    if (list->kind != Node::Kind::list || list->list.empty()) {
        tongues.fault(*list, "profiles", "must be a list of profiles, from low notes to high",
                      "- {up_to: B4, family: heavy-tip, waist: 60 %, tip: 95 %}");
        return;
    }
    for (std::size_t i = 0; i < list->list.size(); ++i) {
        const auto shape = read_shape(tongues, list->list[i], i, i + 1 == list->list.size());
        if (!shape) continue;
        if (!rules.profiles.empty() && rules.profiles.back().up_to && shape->up_to &&
            shape->up_to->semitone() <= rules.profiles.back().up_to->semitone())
            tongues.fault(
                list->list[i], fmt::format("profiles[{}].up_to", i + 1),
                fmt::format("{} does not lie above {}", shape->up_to->name(), rules.profiles.back().up_to->name()));
        rules.profiles.push_back(*shape);
    }
}

void read_gauges(Section& tongues, TongueRules& rules) {
    const Node* list = tongues.find("gauges", false);
    if (list == nullptr) return;
    if (list->kind != Node::Kind::list || list->list.empty()) {
        tongues.fault(*list, "gauges", "must be a list of strip thicknesses, [0.15 mm, 0.20 mm]");
        return;
    }
    for (std::size_t i = 0; i < list->list.size(); ++i)
        if (const auto gauge =
                tongues.value_of<Length>(list->list[i], fmt::format("gauges[{}]", i + 1), thickness_range))
            rules.gauges.push_back(*gauge);
    std::sort(rules.gauges.begin(), rules.gauges.end());
}

void read_steps(Section& tongues, ShopSteps& steps) {
    auto section = tongues.section("steps", false);
    if (!section) return;
    const Range<Length> range{0.1 * micrometre, 1.0 * millimetre};
    steps.length = section->optional<Length>("length", range).value_or(steps.length);
    steps.width = section->optional<Length>("width", range).value_or(steps.width);
    steps.station = section->optional<Length>("station", range).value_or(steps.station);
    steps.thickness = section->optional<Length>("thickness", range).value_or(steps.thickness);
    section->close();
}

void read_bounds(Section& tongues, TongueRules& rules) {
    rules.thinnest = tongues.optional<Length>("thinnest", thickness_range).value_or(rules.thinnest);
    if (auto room = tongues.section("room", false)) {
        const Range<Interval> range{0.0 * cent, 400.0 * cent};
        rules.room_up = room->optional<Interval>("up", range).value_or(rules.room_up);
        rules.room_down = room->optional<Interval>("down", range).value_or(rules.room_down);
        room->close();
    }
    if (auto stiffness = tongues.section("stiffness", false)) {
        const Range<Stiffness> range{Stiffness::from_value(0.01), Stiffness::from_value(1e5)};
        rules.least_stiffness = stiffness->optional<Stiffness>("least", range);
        rules.most_stiffness = stiffness->optional<Stiffness>("most", range);
        stiffness->close();
        if (rules.least_stiffness && rules.most_stiffness && *rules.least_stiffness > *rules.most_stiffness)
            stiffness->fault(stiffness->node(), "least", "is above the most");
    }
    if (const auto share = tongues.optional<Ratio>("proof_share", {0.05, 1.0})) rules.most_proof_share = share->value();
}

// The places of a layout, its pairs included; beats of the second reed in hertz.
struct WantedPlace {
    LayoutPlace place;
    std::string beats;
};

std::vector<WantedPlace> read_layout(Section& layout, Design& design) {
    const auto kind = layout.optional_word("kind", {"ten-hole", "solo"});
    if (layout.find("kind", false) == nullptr)
        layout.fault(layout.node(), "kind", "is missing", "ten-hole or solo; a free order is a list of reeds");
    const auto first = read_note(layout, "first", true);
    std::optional<Ratio> cells;
    if (kind == "solo") cells = layout.required<Ratio>("cells", {1.0, 60.0});
    if (cells && cells->value() != std::floor(cells->value()))
        layout.fault(*layout.find("cells", false), "cells", fmt::format("{} is not a whole number", to_text(*cells)));
    const auto pair = layout.optional_word("pair", {"tremolo", "octave"});
    const auto beats =
        pair == "tremolo" ? layout.required<Frequency>("beats", beats_range) : std::optional<Frequency>();
    layout.close();
    if (!kind || !first || (kind == "solo" && !cells)) return {};
    if (kind == "ten-hole") design.first_note = first;
    std::vector<WantedPlace> places;
    for (const LayoutPlace& one :
         kind == "ten-hole" ? ten_hole_layout(*first) : solo_layout(*first, static_cast<int>(cells->value())))
        places.push_back({one, {}});
    const std::size_t single = places.size();
    for (std::size_t i = 0; pair && i < single; ++i) {
        WantedPlace partner = places[i];
        partner.place.row += " high";
        if (pair == "octave") partner.place.note.octave += 1;
        if (beats) partner.beats = to_text(*beats);
        places.push_back(partner);
    }
    for (const WantedPlace& one : places)
        if (one.place.note.octave > 9) {
            layout.fault(*layout.find("first", false), "first",
                         fmt::format("leads to {}, which is above all reeds", one.place.note.name()));
            return {};
        }
    return places;
}

class Writer {
public:
    Writer(Section& root, Design& design, std::optional<double> bow) : root_(root), design_(design), bow_(bow) {}

    std::vector<WrittenReed> write(const Node* list) {
        read_rules();
        std::vector<WrittenReed> reeds = places(list);
        for (const WrittenReed& one : reeds)
            if (const auto note = note_of(one.node)) {
                lowest_ = std::min(lowest_, note->semitone());
                highest_ = std::max(highest_, note->semitone());
            }
        for (WrittenReed& one : reeds) fill(one);
        return reeds;
    }

private:
    void read_rules() {
        if (auto tongues = root_.section("tongues", false)) {
            tongues_place_ = tongues->place();
            common_ = read_scales(*tongues);
            read_profiles(*tongues, design_.rules);
            read_gauges(*tongues, design_.rules);
            read_steps(*tongues, design_.rules.steps);
            read_bounds(*tongues, design_.rules);
            tongues->close();
            if (common_.length && bow_) common_.length->scale.bow = *bow_;
            if (common_.length) design_.length_scale = common_.length->scale;
        }
        if (auto rows = root_.section("rows", false))
            for (const Node::Entry& entry : rows->node().mapping) {
                auto row = rows->section(entry.key, false);
                if (!row) continue;
                rows_.emplace(entry.key, std::pair(read_scales(*row), entry.key_place));
                row->close();
            }
    }

    std::vector<WrittenReed> places(const Node* list) {
        std::vector<WrittenReed> reeds;
        const Node* layout_node = root_.find("layout", false);
        if (layout_node == nullptr) {
            for (std::size_t i = 0; list != nullptr && i < list->list.size(); ++i)
                reeds.push_back({list->list[i], fmt::format("reeds[{}]", i + 1), {{}, list->list[i].place}});
            return reeds;
        }
        auto layout = root_.section("layout", false);
        if (!layout) return reeds;
        for (const WantedPlace& wanted : read_layout(*layout, design_)) {
            Node node;
            node.kind = Node::Kind::mapping;
            node.place = layout_node->place;
            add(node, "cell", text_node(node.place, fmt::format("{}", wanted.place.cell)));
            add(node, "row", text_node(node.place, wanted.place.row));
            add(node, "note", text_node(node.place, wanted.place.note.name()));
            if (!wanted.beats.empty()) add(node, "beats", text_node(node.place, wanted.beats));
            reeds.push_back(
                {node, fmt::format("layout, {} {}", wanted.place.cell, wanted.place.row), {{}, node.place}});
        }
        for (std::size_t i = 0; list != nullptr && i < list->list.size(); ++i) merge(list->list[i], i, reeds);
        return reeds;
    }

    // A reed of the list stands for its place of the layout, with what it states.
    void merge(const Node& own, std::size_t index, std::vector<WrittenReed>& reeds) {
        const std::string name = fmt::format("reeds[{}]", index + 1);
        const Node* cell = cell_number(own);
        const Node* row = child_of(own, "row");
        for (WrittenReed& one : reeds) {
            if (cell == nullptr || row == nullptr || cell_number(one.node)->scalar != cell->scalar ||
                child_of(one.node, "row")->scalar != row->scalar)
                continue;
            if (one.name.starts_with("reeds")) {
                root_.faults().add(own.place, fmt::format("{}: cell {} {} is already the place of {}", name,
                                                          cell->scalar, row->scalar, one.name));
                return;
            }
            Node merged = own;
            for (const Node::Entry& entry : one.node.mapping)
                if (child_of(own, entry.key) == nullptr) merged.mapping.push_back(entry);
            one = {merged, name, {{}, own.place}};
            return;
        }
        root_.faults().add(own.place, fmt::format("{}: is no place of the layout", name),
                           "cell and row as the layout has them");
    }

    std::optional<Note> note_of(const Node& reed) const {
        const Node* node = child_of(reed, "note");
        if (node == nullptr) return std::nullopt;
        const auto note = parse_note(node->scalar);
        return note ? std::optional(*note) : std::nullopt;
    }

    // What the reed does not state, from the scales and shapes.
    void fill(WrittenReed& reed) {
        const auto note = note_of(reed.node);
        if (!note || reed.node.kind != Node::Kind::mapping) return;
        const double u =
            highest_ > lowest_ ? static_cast<double>(note->semitone() - lowest_) / (highest_ - lowest_) : 0.0;
        const Node* row = child_of(reed.node, "row");
        const auto own = row != nullptr ? rows_.find(row->scalar) : rows_.end();
        const auto scale = [&](auto member) -> const std::optional<ReadScale>& {
            if (own != rows_.end() && (own->second.first.*member)) return own->second.first.*member;
            return common_.*member;
        };
        const ShopSteps& steps = design_.rules.steps;
        const auto add_length = [&](std::string_view key, const std::optional<ReadScale>& from, Length step) {
            if (child_of(reed.node, key) != nullptr || !from) return;
            const Length value = rounded_to(from->scale.at(u) * metre, step);
            add(reed.node, key, text_node(from->place, fmt::format("{:.6g} mm", in(value, millimetre))));
        };
        add_length("length", scale(&RowScales::length), steps.length);
        add_length("width", scale(&RowScales::width), steps.width);
        if (const auto& from = scale(&RowScales::swing); from && child_of(reed.node, "swing") == nullptr)
            add(reed.node, "swing", text_node(from->place, fmt::format("{:.4g} %", 100.0 * from->scale.at(u))));
        if (const auto& from = scale(&RowScales::rest_gap)) add_rest_gap(reed.node, *from, u);
        add_thickness(reed, *note);
    }

    void add_rest_gap(Node& reed, const ReadScale& from, double u) {
        // To a hundredth of a millimetre: rest gaps are set by eye and feeler.
        const Length gap = rounded_to(from.scale.at(u) * metre, 10.0 * micrometre);
        Node value = text_node(from.place, fmt::format("{:.6g} mm", in(gap, millimetre)));
        for (Node::Entry& entry : reed.mapping)
            if (entry.key == "slot") {
                if (entry.value.kind == Node::Kind::mapping && child_of(entry.value, "rest_gap") == nullptr)
                    add(entry.value, "rest_gap", std::move(value));
                return;
            }
        Node slot;
        slot.kind = Node::Kind::mapping;
        slot.place = from.place;
        add(slot, "rest_gap", std::move(value));
        add(reed, "slot", std::move(slot));
    }

    void add_thickness(WrittenReed& reed, const Note& note) {
        if (child_of(reed.node, "thickness") != nullptr || design_.rules.profiles.empty()) return;
        const auto& profiles = design_.rules.profiles;
        const auto found = std::find_if(profiles.begin(), profiles.end(), [&](const ProfileShape& shape) {
            return !shape.up_to || note.semitone() <= shape.up_to->semitone();
        });
        if (found == profiles.end()) {
            root_.faults().add(reed.origin.asked_at,
                               fmt::format("{}: no profile goes up to {}", reed.name, note.name()),
                               "leave up_to out of the last profile");
            return;
        }
        const Node* length_node = child_of(reed.node, "length");
        const auto length = length_node != nullptr ? parse_quantity<Length>(length_node->scalar)
                                                   : tl::expected<Length, QuantityFault>(10.0 * millimetre);
        if (!length || *length < length_range.low) return;
        Node stations;
        stations.kind = Node::Kind::list;
        stations.place = tongues_place_;
        const Profile profile = found->profile(*length, first_guess, design_.rules.steps.station);
        for (const Station& station : profile.stations()) {
            Node pair;
            pair.kind = Node::Kind::list;
            pair.place = tongues_place_;
            pair.list = {text_node(tongues_place_, exact_text(station.at)),
                         text_node(tongues_place_, exact_text(station.value))};
            stations.list.push_back(std::move(pair));
        }
        add(reed.node, "thickness", std::move(stations));
        reed.origin.shape = static_cast<std::size_t>(found - profiles.begin());
    }

    Section& root_;
    Design& design_;
    std::optional<double> bow_;
    RowScales common_;
    std::map<std::string, std::pair<RowScales, Place>> rows_;
    Place tongues_place_;
    int lowest_ = 1000;
    int highest_ = -1000;
};

}  // namespace

std::vector<WrittenReed> write_out_reeds(Section& root, const Node* list, Design& design, std::optional<double> bow) {
    return Writer(root, design, bow).write(list);
}

}  // namespace reedwright
