// The pitch of a reed as it is mounted: seat, temperature, air.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/air.hpp"
#include "core/vibration/vibration.hpp"

#include <optional>

namespace reedwright {

struct ReedPitch {
    Frequency pitch;
    Frequency in_vacuo;
    /// Empty in vacuo.
    std::optional<AirEffect> air;
    /// False when the metal is not at 20 degC and its coefficients are not known: the pitch then
    /// holds for 20 degC.
    bool temperature_known;
};

ReedPitch pitch_of(const Reed& reed, const Vibration& vibration);
ReedPitch pitch_of(const Reed& reed, Model model = {});

/// The vibration of the reed's tongue on its seat at its temperature.
Vibration vibration_of(const Reed& reed, Model model = {});

/// Quality factor of the plucked reed: the file's own, or 1 / (metal's loss + the air's). The loss in
/// the seat is not known and not counted, so that a computed value is an upper bound; measured reeds
/// lie near 100 (Millot and Baumann 2007, Acta Acust. 93:122, Table 2: 95).
/// Empty when neither the metal's loss nor the air is known.
std::optional<double> quality_of(const Reed& reed, const ReedPitch& pitch);

}  // namespace reedwright
