#include "core/uncertainty/reduced_pitch.hpp"

#include "core/uncertainty/projected_strip.hpp"
#include "core/uncertainty/random.hpp"
#include "core/vibration/pitch.hpp"
#include "core/vibration/strip_of_tongue.hpp"

#include <Eigen/Core>
#include <algorithm>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

using kernel::basis_size;
using kernel::entry_count;
using kernel::StripChange;

// Four samples side by side: two vector registers on any x86-64, one on newer machines.
constexpr std::size_t lane_count = 4;
using Pack = Eigen::Array<double, static_cast<int>(lane_count), 1>;
using PackVector = std::array<Pack, basis_size>;
using PackEntries = std::array<Pack, entry_count>;
using PackInputs = std::array<Pack, input_count>;

const double cents_per_ln = 1200.0 / std::numbers::ln2;
// Shapes are taken this many standard deviations away.
constexpr double shapes_away = 4.0;
// A clamp stiffer than this does not differ from a rigid one by 1e-4 cent.
constexpr double least_give = 1e-6;
// As with_deviations holds it.
constexpr double greatest_poisson = 0.49;
// Inverse iterations after the first one. Each leaves the error of the shape (omega_1 / omega_2)^2
// times as large, below 1/15, and that of omega^2 the square of it.
constexpr int iterations = 1;

constexpr std::size_t index_of(Input input) {
    return static_cast<std::size_t>(input);
}

// Where the entry (i, j), i <= j, stands in the upper half.
constexpr std::size_t place(std::size_t i, std::size_t j) {
    return i * basis_size - i * (i + 1) / 2 + j;
}

template <class Function>
void for_entries(Function function) {
    std::size_t entry = 0;
    for (std::size_t i = 0; i < basis_size; ++i)
        for (std::size_t j = i; j < basis_size; ++j) function(entry++, i, j);
}

PackVector product(const PackEntries& matrix, const PackVector& vector) {
    PackVector result;
    for (std::size_t i = 0; i < basis_size; ++i) {
        Pack sum = matrix[place(0, i)] * vector[0];
        for (std::size_t j = 1; j < basis_size; ++j) sum += matrix[i < j ? place(i, j) : place(j, i)] * vector[j];
        result[i] = sum;
    }
    return result;
}

Pack dot(const PackVector& a, const PackVector& b) {
    Pack sum = a[0] * b[0];
    for (std::size_t i = 1; i < basis_size; ++i) sum += a[i] * b[i];
    return sum;
}

// matrix = L D L' with D kept as its reciprocal on the diagonal and L' above.
void factorise(PackEntries& matrix) {
    for (std::size_t k = 0; k < basis_size; ++k) {
        const Pack inverse = matrix[place(k, k)].inverse();
        for (std::size_t i = k + 1; i < basis_size; ++i) {
            const Pack factor = matrix[place(k, i)] * inverse;
            for (std::size_t j = i; j < basis_size; ++j) matrix[place(i, j)] -= factor * matrix[place(k, j)];
        }
        for (std::size_t i = k + 1; i < basis_size; ++i) matrix[place(k, i)] *= inverse;
        matrix[place(k, k)] = inverse;
    }
}

PackVector solved(const PackEntries& factor, PackVector x) {
    for (std::size_t k = 0; k < basis_size; ++k)
        for (std::size_t i = k + 1; i < basis_size; ++i) x[i] -= factor[place(k, i)] * x[k];
    for (std::size_t k = basis_size; k-- > 0;) {
        x[k] *= factor[place(k, k)];
        for (std::size_t i = k + 1; i < basis_size; ++i) x[k] -= factor[place(k, i)] * x[i];
    }
    return x;
}

}  // namespace

