#include "core/vibration/vibration.hpp"

#include "core/vibration/strip.hpp"
#include "core/vibration/strip_of_tongue.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>
#include <variant>

namespace reedwright {

namespace {

// The clamp's own layer, a fit to solid finite elements; see clamp_layer_give().
constexpr double clamp_layer = 0.38;
constexpr double clamp_layer_by_ln_width = 0.102;
constexpr double thickest_fitted = 4.0;
constexpr double thinnest_fitted = 36.0;
using kernel::more_strip_orders;
using kernel::shear_cents;
using kernel::strip_orders;
// Cents per unit of ln f.
const double cents_per_ln = 1200.0 / std::numbers::ln2;

Frequency from_omega2(double omega2) {
    return Frequency::from_value(std::sqrt(omega2) / (2.0 * std::numbers::pi));
}

template <std::size_t Orders>
double middle_value(const std::array<double, Orders>& coefficients, const std::array<double, Orders>& middle) {
    return std::inner_product(coefficients.begin(), coefficients.end(), middle.begin(), 0.0);
}

}  // namespace

ClampLayer clamp_layer_of(const Material& material, const Seat& seat, const Model& model) {
    if (model.tier == Tier::beam || !model.solid_corrections) return {0.0, 0.0};
    const double nu = material.poisson_ratio.value.value();
    const double ratio = (seat.root_width / seat.root_thickness).value();
    const double fitted = std::clamp(ratio, thickest_fitted, thinnest_fitted);
    const double by_ln_width = fitted == ratio ? -clamp_layer_by_ln_width * nu * nu : 0.0;
    return {nu * nu * (clamp_layer - clamp_layer_by_ln_width * std::log(fitted)), by_ln_width};
}

class Vibration::Solved {
public:
    Solved(const Tongue& solved_tongue, const Seat& seat, Temperature temperature, Model solved_model)
        : tongue(solved_tongue),
          model(solved_model),
          strip(kernel::meshed(kernel::strip_input(tongue, seat, temperature, model), kernel::mesh_rule(model))),
          shear(kernel::shear_factor(tongue, model)) {
        if (model.tier == Tier::beam)
            even.emplace<kernel::StripSolver<1>>(strip, kernel::Parity::even);
        else if (model.more_orders_across)
            even.emplace<kernel::StripSolver<more_strip_orders>>(strip, kernel::Parity::even);
        else
            even.emplace<kernel::StripSolver<strip_orders>>(strip, kernel::Parity::even);
        ask([&](const auto& solver) {
            first = solver.lowest(1).front();
            tip = solver.tip_value(first);
        });
    }
    Solved(const Solved&) = delete;
    Solved& operator=(const Solved&) = delete;

    template <class Function>
    void ask(Function function) const {
        if (const auto* beam = std::get_if<kernel::StripSolver<1>>(&even))
            function(*beam);
        else if (const auto* fine = std::get_if<kernel::StripSolver<more_strip_orders>>(&even))
            function(*fine);
        else
            function(std::get<kernel::StripSolver<strip_orders>>(even));
    }

    double length_m() const { return tongue.length().value(); }

    // Shear of a higher flapping mode, as a factor on its frequency. The shear force at x is what the strip beyond
    // needs to be accelerated, V = omega^2 int rho A w, and its energy V^2 / (k G A), k = 5/6, over twice the kinetic
    // one is the relative fall. The sum is held to the first mode's fitted constant: 0.9 of this on a uniform strip.
    template <class Solver>
    double shear_of_higher(const Solver& solver, const kernel::StripMode& mode) const {
        if (shear == 1.0) return 1.0;
        constexpr double shear_share = 5.0 / 6.0;
        constexpr double fitted_over_derived = 0.9;
        const kernel::StripInput& input = strip.input;
        const double shear_modulus_pa = input.youngs_pa / (2.0 * (1.0 + input.poisson));
        double momentum = 0.0;  // int rho A w from here to the tip, loads included
        double energy = 0.0;
        std::size_t loads_left = input.masses.size();
        std::vector<kernel::PointMass> masses = input.masses;
        std::sort(masses.begin(), masses.end(), [](const auto& x, const auto& y) { return x.at_m < y.at_m; });
        for (std::size_t p = strip.pieces.size(); p-- > 0;) {
            const kernel::StripPiece& piece = strip.pieces[p];
            for (; loads_left > 0 && masses[loads_left - 1].at_m > piece.x0_m + 0.5 * piece.length_m; --loads_left) {
                const auto [element, share] = strip.element_at(masses[loads_left - 1].at_m);
                momentum += masses[loads_left - 1].mass_kg *
                            middle_value(solver.shape_at(mode, element, share).value, solver.across().middle());
            }
            double carried = 0.0;
            for (std::size_t g = kernel::gauss_count; g-- > 0;) {
                const auto& gauss = kernel::gauss_points()[g];
                const double b = piece.b0.value + gauss.share * (piece.b1.value - piece.b0.value);
                const double h = piece.h0.value + gauss.share * (piece.h1.value - piece.h0.value);
                const auto local = solver.shape_at(mode, piece.element, piece.element_share(gauss.share));
                const double part = gauss.weight * piece.length_m * input.density_kg_m3 * b * h *
                                    middle_value(local.value, solver.across().middle());
                const double force = mode.omega2 * (momentum + carried + 0.5 * part);
                energy += gauss.weight * piece.length_m * force * force / (shear_share * shear_modulus_pa * b * h);
                carried += part;
            }
            momentum += carried;
        }
        // Unit generalised mass: twice the strain energy is omega^2.
        return 1.0 - fitted_over_derived * 0.5 * energy / mode.omega2;
    }

