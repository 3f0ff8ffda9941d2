#include "core/plan/process_scatter.hpp"

#include "core/vibration/cut_effect.hpp"
#include "core/vibration/pitch.hpp"

#include <algorithm>
#include <cmath>
#include <initializer_list>
#include <numbers>
#include <numeric>

namespace reedwright {

namespace {

// Metal per cent of a correction in a zone, from a cut of a tenth of the thickness there.
double milligrams_per_cent(const Reed& reed, const char* zone, Model model) {
    Cut cut;
    cut.zone = parse_zone(zone, reed.tongue.length());
    cut.depth = 0.1 * reed.tongue.thickness.smallest();
    const CutEffect effect = effect_of_cut(reed, cut, model);
    return in(effect.removed, milligram) / std::abs(effect.shift.value());
}

double normal_above(double x) {
    return 0.5 * std::erfc(x / std::numbers::sqrt2);
}

// E|x| of a normal distribution.
double mean_size(double mean, double standard) {
    if (standard <= 0.0) return std::abs(mean);
    const double z = mean / standard;
    return standard * std::sqrt(2.0 / std::numbers::pi) * std::exp(-0.5 * z * z) + mean * (1.0 - 2.0 * normal_above(z));
}

using Effects = std::array<double, input_count>;

Input largest_dimension(const Effects& variance) {
    Input most = Input::thickness;
    for (const Input input : {Input::length, Input::width})
        if (variance[index_of(input)] > variance[index_of(most)]) most = input;
    return most;
}

double share_of(const Effects& variance, std::initializer_list<Input> inputs) {
    const double whole = std::accumulate(variance.begin(), variance.end(), 0.0);
    if (whole <= 0.0) return 0.0;
    double part = 0.0;
    for (const Input input : inputs) part += variance[index_of(input)];
    return part / whole;
}

double lot_share_of(const Effects& variance) {
    return share_of(variance, {Input::modulus, Input::density, Input::seat});
}

void add_squares(Effects& variance, const Effects& cents) {
    for (std::size_t i = 0; i < input_count; ++i) variance[i] += cents[i] * cents[i];
}

Effects variance_of_all(const std::vector<TongueScatter>& tongues) {
    Effects variance{};
    for (const TongueScatter& one : tongues) add_squares(variance, one.effect_cents);
    return variance;
}

}  // namespace

Reed as_made(const Design& design, const InstrumentReed& reed) {
    Reed made = reed.reed;
    if (!design.process) return made;
    made.spread = *design.process;
    // What the process does not say of the metal, the reed does.
    if (!made.spread.modulus_share) made.spread.modulus_share = reed.reed.spread.modulus_share;
    if (!made.spread.density_share) made.spread.density_share = reed.reed.spread.density_share;
    return made;
}

std::vector<TongueScatter> process_scatter(const Design& design, const std::vector<PlannedTongue>& tongues,
                                           const ScatterRequest& request, Model model) {
    std::vector<TongueScatter> result;
    for (const PlannedTongue& tongue : tongues) {
        const Reed reed = as_made(design, design.instrument.reeds[tongue.reed]);
        TongueScatter one{tongue.reed,
                          pitch_scatter(reed, model, request),
                          tongue.room_up,
                          tongue.room_down,
                          0.0,
                          0.0 * cent,
                          0.0 * kilogram,
                          Input::thickness,
                          0.0,
                          0.0,
                          {}};
        const double mean = one.scatter.mean.value() + tongue.rounded_error.value();
        const double standard = one.scatter.standard.value();
        if (standard > 0.0)
            one.beyond_recovery = normal_above((-tongue.room_down.value() - mean) / standard) +
                                  normal_above((tongue.room_up.value() + mean) / standard);
        one.work = mean_size(mean, standard) * cent;
        const double per_cent =
            0.5 * (milligrams_per_cent(reed, "tip", model) + milligrams_per_cent(reed, "root", model));
        one.filed = one.work.value() * per_cent * milligram;
        one.effect_cents = uncorrelated(cents_per_deviation(reed, vibration_of(reed, model), model), reed);
        Effects variance{};
        add_squares(variance, one.effect_cents);
        one.tighten_first = largest_dimension(variance);
        one.tighten_share = share_of(variance, {one.tighten_first});
        one.lot_share = lot_share_of(variance);
        result.push_back(std::move(one));
    }
    return result;
}

Input tighten_first(const std::vector<TongueScatter>& tongues) {
    return largest_dimension(variance_of_all(tongues));
}

double lot_share(const std::vector<TongueScatter>& tongues) {
    return lot_share_of(variance_of_all(tongues));
}

}  // namespace reedwright
