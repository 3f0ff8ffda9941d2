#include "core/retune/calibration_file.hpp"

#include "core/input/section.hpp"
#include "core/input/yaml_reader.hpp"
#include "core/retune/spoken_reading.hpp"
#include "core/tongue/tongue_shape_file.hpp"

#include <fmt/format.h>
#include <set>

namespace reedwright {

namespace {

constexpr double prior_give_share = 0.5;
const Range<Temperature> temperature_range{celsius(-20.0), celsius(60.0)};

}  // namespace

std::vector<MeasuredTongue> read_measured_file(const std::filesystem::path& file, const MaterialLibrary& library) {
    return read_measured(read_yaml_file(file), library);
}

std::vector<MeasuredTongue> read_measured(const Document& document, const MaterialLibrary& library) {
    Faults faults(document);
    Section root(faults, document.root, "");
    const auto material = read_material(root, "material", true, library);
    auto plate = read_material(root, "plate_material", false, library);
    if (!plate && root.find("plate_material", false) == nullptr)
        plate = read_material_file(library.file_of("cuzn37-plate", ""));
    const Temperature temperature =
        root.optional<Temperature>("temperature", temperature_range).value_or(celsius(20.0));
    const Frequency a4 = root.optional<Frequency>("a4", {300.0 * hertz, 600.0 * hertz}).value_or(440.0 * hertz);
    const Spread spread = read_spread(root, "uncertainty");

    std::vector<MeasuredTongue> tongues;
    std::set<std::string> names;
    const Node* list = root.find("tongues", true);
    if (list != nullptr && (list->kind != Node::Kind::list || list->list.empty())) {
        root.fault(*list, "tongues", "must be a list of measured tongues, - {name: first, length: 15 mm, ...}");
        list = nullptr;
    }
    for (std::size_t i = 0; list != nullptr && i < list->list.size(); ++i) {
        Section one(faults, list->list[i], fmt::format("tongues[{}]", i + 1));
        const std::string name = one.optional_text("name").value_or(fmt::format("{}", i + 1));
        if (!names.insert(name).second)
            one.fault(one.node(), "name", fmt::format("'{}' stands twice", name), "give each tongue its own name");
        const auto shape = read_tongue_shape(one);
        const auto reading = read_spoken_pitch(one, "reading", true, a4);
        const Temperature own_temperature =
            one.optional<Temperature>("temperature", temperature_range).value_or(temperature);
        one.close();
        if (!material || !plate || !shape || !reading) continue;
        Reed reed{std::nullopt,
                  a4,
                  Tongue{*material, shape->thickness, shape->width, {}},
                  {},
                  {},
                  {},
                  {},
                  Air{own_temperature, 0.5},
                  {},
                  own_temperature,
                  spread,
                  {}};
        const double give = bonded_give(material->youngs_modulus.value, plate->youngs_modulus.value);
        reed.seat = Seat{give, prior_give_share * give, shape->thickness.at_root(), shape->width.at_root(), false};
        tongues.push_back({name, std::move(reed), *reading});
    }
    root.close();
    faults.throw_if_any();
    return tongues;
}

std::string calibration_text(const Calibration& calibration) {
    std::string text = fmt::format(
        "# What {} measured tongues say about their lot and seats; takes the place of library values with --lot.\n"
        "material: {}\n"
        "# sqrt(E / rho) of the lot over the library's\n"
        "speed_factor: {{value: {:.6f}, sigma: {:.6f}}}\n"
        "# of the seat, in root thicknesses\n"
        "give: {{value: {:.5f}, sigma: {:.5f}}}\n"
        "correlation: {:.4f}\n",
        calibration.tongues.size(), calibration.material, calibration.speed_factor.value,
        calibration.speed_factor.sigma, calibration.give.value, calibration.give.sigma, calibration.correlation);
    return text;
}

Calibration read_calibration_file(const std::filesystem::path& file) {
    return read_calibration(read_yaml_file(file));
}

Calibration read_calibration(const Document& document) {
    Faults faults(document);
    Section root(faults, document.root, "");
    Calibration result{};
    result.material = root.required_text("material").value_or("");
    const auto estimate = [&](std::string_view key, Range<Ratio> range) {
        auto section = root.section(key, true);
        Estimate read{};
        if (!section) return read;
        read.value = section->required<Ratio>("value", range).value_or(Ratio(1.0)).value();
        read.sigma = section->required<Ratio>("sigma", {0.0, range.high}).value_or(Ratio(0.0)).value();
        section->close();
        return read;
    };
    result.speed_factor = estimate("speed_factor", {0.5, 2.0});
    result.give = estimate("give", {0.0, 20.0});
    result.correlation = root.optional<Ratio>("correlation", {-1.0, 1.0}).value_or(Ratio(0.0)).value();
    root.close();
    faults.throw_if_any();
    return result;
}

}  // namespace reedwright
