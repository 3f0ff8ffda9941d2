#include "core/tongue/reed_file.hpp"

#include "core/input/file_kind.hpp"
#include "core/input/reading_scope.hpp"
#include "core/input/section.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/tongue/tongue_shape_file.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <system_error>

namespace reedwright {

namespace {

const Range<Temperature> temperature_range{celsius(-40.0), celsius(120.0)};
const Range<Frequency> a4_range{300.0 * hertz, 600.0 * hertz};
const Range<Mass> load_range{0.0 * kilogram, 1e-2 * kilogram};

const char* const default_plate = "cuzn37-plate";
// A relative spread of the seat's give where the file does not say better.
constexpr double give_spread = 0.5;

std::vector<Load> read_loads(Section& root, std::optional<Length> length) {
    std::vector<Load> loads;
    const Node* node = root.find("loads", false);
    if (node == nullptr) return loads;
    if (node->kind != Node::Kind::list) {
        root.fault(*node, "loads", fmt::format("must be a list of loads, {}", not_a(*node)),
                   "start each with a dash: - {at: 14.5 mm, mass: 2 mg}");
        return loads;
    }
    for (std::size_t i = 0; i < node->list.size(); ++i) {
        Section one(root.faults(), node->list[i], fmt::format("loads[{}]", i + 1));
        const auto at = one.required<Length>("at", {0.0 * metre, length.value_or(longest_tongue)});
        const auto mass = one.required<Mass>("mass", load_range);
        const auto size = one.optional<Length>("size", {0.0 * metre, 50.0 * millimetre});
        one.close();
        if (at && mass) loads.push_back({*at, *mass, size.value_or(0.0 * metre)});
    }
    return loads;
}

// A default is told to the user, so that nothing is silently assumed.
class Assumptions {
public:
    explicit Assumptions(std::vector<std::string>& told) : told_(told) {}
    template <class Value>
    Value take(const std::optional<Value>& given, Value otherwise, std::string_view name, const std::string& text) {
        if (given) return *given;
        told_.push_back(fmt::format("{} {}", name, text));
        return otherwise;
    }
    template <class Quantity>
    Quantity take(const std::optional<Quantity>& given, Quantity otherwise, std::string_view name) {
        return take(given, otherwise, name, to_text(otherwise));
    }

private:
    std::vector<std::string>& told_;
};

// The section under a key, or an empty mapping in its stead, so that defaults are taken key by key.
Section section_or_nothing(Section& root, std::string_view key, const Node& nothing) {
    auto section = root.section(key, false);
    return section ? *section : Section(root.faults(), nothing, std::string(key));
}

std::optional<Material> read_plate_material(Section& slot, const MaterialLibrary& library, Assumptions& assumed) {
    if (auto given = read_material(slot, "plate_material", false, library)) return given;
    if (slot.find("plate_material", false) != nullptr) return std::nullopt;
    (void)assumed.take<std::string>(std::nullopt, "", "slot.plate_material", default_plate);
    const auto file = library.file_of(default_plate, "");
    if (!input_stands(file)) {
        slot.fault(slot.node(), "plate_material",
                   fmt::format("is left out, and the library {} has no {} to take instead", library.folder().string(),
                               default_plate));
        return std::nullopt;
    }
    return read_material_file(file);
}

Slot read_slot(Section slot, const MaterialLibrary& library, Assumptions& assumed, bool& plate_known) {
    Slot result;
    result.clearance = assumed.take(slot.optional<Length>("clearance", {0.0 * metre, 1.0 * millimetre}),
                                    result.clearance, "slot.clearance");
    // Where nothing is said, no more than leaves the tongue's square corners half of the clearance, which at right
    // angles 2.2 times the clearance would.
    result.corner_radius = assumed.take(slot.optional<Length>("corner_radius", {0.0 * metre, 5.0 * millimetre}),
                                        std::min(result.corner_radius, 2.0 * result.clearance), "slot.corner_radius");
    result.plate_thickness =
        assumed.take(slot.optional<Length>("plate_thickness", {0.1 * millimetre, 20.0 * millimetre}),
                     result.plate_thickness, "slot.plate_thickness");
    result.rest_gap = assumed.take(slot.optional<Length>("rest_gap", {-5.0 * millimetre, 10.0 * millimetre}),
                                   result.rest_gap, "slot.rest_gap");
    const auto mounting = slot.optional_word("mounting", {"closing", "opening"});
    result.mounting = mounting == "opening" ? Mounting::opening : Mounting::closing;
    if (slot.find("mounting", false) == nullptr)
        (void)assumed.take<std::string>(std::nullopt, "", "slot.mounting", "closing");
    const auto plate = read_plate_material(slot, library, assumed);
    plate_known = plate.has_value();
    if (plate) result.plate_material = *plate;
    slot.close();
    return result;
}

Cell read_cell(Section cell, Assumptions& assumed) {
    Cell result;
    result.volume_stated = cell.find("volume", false) != nullptr;
    result.inlet_length_stated = cell.find("inlet_length", false) != nullptr;
    result.inlet_area_stated = cell.find("inlet_area", false) != nullptr;
    const Volume cubic_millimetre = millimetre * millimetre * millimetre;
    result.volume = assumed.take(cell.optional<Volume>("volume", {1.0 * cubic_millimetre, 1e9 * cubic_millimetre}),
                                 400.0 * cubic_millimetre, "cell.volume");
    result.inlet_length = assumed.take(cell.optional<Length>("inlet_length", {0.1 * millimetre, 2.0 * metre}),
                                       15.0 * millimetre, "cell.inlet_length");
    result.inlet_area =
        assumed.take(cell.optional<Area>("inlet_area", {0.1 * millimetre * millimetre, 1e-2 * metre * metre}),
                     50.0 * millimetre * millimetre, "cell.inlet_area");
    cell.close();
    return result;
}

Pad read_pad(Section pad, Assumptions& assumed) {
    Pad result;
    result.length = assumed.take(pad.optional<Length>("length", {0.5 * millimetre, 50.0 * millimetre}), result.length,
                                 "pad.length");
    result.rivet_diameter = assumed.take(pad.optional<Length>("rivet_diameter", {0.1 * millimetre, 10.0 * millimetre}),
                                         result.rivet_diameter, "pad.rivet_diameter");
    const auto rivets = pad.optional<Ratio>("rivets", {1.0, 4.0});
    if (rivets && rivets->value() != std::floor(rivets->value()))
        pad.fault(*pad.find("rivets", false), "rivets", fmt::format("{} is not a whole number", to_text(*rivets)));
    result.rivets = static_cast<int>(assumed.take(rivets, Ratio(result.rivets), "pad.rivets").value());
    result.plate_margin = assumed.take(pad.optional<Length>("plate_margin", {0.5 * millimetre, 50.0 * millimetre}),
                                       result.plate_margin, "pad.plate_margin");
    pad.close();
    return result;
}

std::optional<Air> read_air(Section& root, Assumptions& assumed) {
    const Node* node = root.find("air", false);
    if (node == nullptr) {
        (void)assumed.take<std::string>(std::nullopt, "", "air", "20 degC, 50 % humidity");
        return Air{};
    }
    if (node->kind == Node::Kind::scalar && node->scalar == "none") return std::nullopt;
    if (node->kind != Node::Kind::mapping) {
        root.fault(*node, "air",
                   node->kind == Node::Kind::scalar && !node->scalar.empty()
                       ? fmt::format("'{}' is neither none nor a mapping", node->scalar)
                       : std::string("must be none or a mapping"),
                   "write none for a vacuum, or {temperature: 20 degC, humidity: 50 %}");
        return Air{};
    }
    Section air(root.faults(), *node, "air");
    Air result;
    result.temperature = assumed.take(air.optional<Temperature>("temperature", {celsius(-20.0), celsius(60.0)}),
                                      result.temperature, "air.temperature");
    result.humidity =
        assumed.take(air.optional<Ratio>("humidity", {0.0, 1.0}), Ratio(result.humidity), "air.humidity", "50 %")
            .value();
    air.close();
    return result;
}

std::optional<Note> read_note(Section& root) {
    const Node* node = root.find("note", false);
    if (node == nullptr) return std::nullopt;
    if (node->kind != Node::Kind::scalar) {
        root.fault(*node, "note", fmt::format("must be a note such as A4, {}", not_a(*node)));
        return std::nullopt;
    }
    const auto note = parse_note(node->scalar);
    if (!note) {
        root.fault(*node, "note", note.error().message, note.error().hint);
        return std::nullopt;
    }
    return *note;
}

}  // namespace

Reed read_reed(const Document& document, const MaterialLibrary& library) {
    static const Node nothing{Node::Kind::mapping, {}, {}, {}, {}};
    refuse_other_kind(document, FileKind::tongue);
    Faults faults(document);
    Section root(faults, document.root, "");
    std::vector<std::string> told;
    Assumptions assumed(told);

    const auto note = read_note(root);
    const auto a4 = root.optional<Frequency>("a4", a4_range);

    std::optional<Material> material;
    std::optional<TongueShape> shape;
    std::optional<Length> length;
    if (auto tongue = root.section("tongue", true)) {
        material = read_material(*tongue, "material", true, library);
        shape = read_tongue_shape(*tongue, &length);
        tongue->close();
    }
    const auto loads = read_loads(root, length);

    bool plate_known = false;
    Section seat = section_or_nothing(root, "seat", nothing);
    const auto give = seat.optional<Ratio>("give", {0.0, 20.0});
    const auto give_sigma = seat.optional<Ratio>("sigma", {0.0, 20.0});
    seat.close();
    const Slot slot = read_slot(section_or_nothing(root, "slot", nothing), library, assumed, plate_known);
    const Cell cell = read_cell(section_or_nothing(root, "cell", nothing), assumed);
    const Pad pad = read_pad(section_or_nothing(root, "pad", nothing), assumed);
    const Spread spread = read_spread(root, "uncertainty");
    const auto quality = root.optional<Ratio>("quality", {1.0, 1e6});
    const auto air = read_air(root, assumed);
    const auto temperature = root.optional<Temperature>("temperature", temperature_range);
    root.close();
    faults.throw_if_any();

    Reed reed{note,
              440.0 * hertz,
              Tongue{*material, shape->thickness, shape->width, loads},
              {},
              slot,
              cell,
              pad,
              air,
              {},
              celsius(20.0),
              spread,
              {}};
    reed.a4 = assumed.take(a4, reed.a4, "a4");
    if (quality) reed.quality = quality->value();
    reed.temperature = assumed.take(temperature, reed.temperature, "temperature");
    const double bonded = bonded_give(material->youngs_modulus.value, slot.plate_material.youngs_modulus.value);
    reed.seat.give =
        assumed
            .take(give, Ratio(bonded), "seat.give",
                  fmt::format("{:.2f} (a pad bonded all over; a rivet gives more, how much is not known)", bonded))
            .value();
    reed.seat.give_sigma = give_sigma ? give_sigma->value() : give_spread * reed.seat.give;
    reed.seat.stated = give.has_value();
    reed.seat.root_thickness = shape->thickness.at_root();
    reed.seat.root_width = shape->width.at_root();
    reed.assumed = std::move(told);
    return reed;
}

Reed read_reed_file(const std::filesystem::path& file, const MaterialLibrary& library) {
    return read_reed(read_yaml_file(file), library);
}

}  // namespace reedwright