class ReducedPitch::Lanes {
public:
    Lanes(const Reed& stated, Model stated_model)
        : reed(stated), model(stated_model), nominal_pitch(pitch_of(stated, stated_model).pitch) {
        for (const Input input : all_inputs) deviation[index_of(input)] = standard_deviation(reed, input).value_or(0.0);
        const bool plate = model.tier == Tier::strip;
        corrected = plate && model.solid_corrections;
        if (const double nominal_nu = reed.tongue.material.poisson_ratio.value.value(); corrected && nominal_nu > 0.0) {
            const ClampLayer clamp = clamp_layer_of(reed.tongue.material, reed.seat, model);
            layer = clamp.give / (nominal_nu * nominal_nu);
            layer_by_ln_width = clamp.by_ln_width / (nominal_nu * nominal_nu);
        }
        request.input = kernel::strip_input(reed.tongue, reed.seat, reed.temperature, model);
        request.mesh = kernel::mesh_rule(model);
        request.root_thickness_m = reed.seat.root_thickness.value();
        request.root_width_m = reed.seat.root_width.value();
        request.thickness_reach_m = reach * deviation[index_of(Input::thickness)];
        request.width_reach_m = reach * deviation[index_of(Input::width)];
        request.air = reed.air;
        request.shear = kernel::shear_factor(reed.tongue, model);
        if (!plate) deviation[index_of(Input::poisson)] = 0.0;
        root_turns = std::isfinite(request.input.root_spring_nm);
        length_m = reed.tongue.length().value();
        root_m = reed.tongue.thickness.at_root().value();

        request.nominal = change_at({});
        for (const Input input : all_inputs) {
            const bool reshapes = input != Input::modulus && (input != Input::density || !reed.tongue.loads.empty()) &&
                                  (input != Input::seat || root_turns);
            if (!reshapes || deviation[index_of(input)] == 0.0) continue;
            for (const double side : {-shapes_away, shapes_away}) {
                Deviations away{};
                away[index_of(input)] = side;
                request.shapes_at.push_back(change_at(away));
            }
        }
        strip = !plate                     ? kernel::project<1>(request)
                : model.more_orders_across ? kernel::project<kernel::more_strip_orders>(request)
                                           : kernel::project<kernel::strip_orders>(request);
        const PackInputs none = nothing();
        reference_omega2 = first_mode(none).omega2[0];
        reference_air = air_share(none, first_mode(none))[0];
    }

    // Cents against the nominal pitch.
    Pack cents(const PackInputs& z) const {
        const FirstMode mode = first_mode(z);
        const Pack air = air_share(z, mode);
        const Pack squared = mode.omega2 / reference_omega2 * (1.0 + reference_air) / (1.0 + air);
        return 0.5 * cents_per_ln * squared.log() + shear_change(z);
    }

    static PackInputs nothing() {
        PackInputs none;
        none.fill(Pack::Zero());
        return none;
    }

    Reed reed;
    Model model;
    Frequency nominal_pitch;

private:
    struct FirstMode {
        Pack omega2;
        PackVector shape;
        // Of that shape.
        Pack mass_kg;
    };

    Pack amount(const PackInputs& z, Input input) const { return z[index_of(input)] * deviation[index_of(input)]; }
    Pack stretch(const PackInputs& z) const { return 1.0 + amount(z, Input::length) / length_m; }

    StripChange change_at(const Deviations& z) const {
        const auto away = [&](Input input) { return z[index_of(input)] * deviation[index_of(input)]; };
        StripChange change;
        change.thickness_m = away(Input::thickness);
        change.width_m = away(Input::width);
        change.stretch = 1.0 + away(Input::length) / length_m;
        change.density_ratio = 1.0 + away(Input::density);
        if (model.tier == Tier::strip)
            change.poisson = std::clamp(request.input.poisson + away(Input::poisson), 0.0, greatest_poisson);
        change.give =
            std::max(least_give,
                     std::max(0.0, reed.seat.give + away(Input::seat)) +
                         (layer + layer_by_ln_width * std::log((1.0 + change.width_m / request.root_width_m) /
                                                               (1.0 + change.thickness_m / request.root_thickness_m))) *
                             change.poisson * change.poisson);
        return change;
    }

