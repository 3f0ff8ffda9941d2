// A reed to listen to: the wind swells to its pressure, and stays.
#pragma once

#include "core/wind/blown_reed.hpp"

#include <vector>

namespace reedwright {

struct SoundRequest {
    Pressure pressure;
    /// Over which the pressure rises evenly from nothing.
    Time swell = 1.5 * second;
    /// For which it then stays.
    Time hold = 2.5 * second;
    int samples_per_second = 48000;
};

/// What is heard far away in open air, as a share of its peak, one value per sample: a small source radiates the change
/// of its flow in time, which is followed four times finer and low-passed so that partials above half of the rate do
/// not fold back. Room, cover and hands are not in it. The reed starts still, without any wind. Throws InputError as
/// check_pressure().
std::vector<double> blown_sound(const BlownReed& reed, const SoundRequest& request);

}  // namespace reedwright
