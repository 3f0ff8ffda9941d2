// A reed along the pressure and along its rest gap.
#pragma once

#include "core/wind/sounding.hpp"

#include <optional>
#include <vector>

namespace reedwright {

/// The pressures at which a reed begins, goes on, and chokes.
struct PressureLimits {
    /// From rest; empty: never.
    SpeakingRange from_rest;
    /// Of a reed that swings already; empty where it does not speak from rest.
    std::optional<Pressure> offset;
    std::optional<Pressure> kept_to;
};
PressureLimits pressure_limits(const BlownReed& reed);

/// One pressure of a sweep.
struct BlowPoint {
    Pressure pressure;
    /// Of a small swing from rest.
    Rate growth;
    Sounding sounding;
    /// With the loss given; empty when that swing does not settle.
    std::optional<Length> swing_with_loss;
};
BlowPoint blow_point(const BlownReed& reed, const SwingLoss& loss, Pressure pressure);
std::vector<BlowPoint> pressure_sweep(const BlownReed& reed, const SwingLoss& loss,
                                      const std::vector<Pressure>& pressures);

/// Round pressures from the first at which a reed can sound up to 3000 Pa; and evenly spaced ones over a span.
std::vector<Pressure> usual_pressures(Pressure lowest);
std::vector<Pressure> even_pressures(Pressure low, Pressure high, std::size_t count);

/// The same reed with another rest gap.
struct GapPoint {
    Length gap;
    SpeakingRange range;
};
struct GapEffect {
    /// By rising gap.
    std::vector<GapPoint> points;
    /// The one that speaks with the least pressure; empty when none speaks.
    std::optional<GapPoint> easiest;
    /// The smallest that no pressure up to 3000 Pa chokes from rest (a reed should not choke below; common practice, no
    /// source); empty when none is so.
    std::optional<GapPoint> unchoked;
};
GapEffect rest_gap_effect(const BlownReed& reed, std::vector<Length> shown);

}  // namespace reedwright