    FirstMode first_mode(const PackInputs& z) const {
        const Pack t = z[index_of(Input::thickness)] / reach;
        const Pack w = z[index_of(Input::width)] / reach;
        const Pack g = stretch(z);
        const Pack nu = model.tier == Tier::strip
                            ? Pack((request.input.poisson + amount(z, Input::poisson)).max(0.0).min(greatest_poisson))
                            : Pack(Pack::Zero());
        const Pack density = 1.0 + amount(z, Input::density);
        std::array<Pack, kernel::term_count> powers;
        Pack power = Pack::Ones();
        for (std::size_t i = 0; i < kernel::thickness_terms; ++i, power *= t) {
            powers[i * kernel::width_terms] = power;
            powers[i * kernel::width_terms + 1] = power * w;
            powers[i * kernel::width_terms + 2] = power * w * w;
        }
        const Pack per_g = g.inverse();
        const Pack plate = (1.0 - nu * nu).inverse();
        const std::array<Pack, kernel::part_count> factor{
            plate * per_g * per_g * per_g, plate * nu * per_g, plate * 2.0 * (1.0 - nu) * per_g, plate * g, g, per_g};

        PackEntries stiffness, mass;
        for (std::size_t e = 0; e < entry_count; ++e) {
            std::array<Pack, kernel::part_count> part;
            for (std::size_t p = 0; p < kernel::part_count; ++p) {
                part[p] = Pack::Constant(strip.parts[p][0][e]);
                for (std::size_t k = 1; k < kernel::term_count; ++k) part[p] += strip.parts[p][k][e] * powers[k];
            }
            stiffness[e] = factor[0] * part[0] + factor[1] * part[1] + factor[2] * part[2] + factor[3] * part[3];
            mass[e] = factor[4] * part[4] + factor[5] * part[5];
        }
        if (root_turns) {
            const Pack h = request.root_thickness_m + amount(z, Input::thickness);
            const Pack b = request.root_width_m + amount(z, Input::width);
            const Pack slimmer = (b / h * (request.root_thickness_m / request.root_width_m)).log();
            const Pack give =
                (reed.seat.give + amount(z, Input::seat)).max(0.0) + (layer + layer_by_ln_width * slimmer) * nu * nu;
            const Pack spring = request.input.youngs_pa / 12.0 * b * h * h * per_g * per_g / give.max(least_give);
            for_entries([&](std::size_t e, std::size_t i, std::size_t j) {
                stiffness[e] += spring * (strip.root_slope[i] * strip.root_slope[j]);
            });
        }
        if (!reed.tongue.loads.empty())
            for (std::size_t e = 0; e < entry_count; ++e)
                mass[e] += (strip.load_mass[e] + strip.load_inertia[e] * per_g * per_g) / density;

        factorise(stiffness);
        PackVector start;
        for (std::size_t i = 0; i < basis_size; ++i) start[i] = mass[place(0, i)];
        FirstMode mode;
        PackVector weighted = start;
        for (int iteration = 0;; ++iteration) {
            mode.shape = solved(stiffness, weighted);
            const Pack strain = dot(mode.shape, weighted);
            weighted = product(mass, mode.shape);
            const Pack inertia = dot(mode.shape, weighted);
            // K shape = weighted of before, so that the quotient needs no product with K.
            mode.omega2 = strain / inertia * (1.0 + amount(z, Input::modulus)) / density;
            mode.mass_kg = inertia * density;
            if (iteration == iterations) return mode;
        }
    }

    // The air's mass as a share of the tongue's, both of the first mode.
    Pack air_share(const PackInputs& z, const FirstMode& mode) const {
        if (!reed.air) return Pack::Zero();
        const Pack w = z[index_of(Input::width)] / reach;
        const Pack higher = 0.5 * (mode.omega2 / reference_omega2).log() + shear_change(z) / cents_per_ln;
        Pack sum = Pack::Zero();
        for_entries([&](std::size_t e, std::size_t i, std::size_t j) {
            const Pack mass = strip.air_mass[0][e] + w * (strip.air_mass[1][e] + w * strip.air_mass[2][e]);
            const Pack by_frequency =
                strip.air_mass_by_ln_frequency[0][e] +
                w * (strip.air_mass_by_ln_frequency[1][e] + w * strip.air_mass_by_ln_frequency[2][e]);
            sum += (i == j ? 1.0 : 2.0) * (mass + higher * by_frequency) * mode.shape[i] * mode.shape[j];
        });
        return sum * stretch(z) / mode.mass_kg;
    }

    Pack shear_change(const PackInputs& z) const {
        if (!corrected) return Pack::Zero();
        const Pack slenderness = (root_m + amount(z, Input::thickness)) / (length_m * stretch(z));
        return kernel::shear_cents * (slenderness * slenderness - root_m * root_m / (length_m * length_m));
    }

