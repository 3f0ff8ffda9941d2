#include "core/retune/calibration.hpp"

#include "core/input/diagnostic.hpp"
#include "core/uncertainty/inputs.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double tuner_cents = 0.5;
constexpr double outlier_deviations = 3.0;
constexpr double cents_per_ln = 1200.0 / std::numbers::ln2;
constexpr double least_give = 0.0;
// Of modulus and seat; at one they could not be told apart.
constexpr double most_correlated = 0.9999;

// One reading linearised at the current estimate.
struct Row {
    double missing_cents;    // reading above the model
    double by_ln_factor;     // cents per unit of ln factor
    double by_give;          // cents per root thickness of give
    double deviation_cents;  // of the reading, dimensions included
    double thickness_cents;  // the thickness's own part of it
};

// Posterior of two normal parameters.
struct Posterior {
    double ln_factor = 0.0;
    double give = 0.0;
    double variance_factor = 0.0;
    double variance_give = 0.0;
    double covariance = 0.0;
};

Reed at_estimate(const Reed& reed, double ln_factor, double give) {
    Reed result = reed;
    result.tongue.material.youngs_modulus.value *= std::exp(2.0 * ln_factor);
    result.seat.give = give;
    return result;
}

Row row_of(const MeasuredTongue& measured, double ln_factor, double give, Model model) {
    const Reed reed = at_estimate(measured.reed, ln_factor, give);
    const Vibration vibration = vibration_of(reed, model);
    Row row{};
    row.missing_cents = interval_between(pitch_of(reed, vibration).pitch, measured.reading).value();
    row.by_ln_factor = cents_per_ln;
    const double layer = clamp_layer_of(reed.tongue.material, reed.seat, model).give;
    row.by_give = -vibration.sensitivities().by_seat.value() / (std::max(give, 1e-3) + layer);
    // What the shop measured on this tongue alone.
    const auto cents = cents_per_deviation(reed, vibration, model);
    row.thickness_cents = cents[static_cast<std::size_t>(Input::thickness)];
    const double length_cents = cents[static_cast<std::size_t>(Input::length)];
    const double width_cents = cents[static_cast<std::size_t>(Input::width)];
    row.deviation_cents = std::sqrt(tuner_cents * tuner_cents + row.thickness_cents * row.thickness_cents +
                                    length_cents * length_cents + width_cents * width_cents);
    return row;
}

struct Priors {
    Estimate ln_factor;
    Estimate give;
};

Priors priors_of(const Reed& reed) {
    const double modulus = standard_deviation(reed, Input::modulus).value_or(0.03);
    const double density = standard_deviation(reed, Input::density).value_or(0.003);
    return {{0.0, 0.5 * std::hypot(modulus, density)}, {reed.seat.give, std::max(reed.seat.give_sigma, 1e-3)}};
}

std::vector<Row> rows_of(const std::vector<const MeasuredTongue*>& tongues, const Posterior& at, Model model) {
    std::vector<Row> rows;
    for (const MeasuredTongue* tongue : tongues) rows.push_back(row_of(*tongue, at.ln_factor, at.give, model));
    return rows;
}

// The most probable parameters for rows linearised at an estimate, one row left out if asked.
Posterior solve(const std::vector<Row>& rows, const Priors& priors, const Posterior& at,
                const Row* left_out = nullptr) {
    // Normal equations of the step, the priors as two more readings.
    double a = 1.0 / (priors.ln_factor.sigma * priors.ln_factor.sigma);
    double d = 1.0 / (priors.give.sigma * priors.give.sigma);
    double b = 0.0;
    double right_factor = a * (priors.ln_factor.value - at.ln_factor);
    double right_give = d * (priors.give.value - at.give);
    for (const Row& row : rows) {
        if (&row == left_out) continue;
        const double weight = 1.0 / (row.deviation_cents * row.deviation_cents);
        a += weight * row.by_ln_factor * row.by_ln_factor;
        b += weight * row.by_ln_factor * row.by_give;
        d += weight * row.by_give * row.by_give;
        right_factor += weight * row.by_ln_factor * row.missing_cents;
        right_give += weight * row.by_give * row.missing_cents;
    }
    const double determinant = a * d - b * b;
    Posterior result;
    result.ln_factor = at.ln_factor + (d * right_factor - b * right_give) / determinant;
    result.give = std::max(least_give, at.give + (a * right_give - b * right_factor) / determinant);
    result.variance_factor = d / determinant;
    result.variance_give = a / determinant;
    result.covariance = -b / determinant;
    return result;
}

