// Quantities as people write them: "15 mm", "0.12mm", "110 GPa", "20 degC", "-12 cents".
#pragma once

#include "core/quantity/quantity.hpp"

#include <string>
#include <string_view>
#include <tl/expected.hpp>

namespace reedwright {

/// The dimensions that a file or an option can hold.
enum class Dimension {
    length,
    area,
    volume,
    mass,
    density,
    pressure,
    frequency,
    time,
    temperature,
    temperature_difference,
    per_temperature,
    interval,
    ratio,
    stiffness,
    force
};

template <class Quantity>
struct DimensionOf;
template <>
struct DimensionOf<Length> {
    static constexpr Dimension value = Dimension::length;
};
template <>
struct DimensionOf<Area> {
    static constexpr Dimension value = Dimension::area;
};
template <>
struct DimensionOf<Volume> {
    static constexpr Dimension value = Dimension::volume;
};
template <>
struct DimensionOf<Mass> {
    static constexpr Dimension value = Dimension::mass;
};
template <>
struct DimensionOf<Density> {
    static constexpr Dimension value = Dimension::density;
};
template <>
struct DimensionOf<Pressure> {
    static constexpr Dimension value = Dimension::pressure;
};
template <>
struct DimensionOf<Frequency> {
    static constexpr Dimension value = Dimension::frequency;
};
template <>
struct DimensionOf<Time> {
    static constexpr Dimension value = Dimension::time;
};
template <>
struct DimensionOf<Temperature> {
    static constexpr Dimension value = Dimension::temperature;
};
template <>
struct DimensionOf<TemperatureDifference> {
    static constexpr Dimension value = Dimension::temperature_difference;
};
template <>
struct DimensionOf<PerTemperature> {
    static constexpr Dimension value = Dimension::per_temperature;
};
template <>
struct DimensionOf<Interval> {
    static constexpr Dimension value = Dimension::interval;
};
template <>
struct DimensionOf<Stiffness> {
    static constexpr Dimension value = Dimension::stiffness;
};
template <>
struct DimensionOf<Force> {
    static constexpr Dimension value = Dimension::force;
};
template <>
struct DimensionOf<Ratio> {
    static constexpr Dimension value = Dimension::ratio;
};

/// Why a text is not the quantity that is due, and what to write instead (may be empty).
struct QuantityFault {
    std::string message;
    std::string hint;
};

/// Reads a number and its unit. A ratio may stand bare or in percent; every other dimension needs
/// its unit. Refused, each with its reason: no number, a decimal comma, a non-finite or overflowing
/// value, a missing or unknown unit, a unit of another dimension. Independent of the locale.
/// Returns the value in SI (kelvin for a temperature, cents for an interval).
tl::expected<double, QuantityFault> parse_si(std::string_view raw, Dimension due);

/// parse_si() as a typed quantity: parse_quantity<Length>("0.12mm").
template <class Quantity>
tl::expected<Quantity, QuantityFault> parse_quantity(std::string_view text) {
    return parse_si(text, DimensionOf<Quantity>::value).map([](double value_si) {
        return Quantity::from_value(value_si);
    });
}

/// A value in the unit in which the trade reads that dimension, with at most six significant
/// digits and no trailing zeros: "0.12 mm", "110 GPa", "20 degC", "-12 cents", "-390 ppm/K".
std::string si_text(double value_si, Dimension dimension);

template <class Quantity>
std::string to_text(Quantity quantity) {
    return si_text(quantity.value(), DimensionOf<Quantity>::value);
}

/// The article and name of a dimension, "a length", as error messages say it.
std::string_view dimension_name(Dimension dimension);

}  // namespace reedwright
