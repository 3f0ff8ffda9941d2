#include "core/quantity/quantity.hpp"

#include <cmath>

namespace reedwright {

namespace {
constexpr double zero_celsius_k = 273.15;
}

Temperature celsius(double degrees) {
    return Temperature::from_value(zero_celsius_k + degrees);
}

double in_celsius(Temperature temperature) {
    return temperature.value() - zero_celsius_k;
}

Interval interval_between(Frequency from, Frequency to) {
    return Interval::from_value(1200.0 * std::log2(to.value() / from.value()));
}

Frequency raised_by(Frequency pitch, Interval interval) {
    return pitch * std::exp2(interval.value() / 1200.0);
}

}  // namespace reedwright
