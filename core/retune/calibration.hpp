// What a few measured tongues say about their lot of strip and about how the shop's seats give.
#pragma once

#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <string>
#include <vector>

namespace reedwright {

/// A tongue with measured dimensions and a measured pitch. The reed holds its dimensions, the
/// library's material, the prior seat, and the temperature and air of the reading.
struct MeasuredTongue {
    std::string name;
    Reed reed;
    Frequency reading;
};

/// A value and one standard deviation.
struct Estimate {
    double value;
    double sigma;
};

struct CalibratedTongue {
    std::string name;
    /// Reading above the calibrated model's pitch.
    Interval residual;
    /// The residual in its own expected standard deviations, judged by a fit to the other tongues.
    double standardised;
    bool outlier;
    /// The most probable error of the thickness as measured: the pitch weighs it better than a micrometer.
    Length thickness_correction;
};

struct Calibration {
    /// The material's name in the library.
    std::string material;
    /// sqrt(E / rho) of the lot over the library's.
    Estimate speed_factor;
    /// Seat in root thicknesses.
    Estimate give;
    /// Correlation of the two.
    double correlation;
    Estimate prior_speed_factor;
    Estimate prior_give;
    std::vector<CalibratedTongue> tongues;
};

/// Weighted least squares with priors (the mode of the posterior of normal quantities): the logarithm of
/// the lot's speed factor, prior spread from the material's modulus and density; the give, prior from the
/// reeds; a reading's own spread from tuner, thickness, length and width, independent from tongue to tongue.
/// Gauss-Newton with the exact derivatives. A tongue more than three standard deviations from the fit to
/// the others is an outlier, named and left out, the worst first; at least two are always kept.
/// All reeds must share material and prior seat. Throws std::invalid_argument when there are none.
Calibration calibrate(const std::vector<MeasuredTongue>& tongues, Model model = {});

/// What speaks against believing a calibration, in words, of the material that its tongues were reckoned with: a
/// modulus outside the alloy's published range, a seat that gives nothing, a speed factor or a give more than two
/// standard deviations from what was expected before, fewer than three tongues kept.
std::vector<std::string> calibration_warnings(const Calibration& calibration, const Material& material);

/// The reed with the lot's modulus and its spread, and with the calibrated seat unless the file states its
/// own; a calibrated seat keeps its correlation with the modulus.
/// Throws InputError when the reed is of another material.
Reed with_calibration(const Reed& reed, const Calibration& calibration);

}  // namespace reedwright
