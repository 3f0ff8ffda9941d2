#include "core/uncertainty/inputs.hpp"

#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

template <class Quantity>
std::optional<double> share_of_value(const Property<Quantity>& property) {
    if (!property.sigma) return std::nullopt;
    return property.sigma->value() / property.value.value();
}

Profile moved(const Profile& profile, double stretch, Length more) {
    std::vector<Station> stations = profile.stations();
    for (Station& station : stations) {
        station.at *= stretch;
        station.value += more;
    }
    return Profile(std::move(stations));
}

}  // namespace

std::string_view input_name(Input input) {
    switch (input) {
        case Input::thickness:
            return "thickness";
        case Input::modulus:
            return "Young's modulus";
        case Input::density:
            return "density";
        case Input::poisson:
            return "Poisson's ratio";
        case Input::length:
            return "length";
        case Input::width:
            return "width";
        case Input::seat:
            return "seat";
    }
    return "";
}

std::optional<double> standard_deviation(const Reed& reed, Input input) {
    switch (input) {
        case Input::thickness:
            return reed.spread.thickness.value();
        case Input::modulus:
            return reed.spread.modulus_share ? reed.spread.modulus_share
                                             : share_of_value(reed.tongue.material.youngs_modulus);
        case Input::density:
            return reed.spread.density_share ? reed.spread.density_share : share_of_value(reed.tongue.material.density);
        case Input::poisson: {
            const auto& sigma = reed.tongue.material.poisson_ratio.sigma;
            return sigma ? std::optional(sigma->value()) : std::nullopt;
        }
        case Input::length:
            return reed.spread.length.value();
        case Input::width:
            return reed.spread.width.value();
        case Input::seat:
            return reed.seat.give_sigma;
    }
    return std::nullopt;
}

std::string standard_deviation_text(const Reed& reed, Input input) {
    const auto sigma = standard_deviation(reed, input);
    if (!sigma) return "not known";
    switch (input) {
        case Input::thickness:
        case Input::length:
        case Input::width:
            return fmt::format("{:.3g} um", *sigma * 1e6);
        case Input::modulus:
        case Input::density:
            return fmt::format("{:.2g} %", *sigma * 100.0);
        case Input::poisson:
            return fmt::format("{:.2g}", *sigma);
        case Input::seat:
            return fmt::format("{:.2g} root thicknesses", *sigma);
    }
    return "";
}

Reed with_deviations(const Reed& reed, const Deviations& deviations) {
    const auto amount = [&](Input input) {
        return deviations[index_of(input)] * standard_deviation(reed, input).value_or(0.0);
    };
    Reed result = reed;
    Material& material = result.tongue.material;
    material.youngs_modulus.value *= 1.0 + amount(Input::modulus);
    material.density.value *= 1.0 + amount(Input::density);
    material.poisson_ratio.value =
        Ratio(std::clamp(material.poisson_ratio.value.value() + amount(Input::poisson), 0.0, 0.49));
    const Length thicker = Length::from_value(amount(Input::thickness));
    const Length wider = Length::from_value(amount(Input::width));
    const double stretch = 1.0 + amount(Input::length) / reed.tongue.length().value();
    result.tongue.thickness = moved(reed.tongue.thickness, stretch, thicker);
    result.tongue.width = moved(reed.tongue.width, stretch, wider);
    for (Load& load : result.tongue.loads) load.at *= stretch;
    result.seat.root_thickness += thicker;
    result.seat.root_width += wider;
    result.seat.give = std::max(0.0, reed.seat.give + amount(Input::seat));
    return result;
}

std::array<double, input_count> cents_per_deviation(const Reed& reed, const Vibration& vibration, Model model) {
    const Sensitivities s = vibration.sensitivities();
    const auto sigma = [&](Input input) { return standard_deviation(reed, input).value_or(0.0); };
    const auto by_difference = [&](Input input) {
        Deviations one{};
        one[index_of(input)] = 1.0;
        const Reed other = with_deviations(reed, one);
        const Frequency there = fundamental_frequency(other.tongue, other.seat, other.temperature, model);
        return interval_between(vibration.fundamental(), there).value();
    };
    std::array<double, input_count> cents{};

    // The seat's spring goes as b h^2 / (give + the clamp's layer), all as made, and the layer as ln(b / h) too.
    const ClampLayer layer = clamp_layer_of(reed.tongue.material, reed.seat, model);
    const double total_give = std::max(reed.seat.give + layer.give, 1e-9);
    const double by_layer = layer.by_ln_width / total_give;
    IntervalPerLength thicker = (2.0 + by_layer) * s.by_seat / reed.seat.root_thickness;
    for (const IntervalPerLength& station : s.by_thickness) thicker += station;
    cents[index_of(Input::thickness)] = (thicker * Length::from_value(sigma(Input::thickness))).value();
    IntervalPerLength wider = (1.0 - by_layer) * s.by_seat / reed.seat.root_width;
    for (const IntervalPerLength& station : s.by_width) wider += station;
    cents[index_of(Input::width)] = (wider * Length::from_value(sigma(Input::width))).value();

    cents[index_of(Input::modulus)] = s.by_modulus.value() * sigma(Input::modulus);
    cents[index_of(Input::density)] = s.by_density.value() * sigma(Input::density);
    cents[index_of(Input::length)] = (s.by_length * Length::from_value(sigma(Input::length))).value();
    // A rigid root has no spring to vary; then one deviation is solved, as for Poisson's ratio.
    if (reed.seat.give > 0.0)
        cents[index_of(Input::seat)] = -s.by_seat.value() * sigma(Input::seat) / total_give;
    else if (sigma(Input::seat) > 0.0)
        cents[index_of(Input::seat)] = by_difference(Input::seat);
    if (sigma(Input::poisson) > 0.0 && model.tier == Tier::strip)
        cents[index_of(Input::poisson)] = by_difference(Input::poisson);
    return cents;
}

std::array<double, input_count> uncorrelated(std::array<double, input_count> effects, const Reed& reed) {
    const double correlation = reed.seat.modulus_correlation;
    effects[index_of(Input::modulus)] += correlation * effects[index_of(Input::seat)];
    effects[index_of(Input::seat)] *= std::sqrt(1.0 - correlation * correlation);
    return effects;
}

}  // namespace reedwright
