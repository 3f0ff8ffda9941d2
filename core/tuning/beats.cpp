#include "core/tuning/beats.hpp"

#include <cmath>
#include <stdexcept>

namespace reedwright {

Frequency beat_rate(Frequency low, Frequency high, int p, int q) {
    return std::abs(q * high.value() - p * low.value()) * hertz;
}

Frequency tremolo_partner(Frequency first, Frequency beats) {
    const Frequency partner = first + beats;
    if (partner.value() <= 0.0) throw std::invalid_argument("a tremolo partner at or below 0 Hz");
    return partner;
}

Interval tremolo_offset(Frequency first, Frequency beats) {
    return interval_between(first, tremolo_partner(first, beats));
}

}  // namespace reedwright