Posterior fit(const std::vector<const MeasuredTongue*>& tongues, const Priors& priors, Model model) {
    constexpr int most_rounds = 20;
    Posterior posterior{priors.ln_factor.value, priors.give.value, 0.0, 0.0, 0.0};
    for (int round = 0; round < most_rounds; ++round) {
        const Posterior next = solve(rows_of(tongues, posterior, model), priors, posterior);
        const bool settled =
            std::abs(next.ln_factor - posterior.ln_factor) < 1e-9 && std::abs(next.give - posterior.give) < 1e-7;
        posterior = next;
        if (settled) break;
    }
    return posterior;
}

// A row, linearised at an estimate, against a fit that has not seen it, in expected standard deviations.
double standardised(const Row& row, const Posterior& at, const Posterior& others) {
    const double missing = row.missing_cents - row.by_ln_factor * (others.ln_factor - at.ln_factor) -
                           row.by_give * (others.give - at.give);
    const double variance =
        row.deviation_cents * row.deviation_cents + row.by_ln_factor * row.by_ln_factor * others.variance_factor +
        row.by_give * row.by_give * others.variance_give + 2.0 * row.by_ln_factor * row.by_give * others.covariance;
    return missing / std::sqrt(variance);
}

}  // namespace

Calibration calibrate(const std::vector<MeasuredTongue>& tongues, Model model) {
    if (tongues.empty()) throw std::invalid_argument("no tongue was measured");
    const Priors priors = priors_of(tongues.front().reed);
    std::vector<const MeasuredTongue*> kept;
    for (const MeasuredTongue& tongue : tongues) kept.push_back(&tongue);

    Posterior posterior = fit(kept, priors, model);
    while (kept.size() > 2) {
        const std::vector<Row> rows = rows_of(kept, posterior, model);
        std::vector<double> deviations;
        for (const Row& row : rows)
            deviations.push_back(std::abs(standardised(row, posterior, solve(rows, priors, posterior, &row))));
        const auto worst = std::max_element(deviations.begin(), deviations.end());
        if (*worst <= outlier_deviations) break;
        kept.erase(kept.begin() + (worst - deviations.begin()));
        posterior = fit(kept, priors, model);
    }

    const std::vector<Row> kept_rows = rows_of(kept, posterior, model);
    Calibration result;
    result.material = tongues.front().reed.tongue.material.id;
    result.prior_speed_factor = {std::exp(priors.ln_factor.value), priors.ln_factor.sigma};
    result.prior_give = priors.give;
    result.speed_factor = {std::exp(posterior.ln_factor),
                           std::exp(posterior.ln_factor) * std::sqrt(posterior.variance_factor)};
    result.give = {posterior.give, std::sqrt(posterior.variance_give)};
    result.correlation = posterior.covariance / std::sqrt(posterior.variance_factor * posterior.variance_give);
    for (const MeasuredTongue& tongue : tongues) {
        const auto used = std::find(kept.begin(), kept.end(), &tongue);
        const Row row = used != kept.end() ? kept_rows[static_cast<std::size_t>(used - kept.begin())]
                                           : row_of(tongue, posterior.ln_factor, posterior.give, model);
        const Row* own = used != kept.end() ? &kept_rows[static_cast<std::size_t>(used - kept.begin())] : nullptr;
        const double deviations =
            standardised(row, posterior, own != nullptr ? solve(kept_rows, priors, posterior, own) : posterior);
        const double share = row.thickness_cents * row.missing_cents / (row.deviation_cents * row.deviation_cents);
        result.tongues.push_back(
            {tongue.name, row.missing_cents * cent, deviations, own == nullptr, share * tongue.reed.spread.thickness});
    }
    return result;
}

