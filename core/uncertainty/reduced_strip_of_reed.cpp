#include "core/uncertainty/reduced_strip_of_reed.hpp"

#include "core/uncertainty/inputs.hpp"
#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/projected_strip.hpp"
#include "core/vibration/strip_of_tongue.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright::kernel {

namespace {

// Shapes are taken this many standard deviations away.
constexpr double shapes_away = 4.0;
// A clamp stiffer than this does not differ from a rigid one by 1e-4 cent.
constexpr double least_give = 1e-6;
// As with_deviations holds it.
constexpr double greatest_poisson = 0.49;
// A term of a matrix is left out below this share of the nominal matrix (of the geometric mean of the two
// diagonal entries). All that could be left out, some two thousand, together move the squared frequency by
// less than 2e-6, a five-hundredth of a cent.
constexpr double negligible = 1e-9;

// What the reed is, all but the matrices.
ReducedStrip scalars_of(const Reed& reed, const Model& model, double reach) {
    ReducedStrip strip{};
    strip.plate = model.tier == Tier::strip;
    for (const Input input : all_inputs)
        strip.deviation[index_of(input)] = standard_deviation(reed, input).value_or(0.0);
    if (!strip.plate) strip.deviation[index_of(Input::poisson)] = 0.0;
    strip.reach = reach;
    const bool corrected = strip.plate && model.solid_corrections;
    if (const double nu = reed.tongue.material.poisson_ratio.value.value(); corrected && nu > 0.0) {
        const ClampLayer clamp = clamp_layer_of(reed.tongue.material, reed.seat, model);
        strip.layer = clamp.give / (nu * nu);
        strip.layer_by_ln_width = clamp.by_ln_width / (nu * nu);
    }
    strip.shear_cents = corrected ? shear_cents : 0.0;
    strip.cents_per_ln = 1200.0 / std::numbers::ln2;
    strip.greatest_poisson = greatest_poisson;
    strip.length_m = reed.tongue.length().value();
    strip.root_thickness_m = reed.tongue.thickness.at_root().value();
    strip.seat_thickness_m = reed.seat.root_thickness.value();
    strip.seat_width_m = reed.seat.root_width.value();
    strip.seat_give = reed.seat.give;
    strip.least_give = least_give;
    strip.in_air = reed.air.has_value();
    return strip;
}

StripChange change_at(const ReducedStrip& strip, const Deviations& z) {
    const auto away = [&](Input input) { return z[index_of(input)] * strip.deviation[index_of(input)]; };
    StripChange change;
    change.thickness_m = away(Input::thickness);
    change.width_m = away(Input::width);
    change.stretch = 1.0 + away(Input::length) / strip.length_m;
    change.density_ratio = 1.0 + away(Input::density);
    if (strip.plate) change.poisson = std::clamp(strip.poisson + away(Input::poisson), 0.0, greatest_poisson);
    const double slimmer =
        std::log((1.0 + change.width_m / strip.seat_width_m) / (1.0 + change.thickness_m / strip.seat_thickness_m));
    change.give =
        std::max(least_give, std::max(0.0, strip.seat_give + away(Input::seat)) +
                                 (strip.layer + strip.layer_by_ln_width * slimmer) * change.poisson * change.poisson);
    return change;
}

ProjectionRequest request_for(const Reed& reed, const Model& model, const ReducedStrip& strip, StripInput input) {
    ProjectionRequest request;
    request.input = std::move(input);
    request.mesh = mesh_rule(model);
    request.root_thickness_m = strip.seat_thickness_m;
    request.root_width_m = strip.seat_width_m;
    request.thickness_reach_m = strip.reach * strip.deviation[index_of(Input::thickness)];
    request.width_reach_m = strip.reach * strip.deviation[index_of(Input::width)];
    request.air = reed.air;
    request.shear = shear_factor(reed.tongue, model);
    request.nominal = change_at(strip, {});
    for (const Input input_kind : all_inputs) {
        const bool reshapes = input_kind != Input::modulus &&
                              (input_kind != Input::density || !reed.tongue.loads.empty()) &&
                              (input_kind != Input::seat || strip.root_turns);
        if (!reshapes || strip.deviation[index_of(input_kind)] == 0.0) continue;
        for (const double side : {-shapes_away, shapes_away}) {
            Deviations away{};
            away[index_of(input_kind)] = side;
            request.shapes_at.push_back(change_at(strip, away));
        }
    }
    return request;
}

// Collects the terms of a matrix, entry by entry.
template <std::size_t Functions>
class TermCollector {
public:
    explicit TermCollector(TermSums<Functions>& sums) : sums_(sums) {}
    void add(double coefficient, std::size_t function) { sums_.terms[count_++] = {coefficient, function}; }
    void end_entry() { sums_.first[++entry_] = count_; }

private:
    TermSums<Functions>& sums_;
    std::size_t entry_ = 0;
    std::uint32_t count_ = 0;
};

// Of the nominal strip; the masses over density.
struct Diagonals {
    std::array<double, basis_size> stiffness, mass;
};

Diagonals diagonals_of(const ProjectedStrip& projected, double nu, double spring_nm) {
    Diagonals result;
    for (std::size_t i = 0; i < basis_size; ++i) {
        const auto part = [&](std::size_t p) { return projected.parts[p][0][entry_place(i, i)]; };
        result.stiffness[i] = (part(0) + nu * part(1) + 2.0 * (1.0 - nu) * part(2) + part(3)) / (1.0 - nu * nu) +
                              spring_nm * projected.root_slope[i] * projected.root_slope[i];
        result.mass[i] =
            part(4) + part(5) + projected.load_mass[entry_place(i, i)] + projected.load_inertia[entry_place(i, i)];
    }
    return result;
}

void collect_terms(const ProjectedStrip& projected, const Diagonals& diagonals, ReducedStrip& strip) {
    constexpr std::size_t stiffness_parts = 4;
    std::array<std::array<std::uint32_t, term_count>, factor_count> place{};
    const auto function = [&](std::size_t factor, std::size_t power) {
        std::uint32_t& known = place[factor][power];
        if (known == 0) {
            strip.functions[strip.function_count] = {static_cast<std::uint32_t>(factor),
                                                     static_cast<std::uint32_t>(power)};
            known = static_cast<std::uint32_t>(++strip.function_count);
        }
        return std::size_t{known - 1};
    };
    TermCollector stiffness(strip.stiffness);
    TermCollector mass(strip.mass);
    TermCollector air(strip.air);
    for (std::size_t i = 0; i < basis_size; ++i)
        for (std::size_t j = i; j < basis_size; ++j) {
            const std::size_t entry = entry_place(i, j);
            const double least_stiffness = negligible * std::sqrt(diagonals.stiffness[i] * diagonals.stiffness[j]);
            const double least_mass = negligible * std::sqrt(diagonals.mass[i] * diagonals.mass[j]);
            for (std::size_t p = 0; p < part_count; ++p)
                for (std::size_t k = 0; k < term_count; ++k) {
                    const double coefficient = projected.parts[p][k][entry];
                    if (std::abs(coefficient) > (p < stiffness_parts ? least_stiffness : least_mass))
                        (p < stiffness_parts ? stiffness : mass).add(coefficient, function(p, k));
                }
            if (strip.root_turns) stiffness.add(projected.root_slope[i] * projected.root_slope[j], function(spring, 0));
            if (projected.load_mass[entry] != 0.0) mass.add(projected.load_mass[entry], function(load_mass, 0));
            if (projected.load_inertia[entry] != 0.0)
                mass.add(projected.load_inertia[entry], function(load_inertia, 0));
            const double twice = i == j ? 1.0 : 2.0;
            for (std::size_t k = 0; k < width_terms; ++k) {
                for (const auto& [coefficient, at] :
                     {std::pair(projected.air_mass[k][entry], k),
                      std::pair(projected.air_mass_by_ln_frequency[k][entry], width_terms + k)})
                    if (std::abs(coefficient) > least_mass) air.add(twice * coefficient, at);
            }
            stiffness.end_entry();
            mass.end_entry();
            air.end_entry();
        }
}

}  // namespace

std::unique_ptr<const ReducedStrip> reduced_strip_of(const Reed& reed, Model model, double reach) {
    auto strip = std::make_unique<ReducedStrip>(scalars_of(reed, model, reach));
    StripInput input = strip_input(reed.tongue, reed.seat, reed.temperature, model);
    strip->youngs_pa = input.youngs_pa;
    strip->poisson = input.poisson;
    strip->root_turns = std::isfinite(input.root_spring_nm);
    const ProjectionRequest request = request_for(reed, model, *strip, std::move(input));
    const ProjectedStrip projected = !strip->plate              ? project<1>(request)
                                     : model.more_orders_across ? project<more_strip_orders>(request)
                                                                : project<strip_orders>(request);
    const double spring_nm = strip->root_turns ? root_spring(request, request.nominal) : 0.0;
    collect_terms(projected, diagonals_of(projected, request.nominal.poisson, spring_nm), *strip);
    strip->omega2 = projected.omega2;
    constexpr double nothing = 0.0;
    std::array<const double*, input_count> columns;
    columns.fill(&nothing);
    portable_lanes.pitch_cents(*strip, columns.data(), &strip->nominal_cents, 1);
    return strip;
}

}  // namespace reedwright::kernel