    kernel::ProjectionRequest request;
    kernel::ProjectedStrip strip;
    Deviations deviation{};
    bool corrected = false;
    bool root_turns = false;
    // The clamp's layer is this times the square of Poisson's ratio, in root thicknesses.
    double layer = 0.0;
    double layer_by_ln_width = 0.0;
    double length_m = 0.0;
    double root_m = 0.0;
    double reference_omega2 = 1.0;
    double reference_air = 0.0;
};

ReducedPitch::ReducedPitch(const Reed& reed, Model model) : lanes_(std::make_unique<Lanes>(reed, model)) {}
ReducedPitch::~ReducedPitch() = default;
ReducedPitch::ReducedPitch(ReducedPitch&&) noexcept = default;
ReducedPitch& ReducedPitch::operator=(ReducedPitch&&) noexcept = default;

bool ReducedPitch::can_stand_for(const Reed& reed, Model model) {
    const auto deviation = [&](Input input) { return reach * standard_deviation(reed, input).value_or(0.0); };
    const double nu = model.tier == Tier::strip ? reed.tongue.material.poisson_ratio.value.value() : 0.0;
    const bool layered = model.tier == Tier::strip && model.solid_corrections;
    const bool rigid = reed.seat.give == 0.0 && !(layered && nu > 0.0);
    if (rigid && (deviation(Input::seat) > 0.0 || (layered && deviation(Input::poisson) > 0.0))) return false;
    return deviation(Input::thickness) < reed.tongue.thickness.smallest().value() &&
           deviation(Input::width) < reed.tongue.width.smallest().value() &&
           deviation(Input::thickness) < reed.seat.root_thickness.value() &&
           deviation(Input::width) < reed.seat.root_width.value() &&
           deviation(Input::length) < reed.tongue.length().value() && deviation(Input::density) < 1.0 &&
           deviation(Input::modulus) < 1.0;
}

Interval ReducedPitch::cents(const Deviations& deviations) const {
    PackInputs z;
    for (std::size_t i = 0; i < input_count; ++i) z[i] = Pack::Constant(deviations[i]);
    return lanes_->cents(z)[0] * cent;
}

void ReducedPitch::cents(const DeviationColumns& deviations, std::span<double> values) const {
    for (std::size_t from = 0; from < values.size(); from += lane_count) {
        const std::size_t count = std::min(lane_count, values.size() - from);
        PackInputs z = Lanes::nothing();
        for (std::size_t i = 0; i < input_count; ++i)
            for (std::size_t lane = 0; lane < count; ++lane)
                z[i][static_cast<Eigen::Index>(lane)] = deviations[i][from + lane];
        const Pack result = lanes_->cents(z);
        for (std::size_t lane = 0; lane < count; ++lane) values[from + lane] = result[static_cast<Eigen::Index>(lane)];
    }
}

Interval ReducedPitch::error_bound(std::size_t tongues) const {
    constexpr std::uint64_t seed = 20080101;
    constexpr std::size_t pairs = (input_count + 1) / 2;
    const RandomSamples random(seed);
    double greatest = 0.0;
    for (std::size_t tongue = 0; tongue < tongues; ++tongue) {
        std::array<double, 2 * pairs> drawn;
        for (std::size_t pair = 0; pair < pairs; ++pair)
            random.rectangular(tongue, static_cast<std::uint32_t>(pair), {&drawn[2 * pair], 1},
                               {&drawn[2 * pair + 1], 1});
        Deviations z{};
        for (std::size_t i = 0; i < input_count; ++i) {
            const double even = 2.0 * drawn[i] - 1.0;
            // Every fourth tongue stands at a corner.
            z[i] = reach * (tongue % 4 == 3 ? std::copysign(1.0, even) : even);
        }
        greatest = std::max(
            greatest,
            std::abs((cents(z) - full_model_cents(lanes_->reed, lanes_->nominal_pitch, z, lanes_->model)).value()));
    }
    return greatest * cent;
}

Interval full_model_cents(const Reed& reed, Frequency nominal, const Deviations& deviations, Model model) {
    return interval_between(nominal, pitch_of(with_deviations(reed, deviations), model).pitch);
}

}  // namespace reedwright
