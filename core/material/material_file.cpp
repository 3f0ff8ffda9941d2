#include "core/material/material_file.hpp"

#include "core/input/reading_scope.hpp"
#include "core/input/yaml_reader.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>
#include <algorithm>
#include <system_error>

namespace reedwright {

namespace {

// What a value of each property may be, wide enough for any metal strip or plate.
const Range<Pressure> modulus_range{1.0 * gigapascal, 1000.0 * gigapascal};
const Range<Density> density_range{500.0 * kilogram_per_cubic_metre, 25000.0 * kilogram_per_cubic_metre};
const Range<Ratio> poisson_range{0.0, 0.49};
const Range<PerTemperature> modulus_change_range{-2000e-6 * per_kelvin, 500e-6 * per_kelvin};
const Range<PerTemperature> expansion_range{-10e-6 * per_kelvin, 100e-6 * per_kelvin};
const Range<Pressure> strength_range{1.0 * megapascal, 5000.0 * megapascal};
const Range<Ratio> cycles_range{1e3, 1e12};
const Range<Ratio> loss_range{0.0, 0.5};
const Range<Temperature> temperature_range{celsius(-100.0), celsius(200.0)};

template <class Quantity>
std::optional<Quantity> standard_deviation(Section& of, Quantity value, Quantity widest) {
    const Node* node = of.find("sigma", false);
    if (node == nullptr) return std::nullopt;
    // A spread may be written as a share of the value.
    if (node->kind == Node::Kind::scalar && node->scalar.ends_with('%')) {
        const auto share = of.value_of<Ratio>(*node, "sigma", {0.0, 1.0});
        return share ? std::optional(Quantity::from_value(std::abs(value.value()) * share->value())) : std::nullopt;
    }
    return of.value_of<Quantity>(*node, "sigma", {Quantity::from_value(0.0), widest});
}

template <class Quantity>
std::optional<Property<Quantity>> property(Section& section, std::string_view key, bool required,
                                           Range<Quantity> range) {
    const Node* node = section.find(key, required);
    if (node == nullptr) return std::nullopt;
    if (node->kind != Node::Kind::mapping) {
        const auto value = section.value_of<Quantity>(*node, key, range);
        return value ? std::optional(Property<Quantity>{*value, {}, {}, {}, {}, {}}) : std::nullopt;
    }
    Section of(section.faults(), *node, section.full_name(key));
    const auto value = of.required<Quantity>("value", range);
    Property<Quantity> result;
    result.low = of.optional<Quantity>("low", range);
    result.high = of.optional<Quantity>("high", range);
    result.at = of.optional<Temperature>("at", temperature_range);
    result.source = of.optional_text("source").value_or("");
    result.sigma = standard_deviation(of, value.value_or(range.high), range.high);
    of.close();
    if (!value) return std::nullopt;
    result.value = *value;
    if (result.low && result.high && *result.low > *result.high)
        of.fault(*of.find("low", false), "low",
                 fmt::format("{} is above high, {}", to_text(*result.low), to_text(*result.high)));
    else if (result.low && *value < *result.low)
        of.fault(*of.find("value", false), "value",
                 fmt::format("{} is below low, {}", to_text(*value), to_text(*result.low)));
    else if (result.high && *value > *result.high)
        of.fault(*of.find("value", false), "value",
                 fmt::format("{} is above high, {}", to_text(*value), to_text(*result.high)));
    return result;
}

void read_cautions(Section& section, std::vector<std::string>& cautions) {
    const Node* node = section.find("cautions", false);
    if (node == nullptr) return;
    if (node->kind != Node::Kind::list) {
        section.fault(*node, "cautions", fmt::format("must be a list of texts, {}", not_a(*node)),
                      "start each with a dash and put it in quotes");
        return;
    }
    for (std::size_t i = 0; i < node->list.size(); ++i) {
        const Node& caution = node->list[i];
        const std::string name = fmt::format("cautions[{}]", i + 1);
        if (caution.kind != Node::Kind::scalar)
            section.fault(caution, name, "must be a text", quote_hint(caution));
        else if (caution.scalar.empty())
            section.fault(caution, name, "is empty");
        else
            cautions.push_back(caution.scalar);
    }
}

bool is_path(const std::string& name) {
    return name.find('/') != std::string::npos || name.ends_with(".yaml");
}

enum class Named { in_library, in_place };

// Keys that a material file and a material given in place share; only the file must say its name.
std::optional<Material> read_properties(Section& section, Named named) {
    Material material;
    const auto modulus = property(section, "youngs_modulus", true, modulus_range);
    const auto density = property(section, "density", true, density_range);
    const auto poisson = property(section, "poisson_ratio", true, poisson_range);
    material.modulus_change = property(section, "modulus_change", false, modulus_change_range);
    material.expansion = property(section, "expansion", false, expansion_range);
    material.tensile_strength = property(section, "tensile_strength", false, strength_range);
    material.proof_strength = property(section, "proof_strength", false, strength_range);
    material.fatigue_strength = property(section, "fatigue_strength", false, strength_range);
    material.fatigue_cycles = property(section, "fatigue_cycles", false, cycles_range);
    material.loss_factor = property(section, "loss_factor", false, loss_range);
    material.name = (named == Named::in_library ? section.required_text("name") : section.optional_text("name"))
                        .value_or("material given in place");
    material.family = section.optional_text("family").value_or("");
    material.condition = section.optional_text("condition").value_or("");
    material.form = section.optional_word("form", {"strip", "plate"}).value_or("");
    read_cautions(section, material.cautions);
    section.close();
    if (!modulus || !density || !poisson) return std::nullopt;
    material.youngs_modulus = *modulus;
    material.density = *density;
    material.poisson_ratio = *poisson;
    return material;
}

}  // namespace

std::vector<std::string> MaterialLibrary::names() const {
    std::vector<std::string> names;
    std::error_code error;
    // Stepping on may fail as well as opening, and a range-based loop would throw something else then.
    for (std::filesystem::directory_iterator entry(folder_, error), end; !error && entry != end; entry.increment(error))
        if (entry->path().extension() == ".yaml") names.push_back(entry->path().stem().string());
    if (error)
        throw InputError({Diagnostic{
            Place{folder_.string(), 0, 0}, "the folder of materials cannot be read: " + error.message(), {}, {}}});
    std::sort(names.begin(), names.end());
    return names;
}

std::filesystem::path MaterialLibrary::file_of(const std::string& name, const std::filesystem::path& named_in) const {
    return is_path(name) ? named_in.parent_path() / name : folder_ / (name + ".yaml");
}

std::vector<std::string> MaterialLibrary::of_family(std::string_view word) const {
    const auto lower = [](std::string_view text) {
        std::string result;
        for (const char c : text)
            result += c == '-' ? ' ' : static_cast<char>(c >= 'A' && c <= 'Z' ? c + ('a' - 'A') : c);
        return result;
    };
    const std::string wanted = lower(word);
    std::vector<std::string> result;
    if (wanted.empty()) return result;
    for (const std::string& name : names()) {
        try {
            // "silver" is a word of "nickel silver".
            const std::string family = lower(read_material_file(file_of(name, "")).family);
            if (!family.empty() && (' ' + family + ' ').find(' ' + wanted + ' ') != std::string::npos)
                result.push_back(name);
        } catch (const InputError&) {
            // Whoever wants that file is told what is wrong with it.
        }
    }
    return result;
}

std::vector<std::string> MaterialLibrary::near(const std::string& name) const {
    std::vector<std::string> result;
    const std::vector<std::string> all = names();
    for (const std::string& known : all)
        if (!name.empty() && known.starts_with(name)) result.push_back(known);
    if (result.empty()) result = of_family(name);
    if (!result.empty()) return result;
    if (const std::string nearest = nearest_word(name, all); !nearest.empty()) result.push_back(nearest);
    return result;
}

std::string did_you_mean(const std::vector<std::string>& names) {
    std::string text;
    for (std::size_t i = 0; i < names.size(); ++i)
        text += (i == 0 ? "" : i + 1 == names.size() ? " or " : ", ") + names[i];
    return fmt::format("did you mean {}?", text);
}

Material read_material_file(const std::filesystem::path& file) {
    const Document document = read_yaml_file(file);
    Faults faults(document);
    Section section(faults, document.root, "");
    std::optional<Material> material = read_properties(section, Named::in_library);
    faults.throw_if_any();
    material->id = file.stem().string();
    return std::move(*material);
}

std::optional<Material> read_material(Section& section, std::string_view key, bool required,
                                      const MaterialLibrary& library) {
    const Node* node = section.find(key, required);
    if (node == nullptr) return std::nullopt;
    if (node->kind == Node::Kind::mapping) {
        Section given(section.faults(), *node, section.full_name(key));
        return read_properties(given, Named::in_place);
    }
    if (node->kind != Node::Kind::scalar || node->scalar.empty()) {
        section.fault(*node, key,
                      fmt::format("must be the name of a material, a path, or a mapping, {}", not_a(*node)));
        return std::nullopt;
    }
    const std::filesystem::path file = library.file_of(node->scalar, node->place.line > 0 ? node->place.source : "");
    if (!input_stands(file)) {
        const std::vector<std::string> names = library.names();
        const bool path = is_path(node->scalar);
        const auto near = library.near(path ? file.stem().string() : node->scalar);
        section.fault(*node, key,
                      path ? fmt::format("there is no file {}", file.string())
                           : fmt::format("there is no material '{}'", node->scalar),
                      near.empty() ? fmt::format("known: {}", fmt::join(names, ", ")) : did_you_mean(near));
        return std::nullopt;
    }
    try {
        return read_material_file(file);
    } catch (const InputError& error_of_file) {
        // What is wrong with the file as a whole has no line of its own to be shown at.
        const Diagnostic& first = error_of_file.diagnostics().front();
        if (first.place.line == 0)
            section.fault(*node, key, fmt::format("{}: {}", first.place.source, first.message), first.hint);
        else
            section.faults().add_all(node->place, error_of_file);
        return std::nullopt;
    }
}

}  // namespace reedwright