std::vector<std::string> calibration_warnings(const Calibration& calibration, const Material& material) {
    constexpr std::size_t least_tongues = 3;
    constexpr double far_deviations = 2.0;
    // What is printed as 0.00.
    constexpr double no_give = 0.005;
    std::vector<std::string> warnings;
    const auto kept = static_cast<std::size_t>(std::count_if(calibration.tongues.begin(), calibration.tongues.end(),
                                                             [](const CalibratedTongue& one) { return !one.outlier; }));
    if (kept < least_tongues)
        warnings.push_back(
            fmt::format("{} {} no lot: a wrong dimension of one passes for the alloy's or the seat's; "
                        "measure {} at least, short and long ones",
                        kept, kept == 1 ? "tongue makes" : "tongues make", least_tongues));
    const auto deviations = [](const Estimate& before, const Estimate& after) {
        return (after.value - before.value) / before.sigma;
    };
    const double speed = calibration.speed_factor.value;
    const auto& modulus = material.youngs_modulus;
    const Pressure implied = speed * speed * modulus.value;
    const bool outside = (modulus.low && implied < *modulus.low) || (modulus.high && implied > *modulus.high);
    const double far_speed = deviations(calibration.prior_speed_factor, calibration.speed_factor);
    const std::string look = "look for a thickness measured wrongly, another alloy, or pitches read in other air";
    if (outside)
        warnings.push_back(
            fmt::format("the speed factor means a modulus of {:.1f} GPa, outside the {:.0f} to {:.0f} GPa "
                        "published of {}: {}",
                        in(implied, gigapascal), in(modulus.low.value_or(modulus.value), gigapascal),
                        in(modulus.high.value_or(modulus.value), gigapascal), calibration.material, look));
    else if (std::abs(far_speed) > far_deviations)
        warnings.push_back(
            fmt::format("the speed factor lies {:+.1f} standard deviations from what is expected of {}: {}", far_speed,
                        calibration.material, look));
    const double far_give = deviations(calibration.prior_give, calibration.give);
    if (calibration.give.value < no_give && calibration.prior_give.value >= no_give)
        warnings.emplace_back(
            "the seat would give nothing, which no riveted or bonded root does: the tongues are stiffer than their "
            "dimensions say, look for a length or a thickness measured wrongly");
    else if (std::abs(far_give) > far_deviations)
        warnings.push_back(fmt::format("the give lies {:+.1f} standard deviations from what is expected of a seat: {}",
                                       far_give,
                                       far_give > 0.0 ? "look for loose rivets, or lengths measured short"
                                                      : "look for lengths or thicknesses measured wrongly"));
    return warnings;
}

Reed with_calibration(const Reed& reed, const Calibration& calibration) {
    if (reed.tongue.material.id != calibration.material)
        throw InputError(
            fmt::format("the calibration is of {}, the tongue of {}", calibration.material,
                        reed.tongue.material.id.empty() ? "a material given in place" : reed.tongue.material.id));
    Reed result = reed;
    const double factor = calibration.speed_factor.value;
    result.tongue.material.youngs_modulus.value *= factor * factor;
    // The factor's spread is that of modulus and density together, so the density adds none.
    result.spread.modulus_share = 2.0 * calibration.speed_factor.sigma / factor;
    result.spread.density_share = 0.0;
    if (!reed.seat.stated) {
        result.seat.give = calibration.give.value;
        result.seat.give_sigma = calibration.give.sigma;
        result.seat.modulus_correlation = std::clamp(calibration.correlation, -most_correlated, most_correlated);
        std::erase_if(result.assumed, [](const std::string& told) { return told.starts_with("seat.give "); });
        result.assumed.push_back(fmt::format("seat.give {:.2f} (from the calibration)", calibration.give.value));
    }
    return result;
}

}  // namespace reedwright