    // Cents for metal taken, per depth and stretch, at a place of a piece.
    double effect(const kernel::StripPiece& piece, double share) const {
        double density = 0.0;
        ask([&](const auto& solver) { density = solver.thickness_density(first, piece, share); });
        return -density / (2.0 * first.omega2) * cents_per_ln;
    }

    Tongue tongue;
    Model model;
    kernel::Strip strip;
    double shear;
    std::variant<std::monostate, kernel::StripSolver<1>, kernel::StripSolver<strip_orders>,
                 kernel::StripSolver<more_strip_orders>>
        even;
    kernel::StripMode first;
    double tip = 1.0;
};

Vibration::Vibration(const Tongue& tongue, const Seat& seat, Temperature temperature, Model model)
    : solved_(std::make_unique<Solved>(tongue, seat, temperature, model)) {}
Vibration::~Vibration() = default;
Vibration::Vibration(Vibration&&) noexcept = default;
Vibration& Vibration::operator=(Vibration&&) noexcept = default;

Frequency Vibration::fundamental() const {
    return from_omega2(solved_->first.omega2) * solved_->shear;
}

std::vector<Frequency> Vibration::flap(std::size_t count) const {
    std::vector<Frequency> result;
    solved_->ask([&](const auto& solver) {
        for (const auto& mode : solver.lowest(count))
            result.push_back(from_omega2(mode.omega2) * solved_->shear_of_higher(solver, mode));
    });
    if (!result.empty()) result.front() = fundamental();
    return result;
}

std::vector<Frequency> Vibration::twist(std::size_t count) const {
    std::vector<Frequency> result;
    if (solved_->model.tier == Tier::beam) return result;
    const auto solve = [&](const auto& odd) {
        for (const auto& mode : odd.lowest(count)) result.push_back(from_omega2(mode.omega2));
    };
    if (solved_->model.more_orders_across)
        solve(kernel::StripSolver<more_strip_orders>(solved_->strip, kernel::Parity::odd));
    else
        solve(kernel::StripSolver<strip_orders>(solved_->strip, kernel::Parity::odd));
    return result;
}

Mass Vibration::modal_mass() const {
    // The shape has unit generalised mass; scaled to a tip of 1 its mass is 1 / tip^2.
    return Mass::from_value(1.0 / (solved_->tip * solved_->tip));
}

Stiffness Vibration::stiffness() const {
    const double omega = 2.0 * std::numbers::pi * fundamental().value();
    return Stiffness::from_value(omega * omega * modal_mass().value());
}

std::vector<ModePoint> Vibration::mode_points() const {
    std::vector<ModePoint> points;
    points.reserve(solved_->strip.pieces.size() * kernel::gauss_count);
    solved_->ask([&](const auto& solver) {
        for (const kernel::StripPiece& piece : solved_->strip.pieces)
            for (const auto& gauss : kernel::gauss_points()) {
                const auto between = [&](const kernel::Traced& a, const kernel::Traced& b) {
                    return Length::from_value(a.value + gauss.share * (b.value - a.value));
                };
                const auto local = solver.shape_at(solved_->first, piece.element, piece.element_share(gauss.share));
                points.push_back({Length::from_value(piece.x0_m + gauss.share * piece.length_m),
                                  Length::from_value(gauss.weight * piece.length_m), between(piece.b0, piece.b1),
                                  between(piece.h0, piece.h1),
                                  middle_value(local.value, solver.across().middle()) / solved_->tip});
            }
    });
    return points;
}

std::vector<StressPoint> Vibration::stress_points(Length swing) const {
    // Middle line, two places between and nearly the edge, as shares of the half width.
    constexpr std::array<double, 4> across_shares{0.0, 0.4, 0.75, 0.95};
    struct Place {
        std::size_t element;
        double x_m, y_m, stretch_m, s_m;
        double moment_n;  // per width
    };
    std::array<std::vector<Place>, across_shares.size()> lines;
    const auto& input = solved_->strip.input;
    solved_->ask([&](const auto& solver) {
        for (const kernel::StripPiece& piece : solved_->strip.pieces)
            for (const auto& gauss : kernel::gauss_points()) {
                // Where a slope lowers the stiffness the curvature rises as much, while the moment goes on evenly.
                const double s_m = piece.s0.value + gauss.share * (piece.s1.value - piece.s0.value);
                const double rigidity_nm = piece.slope_factor(input.slope_softening) * input.youngs_pa * s_m * s_m *
                                           s_m / (12.0 * (1.0 - input.poisson * input.poisson));
                const double b_m = piece.b0.value + gauss.share * (piece.b1.value - piece.b0.value);
                const auto local = solver.shape_at(solved_->first, piece.element, piece.element_share(gauss.share));
                for (std::size_t line = 0; line < lines.size(); ++line) {
                    const double y_m = 0.5 * across_shares[line] * b_m;
                    const auto at_edge = solver.across().edge_values(2.0 * y_m);
                    const double along_1_m2 = middle_value(local.curvature, at_edge.value);
                    const double across_1_m2 = middle_value(local.value, at_edge.curvature);
                    const double curvature_1_m2 =
                        std::abs(along_1_m2 + input.poisson * across_1_m2) / std::abs(solved_->tip) * swing.value();
                    lines[line].push_back({piece.element, piece.x0_m + gauss.share * piece.length_m, y_m,
                                           gauss.weight * piece.length_m, s_m, rigidity_nm * curvature_1_m2});
                }
            }
    });
    std::vector<StressPoint> points;
    for (const std::vector<Place>& line : lines)
        for (auto from = line.begin(); from != line.end();) {
            const auto to = std::find_if(from, line.end(), [&](const Place& p) { return p.element != from->element; });
            // An element's curvature is a straight line and cannot follow a stiffness that changes in steps within it;
            // its moment is right on the average.
            const bool steps = static_cast<std::size_t>(to - from) > kernel::gauss_points().size();
            double moment_nm = 0.0;
            double length_m = 0.0;
            for (auto p = from; p != to; ++p) {
                moment_nm += p->stretch_m * p->moment_n;
                length_m += p->stretch_m;
            }
            for (; from != to; ++from) {
                const double moment_n = steps ? moment_nm / length_m : from->moment_n;
                points.push_back({Length::from_value(from->x_m), Length::from_value(from->y_m),
                                  Pressure::from_value(6.0 * moment_n / (from->s_m * from->s_m))});
            }
        }
    return points;
}

Area Vibration::swept_area() const {
    Area sum = 0.0 * metre * metre;
    for (const ModePoint& point : mode_points()) sum += point.stretch * point.width * point.deflection;
    return sum;
}

double Vibration::deflection_at(Length at) const {
    const auto [element, share] = solved_->strip.element_at(at.value());
    double deflection = 0.0;
    solved_->ask([&, e = element, t = share](const auto& solver) {
        deflection = middle_value(solver.shape_at(solved_->first, e, t).value, solver.across().middle()) / solved_->tip;
    });
    return deflection;
}

std::vector<ShapePoint> Vibration::shape(std::size_t flap_mode, std::size_t samples) const {
    std::vector<ShapePoint> points;
    solved_->ask([&](const auto& solver) {
        const auto mode = solver.lowest(flap_mode + 1).back();
        const double tip = solver.tip_value(mode);
        for (std::size_t k = 0; k <= samples; ++k) {
            const double x_m = solved_->length_m() * static_cast<double>(k) / static_cast<double>(samples);
            const auto [element, share] = solved_->strip.element_at(x_m);
            points.push_back(
                {Length::from_value(x_m),
                 middle_value(solver.shape_at(mode, element, share).value, solver.across().middle()) / tip});
        }
    });
    return points;
}

Sensitivities Vibration::sensitivities() const {
    Sensitivities result;
    const double omega2 = solved_->first.omega2;
    kernel::StripGradient gradient;
    solved_->ask([&](const auto& solver) { gradient = solver.gradient(solved_->first); });
    // omega^2' to cents; the shear factor adds its own share at the root.
    const double to_cents = cents_per_ln / (2.0 * omega2);
    const Tongue& tongue = solved_->tongue;
    const double length_m = solved_->length_m();
    double by_scaled_lengths = 0.0;
    for (std::size_t i = 0; i < gradient.by_thickness.size(); ++i) {
        double cents_per_m = gradient.by_thickness[i] * to_cents;
        if (i == 0 && solved_->shear != 1.0)
            cents_per_m += 2.0 * shear_cents * tongue.thickness.at_root().value() / (length_m * length_m);
        result.by_thickness.push_back(IntervalPerLength::from_value(cents_per_m));
        by_scaled_lengths += cents_per_m * tongue.thickness.stations()[i].value.value();
    }
    for (std::size_t i = 0; i < gradient.by_width.size(); ++i) {
        const double cents_per_m = gradient.by_width[i] * to_cents;
        result.by_width.push_back(IntervalPerLength::from_value(cents_per_m));
        by_scaled_lengths += cents_per_m * tongue.width.stations()[i].value.value();
    }
    for (std::size_t k = 0; k < gradient.by_mass.size(); ++k) {
        const double size_m = tongue.loads[k].size.value();
        const double cents_per_kg = (gradient.by_mass[k] + gradient.by_inertia[k] * size_m * size_m / 12.0) * to_cents;
        result.by_load.push_back(IntervalPerMass::from_value(cents_per_kg));
        // Under a scaling by g masses go as g^3 and inertias as g^5.
        by_scaled_lengths += tongue.loads[k].mass.value() *
                             (3.0 * gradient.by_mass[k] + 5.0 * gradient.by_inertia[k] * size_m * size_m / 12.0) *
                             to_cents;
    }
    result.by_seat = Interval::from_value(gradient.by_ln_spring * to_cents);
    result.by_density = Interval::from_value(gradient.by_ln_density * to_cents);
    result.by_modulus = Interval::from_value(0.5 * cents_per_ln);
    // A tongue scaled in all its lengths, loads and seat sounds in inverse proportion, so what the
    // length alone does is what remains. The seat's spring goes as g^3.
    const double by_ln_length = -cents_per_ln - by_scaled_lengths - 3.0 * result.by_seat.value();
    result.by_length = IntervalPerLength::from_value(by_ln_length / length_m);
    return result;
}

std::vector<WherePoint> Vibration::where_map(std::size_t intervals) const {
    std::vector<WherePoint> points;
    const auto& pieces = solved_->strip.pieces;
    const auto add = [&](const kernel::StripPiece& piece, double share) {
        points.push_back({Length::from_value(piece.x0_m + share * piece.length_m),
                          IntervalPerArea::from_value(solved_->effect(piece, share))});
    };
    std::size_t p = 0;
    for (std::size_t k = 0; k <= intervals; ++k) {
        const double x_m = solved_->length_m() * static_cast<double>(k) / static_cast<double>(intervals);
        // Joints passed on the way at which the profile steps: both of their sides.
        for (; p + 1 < pieces.size() && pieces[p + 1].x0_m <= x_m; ++p)
            if (std::abs(pieces[p].h1.value - pieces[p + 1].h0.value) > 1e-9) {
                add(pieces[p], 1.0);
                add(pieces[p + 1], 0.0);
            }
        if (points.empty() || std::abs(points.back().at.value() - x_m) > 1e-9)
            add(pieces[p], std::clamp((x_m - pieces[p].x0_m) / pieces[p].length_m, 0.0, 1.0));
    }
    return points;
}

std::vector<Length> Vibration::neutral_places() const {
    constexpr int looks = 8;
    std::vector<Length> places;
    const auto& pieces = solved_->strip.pieces;
    double last = solved_->effect(pieces.front(), 0.0);
    for (const kernel::StripPiece& piece : pieces)
        for (int k = 0; k <= looks; ++k) {
            double high = static_cast<double>(k) / looks;
            const double here = solved_->effect(piece, high);
            if (last * here < 0.0) {
                // A jump of sign at a joint has no place inside; its place is the joint.
                double low = k == 0 ? 0.0 : high - 1.0 / looks;
                for (int halving = 0; halving < 40 && k > 0; ++halving) {
                    const double middle = 0.5 * (low + high);
                    (solved_->effect(piece, middle) * last > 0.0 ? low : high) = middle;
                }
                places.push_back(Length::from_value(piece.x0_m + high * piece.length_m));
            }
            if (here != 0.0) last = here;
        }
    return places;
}

int Vibration::unknowns() const {
    int count = 0;
    solved_->ask([&](const auto& solver) { count = solver.unknowns(); });
    return count;
}

Frequency fundamental_frequency(const Tongue& tongue, const Seat& seat, Temperature temperature, Model model) {
    return Vibration(tongue, seat, temperature, model).fundamental();
}

}  // namespace reedwright
