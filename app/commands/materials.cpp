#include "app/commands/commands.hpp"

#include <fmt/format.h>
#include <nlohmann/json.hpp>
#include <ostream>

namespace reedwright::app {

namespace {

template <class Quantity>
std::string property_line(std::string_view name, const Property<Quantity>& property) {
    std::string line = fmt::format("  {:<22}{:<12}", name, to_text(property.value));
    std::string spread;
    if (property.low && property.high)
        spread = fmt::format("{} to {}", to_text(*property.low), to_text(*property.high));
    else if (property.low)
        spread = fmt::format("at least {}", to_text(*property.low));
    else if (property.high)
        spread = fmt::format("at most {}", to_text(*property.high));
    line += fmt::format("{:<24}", spread);
    line += fmt::format("{:<20}", property.sigma ? "+-" + to_text(*property.sigma) : std::string());
    if (property.at) line += fmt::format("{:<8}", to_text(*property.at));
    return line + (property.source.empty() ? std::string() : "\n      " + property.source) + "\n";
}

// Key, unit suffix and factor of each property as JSON shows it.
template <class Quantity>
nlohmann::ordered_json property_json(const Property<Quantity>& property, Quantity unit) {
    nlohmann::ordered_json json;
    const auto number = [&](const std::optional<Quantity>& value) {
        return value ? nlohmann::ordered_json(in(*value, unit)) : nlohmann::ordered_json(nullptr);
    };
    json["value"] = in(property.value, unit);
    json["low"] = number(property.low);
    json["high"] = number(property.high);
    json["sigma"] = number(property.sigma);
    json["at_degc"] = property.at ? nlohmann::ordered_json(in_celsius(*property.at)) : nlohmann::ordered_json(nullptr);
    json["source"] = property.source;
    return json;
}

// Calls a visitor with the name, the unit suffix, the unit and the value of every known property.
template <class Visitor>
void each_property(const Material& material, Visitor visit) {
    const PerTemperature ppm_per_kelvin = 1e-6 * per_kelvin;
    const Ratio one(1.0);
    visit("youngs_modulus", "gpa", material.youngs_modulus, gigapascal);
    visit("density", "kg_m3", material.density, kilogram_per_cubic_metre);
    visit("poisson_ratio", "1", material.poisson_ratio, one);
    if (material.modulus_change) visit("modulus_change", "ppm_per_k", *material.modulus_change, ppm_per_kelvin);
    if (material.expansion) visit("expansion", "ppm_per_k", *material.expansion, ppm_per_kelvin);
    if (material.tensile_strength) visit("tensile_strength", "mpa", *material.tensile_strength, megapascal);
    if (material.proof_strength) visit("proof_strength", "mpa", *material.proof_strength, megapascal);
    if (material.fatigue_strength) visit("fatigue_strength", "mpa", *material.fatigue_strength, megapascal);
    if (material.fatigue_cycles) visit("fatigue_cycles", "1", *material.fatigue_cycles, one);
    if (material.loss_factor) visit("loss_factor", "1", *material.loss_factor, one);
}

nlohmann::ordered_json material_json(const Material& material) {
    nlohmann::ordered_json json;
    json["id"] = material.id;
    json["name"] = material.name;
    json["family"] = material.family;
    json["condition"] = material.condition;
    json["form"] = material.form;
    each_property(material, [&](const std::string& name, const std::string& unit, const auto& property, auto in_unit) {
        json[unit == "1" ? name : name + "_" + unit] = property_json(property, in_unit);
    });
    json["cautions"] = material.cautions;
    return json;
}

}  // namespace

int run_materials(const MaterialsRequest& request, const Console& console) {
    const MaterialLibrary library = material_library();
    std::vector<Material> materials;
    const auto file = library.file_of(request.name, "");
    bool listing = request.name.empty();
    std::error_code ignored;
    if (listing) {
        for (const std::string& name : library.names())
            materials.push_back(read_material_file(library.file_of(name, "")));
    } else if (std::filesystem::exists(file, ignored)) {
        materials.push_back(read_material_file(file));
    } else {
        // A word that people use for a family lists its alloys.
        for (const std::string& name : library.of_family(request.name))
            materials.push_back(read_material_file(library.file_of(name, "")));
        listing = true;
        if (materials.empty()) {
            const auto near = library.near(request.name);
            throw InputError(fmt::format("there is no material '{}'", request.name),
                             near.empty() ? "'materials' lists them" : did_you_mean(near));
        }
    }
    if (request.json) {
        nlohmann::ordered_json json;
        json["materials"] = nlohmann::ordered_json::array();
        for (const Material& material : materials) json["materials"].push_back(material_json(material));
        print_json(console.out, json);
        return done;
    }
    std::ostream& out = console.out;
    if (listing) {
        out << fmt::format("{:<18}{:<7}{:>9}{:>16}{:>8}{:>16}  {}\n", "material", "form", "E", "density", "nu",
                           "fatigue at 1e8", "");
        for (const Material& m : materials)
            out << fmt::format(
                "{:<18}{:<7}{:>9}{:>16}{:>8}{:>16}  {}{}\n", m.id, m.form, to_text(m.youngs_modulus.value),
                to_text(m.density.value), to_text(m.poisson_ratio.value),
                m.fatigue_strength ? to_text(m.fatigue_strength->value) +
                                         (m.fatigue_cycles && m.fatigue_cycles->value.value() != 1e8 ? "*" : "")
                                   : std::string("-"),
                m.family.empty() ? m.name : m.name + ", " + m.family, m.cautions.empty() ? "" : "  CAUTION");
        out << "\n* at another number of cycles. 'materials NAME' shows the ranges and sources, 'materials brass' a "
               "family.\n";
        return done;
    }
    for (const Material& material : materials) {
        out << fmt::format("{}  {}", material.id, material.name);
        for (const std::string& more : {material.family, material.condition})
            if (!more.empty()) out << ", " << more;
        out << '\n';
        each_property(material, [&](const std::string& name, const std::string&, const auto& property, auto) {
            out << property_line(name, property);
        });
        for (const std::string& caution : material.cautions) out << "caution: " << caution << '\n';
    }
    return done;
}

}  // namespace reedwright::app
