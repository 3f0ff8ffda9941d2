// The reed of the worked case: a measured mouth-organ reed, Millot and Baumann 2007, Acta Acust. 93:122, Table 2
// (444 Hz, 47.9 N/m, Q 95, 12.95 x 2.1 mm, plate 0.9 mm, clearance 0.05 mm), with the mode of a uniform beam, in an
// inlet of our choice. Its numbers were computed apart from this project with SciPy's solve_ivp and eig.
#pragma once

#include "core/wind/blown_reed.hpp"

#include <cmath>
#include <numbers>

namespace reedwright::test {

inline BlownReed worked_reed() {
    constexpr double mean_of_shape = 0.39149567;  // int phi of a uniform cantilever, tip 1
    const double omega = 2.0 * std::numbers::pi * 444.0;
    const Length length = 12.95 * millimetre, width = 2.1 * millimetre;
    return BlownReed{.modal_mass = Mass::from_value(47.9 / (omega * omega)),
                     .stiffness = Stiffness::from_value(47.9),
                     .quality = 95.0,
                     .swept_area = mean_of_shape * length * width,
                     .opening = Opening::of_uniform_beam(length, width, 0.05 * millimetre, 0.9 * millimetre),
                     .rest_gap = 0.2 * millimetre,
                     .mounting = Mounting::closing,
                     .inlet_length = 20.0 * millimetre,
                     .inlet_area = 25.0 * millimetre * millimetre,
                     .air_density = 1.2 * kilogram_per_cubic_metre,
                     .sound_speed = Velocity::from_value(343.0),
                     .contraction = 0.61,
                     .chamber = std::nullopt,
                     .swing_loss = std::nullopt};
}

inline Volume cubic_centimetres(double count) {
    return Volume::from_value(count * 1e-6);
}

/// Its drag: int b phi^(8/3) dx over a uniform beam's mode.
inline SwingLoss worked_drag() {
    double sum = 0.0;
    constexpr int parts = 2000;
    for (int i = 0; i < parts; ++i) sum += std::pow(uniform_beam_shape((i + 0.5) / parts), 8.0 / 3.0) / parts;
    return {sum * 12.95 * millimetre * 2.1 * millimetre, 2.1 * millimetre};
}

}  // namespace reedwright::test
