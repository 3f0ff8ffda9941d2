#include "core/uncertainty/reduced_pitch.hpp"

#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/random.hpp"
#include "core/uncertainty/reduced_strip_of_reed.hpp"
#include "core/vibration/pitch.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

ReducedPitch::ReducedPitch(const Reed& reed, Model model) : ReducedPitch(reed, model, kernel::widest_lanes()) {}

ReducedPitch::ReducedPitch(const Reed& reed, Model model, const kernel::Lanes& lanes)
    : reed_(reed),
      model_(model),
      nominal_(pitch_of(reed, model).pitch),
      strip_(kernel::reduced_strip_of(reed, model, reach)),
      lanes_(&lanes) {}

ReducedPitch::~ReducedPitch() = default;
ReducedPitch::ReducedPitch(ReducedPitch&&) noexcept = default;
ReducedPitch& ReducedPitch::operator=(ReducedPitch&&) noexcept = default;

bool ReducedPitch::can_stand_for(const Reed& reed, Model model) {
    const auto deviation = [&](Input input) { return reach * standard_deviation(reed, input).value_or(0.0); };
    const double nu = model.tier == Tier::strip ? reed.tongue.material.poisson_ratio.value.value() : 0.0;
    const bool layered = model.tier == Tier::strip && model.solid_corrections;
    const bool rigid = reed.seat.give == 0.0 && !(layered && nu > 0.0);
    if (rigid && (deviation(Input::seat) > 0.0 || (layered && deviation(Input::poisson) > 0.0))) return false;
    return deviation(Input::thickness) < reed.tongue.thickness.smallest().value() &&
           deviation(Input::width) < reed.tongue.width.smallest().value() &&
           deviation(Input::thickness) < reed.seat.root_thickness.value() &&
           deviation(Input::width) < reed.seat.root_width.value() &&
           deviation(Input::length) < reed.tongue.length().value() && deviation(Input::density) < 1.0 &&
           deviation(Input::modulus) < 1.0;
}

Interval ReducedPitch::cents(const Deviations& deviations) const {
    DeviationColumns columns;
    for (std::size_t i = 0; i < input_count; ++i) columns[i] = {&deviations[i], 1};
    double value = 0.0;
    cents(columns, {&value, 1});
    return value * cent;
}

void ReducedPitch::cents(const DeviationColumns& deviations, std::span<double> values) const {
    std::array<const double*, input_count> columns;
    for (std::size_t i = 0; i < input_count; ++i) columns[i] = deviations[i].data();
    lanes_->pitch_cents(*strip_, columns.data(), values.data(), values.size());
}

Interval ReducedPitch::error_bound(std::size_t tongues) const {
    constexpr std::uint64_t seed = 20080101;
    constexpr std::size_t pairs = (input_count + 1) / 2;
    const RandomSamples random(seed);
    double greatest = 0.0;
    for (std::size_t tongue = 0; tongue < tongues; ++tongue) {
        std::array<double, 2 * pairs> drawn;
        for (std::size_t pair = 0; pair < pairs; ++pair)
            random.rectangular(tongue, static_cast<std::uint32_t>(pair), {&drawn[2 * pair], 1},
                               {&drawn[2 * pair + 1], 1});
        Deviations z{};
        for (std::size_t i = 0; i < input_count; ++i) {
            const double even = 2.0 * drawn[i] - 1.0;
            // Every fourth tongue stands at a corner.
            z[i] = reach * (tongue % 4 == 3 ? std::copysign(1.0, even) : even);
        }
        greatest = std::max(greatest, std::abs((cents(z) - full_model_cents(reed_, nominal_, z, model_)).value()));
    }
    return greatest * cent;
}

Interval full_model_cents(const Reed& reed, Frequency nominal, const Deviations& deviations, Model model) {
    return interval_between(nominal, pitch_of(with_deviations(reed, deviations), model).pitch);
}

}  // namespace reedwright
