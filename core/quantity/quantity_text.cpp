#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <array>
#include <charconv>
#include <cmath>
#include <optional>
#include <span>

namespace reedwright {

namespace {

struct Unit {
    std::string_view name;
    Dimension dimension;
    double factor;
    double offset = 0.0;
};

// "\u00b5" is the micro sign, "\u03bc" the Greek letter: keyboards give either.
constexpr auto units = std::to_array<Unit>({
    {"mm", Dimension::length, 1e-3},
    {"um", Dimension::length, 1e-6},
    {"\u00b5m", Dimension::length, 1e-6},
    {"\u03bcm", Dimension::length, 1e-6},
    {"cm", Dimension::length, 1e-2},
    {"m", Dimension::length, 1.0},
    {"in", Dimension::length, 25.4e-3},
    {"mm^2", Dimension::area, 1e-6},
    {"mm\u00b2", Dimension::area, 1e-6},
    {"cm^2", Dimension::area, 1e-4},
    {"cm\u00b2", Dimension::area, 1e-4},
    {"m^2", Dimension::area, 1.0},
    {"cm^3", Dimension::volume, 1e-6},
    {"cm\u00b3", Dimension::volume, 1e-6},
    {"mm^3", Dimension::volume, 1e-9},
    {"mm\u00b3", Dimension::volume, 1e-9},
    {"mL", Dimension::volume, 1e-6},
    {"L", Dimension::volume, 1e-3},
    {"m^3", Dimension::volume, 1.0},
    {"mg", Dimension::mass, 1e-6},
    {"g", Dimension::mass, 1e-3},
    {"kg", Dimension::mass, 1.0},
    {"kg/m^3", Dimension::density, 1.0},
    {"kg/m\u00b3", Dimension::density, 1.0},
    {"g/cm^3", Dimension::density, 1e3},
    {"g/cm\u00b3", Dimension::density, 1e3},
    {"Pa", Dimension::pressure, 1.0},
    {"hPa", Dimension::pressure, 1e2},
    {"kPa", Dimension::pressure, 1e3},
    {"MPa", Dimension::pressure, 1e6},
    {"GPa", Dimension::pressure, 1e9},
    {"Hz", Dimension::frequency, 1.0},
    {"kHz", Dimension::frequency, 1e3},
    {"h", Dimension::time, 3600.0},
    {"min", Dimension::time, 60.0},
    {"s", Dimension::time, 1.0},
    {"ms", Dimension::time, 1e-3},
    {"degC", Dimension::temperature, 1.0, 273.15},
    {"\u00b0C", Dimension::temperature, 1.0, 273.15},
    {"K", Dimension::temperature, 1.0},
    {"K", Dimension::temperature_difference, 1.0},
    {"ppm/K", Dimension::per_temperature, 1e-6},
    {"1/K", Dimension::per_temperature, 1.0},
    {"cents", Dimension::interval, 1.0},
    {"cent", Dimension::interval, 1.0},
    {"c", Dimension::interval, 1.0},
    {"%", Dimension::ratio, 1e-2},
    {"N/m", Dimension::stiffness, 1.0},
    {"mN/mm", Dimension::stiffness, 1.0},
    {"N", Dimension::force, 1.0},
});

struct Trait {
    std::string_view name;     // with its article
    std::string_view example;  // a right way to write it
    std::string_view print_unit;
    double print_factor;
    double print_offset = 0.0;
};

constexpr std::array<Trait, 15> traits{{
    {"a length", "um, mm, cm, m or in", "mm", 1e-3},
    {"an area", "mm^2, cm^2 or m^2", "mm^2", 1e-6},
    {"a volume", "mm^3, cm^3, mL, L or m^3", "cm^3", 1e-6},
    {"a mass", "mg, g or kg", "mg", 1e-6},
    {"a density", "kg/m^3 or g/cm^3", "kg/m^3", 1.0},
    {"a pressure or modulus", "Pa, hPa, kPa, MPa or GPa", "Pa", 1.0},
    {"a frequency", "Hz or kHz", "Hz", 1.0},
    {"a time", "ms, s, min or h", "s", 1.0},
    {"a temperature", "degC or K", "degC", 1.0, 273.15},
    {"a temperature difference", "K", "K", 1.0},
    {"a value per kelvin", "ppm/K or 1/K", "ppm/K", 1e-6},
    {"an interval", "cents or c", "cents", 1.0},
    {"a ratio", "a plain number or %", "", 1.0},
    {"a stiffness", "N/m", "N/m", 1.0},
    {"a force", "N", "N", 1.0},
}};

const Trait& trait_of(Dimension dimension) {
    return traits.at(static_cast<std::size_t>(dimension));
}

std::string_view trimmed(std::string_view text) {
    constexpr std::string_view blanks = " \t";
    const auto first = text.find_first_not_of(blanks);
    if (first == std::string_view::npos) return {};
    return text.substr(first, text.find_last_not_of(blanks) - first + 1);
}

tl::unexpected<QuantityFault> fault(std::string message, std::string hint = {}) {
    return tl::unexpected(QuantityFault{std::move(message), std::move(hint)});
}

// "inf", "-Infinity", ".nan" and the like, with or without a unit behind.
bool is_non_finite(std::string_view text) {
    std::string word;
    for (const char c : text.substr(0, text.find(' ')))
        word += static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
    if (word.starts_with('+') || word.starts_with('-')) word.erase(0, 1);
    if (word.starts_with('.')) word.erase(0, 1);
    return word == "inf" || word == "infinity" || word == "nan";
}

const Unit* find_unit(std::string_view name, Dimension due) {
    const Unit* other = nullptr;
    for (const Unit& unit : units) {
        if (unit.name != name) continue;
        if (unit.dimension == due) return &unit;
        other = &unit;
    }
    return other;
}

tl::unexpected<QuantityFault> unknown_unit(std::string_view text, std::string_view unit, Dimension due) {
    const Trait& trait = trait_of(due);
    if (due == Dimension::temperature && (unit == "C" || unit == "deg" || unit == "\u00b0"))
        return fault(fmt::format("unknown unit '{}' in '{}'", unit, text), "write degC");
    for (const Unit& known : units) {
        const bool same_letters = known.dimension == due && known.name.size() == unit.size() &&
                                  std::equal(unit.begin(), unit.end(), known.name.begin(),
                                             [](char a, char b) { return (a | 0x20) == (b | 0x20); });
        if (same_letters)
            return fault(fmt::format("unknown unit '{}' in '{}'", unit, text),
                         fmt::format("did you mean {}?", known.name));
    }
    return fault(fmt::format("unknown unit '{}' in '{}'", unit, text),
                 fmt::format("{} takes {}", trait.name, trait.example));
}

}  // namespace

std::string_view dimension_name(Dimension dimension) {
    return trait_of(dimension).name;
}

tl::expected<double, QuantityFault> parse_si(std::string_view raw, Dimension due) {
    const std::string_view text = trimmed(raw);
    const Trait& trait = trait_of(due);
    if (text.empty()) return fault(fmt::format("nothing is written where {} is due", trait.name));

    // from_chars takes no leading plus and would take "inf" and "nan"; after a plus a minus is a slip.
    std::string_view number = text;
    if (number.front() == '+') number.remove_prefix(1);
    const bool digit_or_point =
        !number.empty() && (number.front() == '.' || (number.front() >= '0' && number.front() <= '9'));
    const bool after_minus =
        text.front() == '-' && text.size() > 1 && (text[1] == '.' || (text[1] >= '0' && text[1] <= '9'));
    double value = 0.0;
    const char* end = number.data();
    std::errc error = std::errc::invalid_argument;
    if (digit_or_point || after_minus) {
        const auto result = std::from_chars(number.data(), number.data() + number.size(), value);
        end = result.ptr;
        error = result.ec;
    }
    if (error == std::errc::result_out_of_range || (error == std::errc{} && !std::isfinite(value)))
        return fault(fmt::format("'{}' is too large or too small a number", text));
    if (error != std::errc{}) {
        if (is_non_finite(text)) return fault(fmt::format("'{}' is not a finite number", text));
        return fault(fmt::format("'{}' is not {}", text, trait.name), fmt::format("it takes {}", trait.example));
    }
    const std::string_view rest = number.substr(static_cast<std::size_t>(end - number.data()));
    if (!rest.empty() && rest.front() == ',')
        return fault(fmt::format("'{}' has a decimal comma", text), "write the number with a point");
    const std::string_view unit_name = trimmed(rest);
    if (unit_name.empty()) {
        if (due == Dimension::ratio) return value;
        return fault(fmt::format("'{}' has no unit, and {} needs one", text, trait.name),
                     fmt::format("it takes {}", trait.example));
    }
    const Unit* unit = find_unit(unit_name, due);
    if (unit == nullptr) return unknown_unit(text, unit_name, due);
    if (unit->dimension != due) {
        if (due == Dimension::temperature_difference && unit->dimension == Dimension::temperature)
            return fault(fmt::format("'{}' is a temperature, not a difference of temperatures", text), "write it in K");
        const bool water_column = due == Dimension::pressure && unit->dimension == Dimension::length;
        return fault(fmt::format("'{}' is {}, not {}", text, trait_of(unit->dimension).name, trait.name),
                     water_column ? "a column of water of 1 cm presses with 98 Pa, one of 5 cm with 490 Pa"
                                  : fmt::format("it takes {}", trait.example));
    }
    const double value_si = value * unit->factor + unit->offset;
    if (!std::isfinite(value_si)) return fault(fmt::format("'{}' is too large or too small a number", text));
    return value_si;
}

std::string si_text(double value_si, Dimension dimension) {
    const Trait& trait = trait_of(dimension);
    double factor = trait.print_factor;
    std::string_view unit = trait.print_unit;
    const double size = std::abs(value_si);
    if (dimension == Dimension::pressure) {
        constexpr std::array<std::pair<double, std::string_view>, 3> larger{{{1e9, "GPa"}, {1e6, "MPa"}, {1e3, "kPa"}}};
        for (const auto& [scale, name] : larger)
            if (size >= scale) {
                factor = scale;
                unit = name;
                break;
            }
    }
    if (dimension == Dimension::mass && size >= 1e-3) {
        factor = 1e-3;
        unit = "g";
    }
    if (dimension == Dimension::time && size >= 3600.0) {
        factor = 3600.0;
        unit = "h";
    }
    const double shown = (value_si - trait.print_offset) / factor;
    return unit.empty() ? fmt::format("{:.6g}", shown) : fmt::format("{:.6g} {}", shown, unit);
}

}  // namespace reedwright
