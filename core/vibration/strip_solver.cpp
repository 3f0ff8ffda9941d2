#include "core/vibration/strip.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright::kernel {

namespace {

// Within a fraction of a thickness of a free edge the twisting moment dies out. Saint-Venant's torsion
// of a flat bar, J = b h^3 / 3 (1 - 0.630 h / b), fixes the reach c of the weight 1 - exp(-d / c):
// 2 c = 0.630 h.
constexpr double edge_reach = 0.315;

double linear(const Traced& a, const Traced& b, double share) {
    return a.value + share * (b.value - a.value);
}

template <std::size_t Orders>
double form(const CrossMatrix<Orders>& matrix, const std::array<double, Orders>& left,
            const std::array<double, Orders>& right) {
    double sum = 0.0;
    for (std::size_t i = 0; i < Orders; ++i) {
        double row = 0.0;
        for (std::size_t j = 0; j < Orders; ++j) row += matrix[i][j] * right[j];
        sum += left[i] * row;
    }
    return sum;
}

template <std::size_t Orders>
double dot(const std::array<double, Orders>& a, const std::array<double, Orders>& b) {
    double sum = 0.0;
    for (std::size_t i = 0; i < Orders; ++i) sum += a[i] * b[i];
    return sum;
}

}  // namespace

template <std::size_t Orders>
StripSolver<Orders>::StripSolver(const Strip& strip, Parity parity)
    : strip_(strip),
      across_(parity, strip.greatest_width_m),
      root_turns_(parity == Parity::even && std::isfinite(strip.input.root_spring_nm)),
      unknowns_(4 * static_cast<int>(Orders * strip.elements.size()) + (root_turns_ ? 1 : 0)) {}

// What the integrals along a piece need once for all pairs of orders across: for each pair of shape functions the
// integrals of rigidity, mass and rotary inertia times their products; and of rigidity, the pair's slopes and what the
// pair of orders twists.
template <std::size_t Orders>
struct StripSolver<Orders>::AlongMoments {
    static constexpr std::size_t pairs = along_count * along_count;
    using Pairs = std::array<double, pairs>;
    Pairs bend{}, bend_value{}, value{}, mass{}, inertia{};
    std::array<std::array<Pairs, Orders>, Orders> twist{};  // the upper half
};

template <std::size_t Orders>
void StripSolver<Orders>::add_piece(double* stiffness, double* mass, const StripPiece& piece) const {
    const StripInput& input = strip_.input;
    const double plate_modulus =
        piece.slope_factor(input.slope_softening) * input.youngs_pa / (12.0 * (1.0 - input.poisson * input.poisson));
    const double twist_factor = 2.0 * (1.0 - input.poisson);
    const bool even_width = piece.b0.value == piece.b1.value;

    AlongMoments moments;
    CrossIntegrals<Orders> cross = across_.integrals(piece.b0.value);
    for (const GaussPoint& point : gauss_points()) {
        const double share = point.share;
        const double weight = point.weight * piece.length_m;
        const AlongShape shape = along_shape(piece.element_share(share), strip_.elements[piece.element].length_m);
        const double s = linear(piece.s0, piece.s1, share);
        const double h = linear(piece.h0, piece.h1, share);
        const double b = linear(piece.b0, piece.b1, share);
        const double rigidity = weight * plate_modulus * s * s * s;
        const double line_mass = weight * input.density_kg_m3 * h;
        const double line_inertia = input.rotary_inertia ? line_mass * h * h / 12.0 : 0.0;
        if (!even_width) {
            moments = {};
            cross = across_.integrals(b);
        }
        std::array<double, along_count * along_count> slopes;
        for (std::size_t p = 0; p < along_count; ++p)
            for (std::size_t q = 0; q < along_count; ++q) {
                const std::size_t pair = p * along_count + q;
                slopes[pair] = shape.slope[p] * shape.slope[q];
                const double values = shape.value[p] * shape.value[q];
                moments.bend[pair] += rigidity * shape.curvature[p] * shape.curvature[q];
                moments.bend_value[pair] += rigidity * shape.curvature[p] * shape.value[q];
                moments.value[pair] += rigidity * values;
                moments.mass[pair] += line_mass * values + line_inertia * slopes[pair];
                moments.inertia[pair] += line_inertia * values;
            }
        if constexpr (Orders > 1) {
            CrossMatrix<Orders> edge{};
            if (input.edge_softening) edge = across_.softened_integrals(b, edge_reach * s);
            for (std::size_t i = 0; i < Orders; ++i)
                for (std::size_t j = i; j < Orders; ++j) {
                    const double twist = rigidity * twist_factor * (cross.sloped[i][j] - edge[i][j]);
                    if (twist == 0.0) continue;  // the order that is constant across
                    auto& sum = moments.twist[i][j];
#pragma omp simd
                    for (std::size_t pair = 0; pair < slopes.size(); ++pair) sum[pair] += twist * slopes[pair];
                }
        }
        if (!even_width) add_moments(stiffness, mass, moments, cross);
    }
    if (even_width) add_moments(stiffness, mass, moments, cross);
}
template <std::size_t Orders>
void StripSolver<Orders>::add_moments(double* stiffness, double* mass, const AlongMoments& moments,
                                      const CrossIntegrals<Orders>& cross) const {
    const double nu = strip_.input.poisson;
    CrossMatrix<Orders> curved_turned;
    for (std::size_t i = 0; i < Orders; ++i)
        for (std::size_t j = 0; j < Orders; ++j) curved_turned[i][j] = cross.curved[j][i];
    for (std::size_t p = 0; p < along_count; ++p)
        for (std::size_t q = 0; q < along_count; ++q) {
            const std::size_t pair = p * along_count + q;
            const double bend = moments.bend[pair];
            const double bend_value = nu * moments.bend_value[pair];
            const double value_bend = nu * moments.bend_value[q * along_count + p];
            for (std::size_t i = 0; i < Orders; ++i) {
                const std::size_t first = (p * Orders + i) * element_size + q * Orders;
#pragma omp simd
                for (std::size_t j = 0; j < Orders; ++j) {
                    stiffness[first + j] += bend * cross.plain[i][j] + moments.value[pair] * cross.both_curved[i][j] +
                                            (bend_value * cross.curved[i][j] + value_bend * curved_turned[i][j]);
                    mass[first + j] +=
                        moments.mass[pair] * cross.plain[i][j] + moments.inertia[pair] * cross.sloped[i][j];
                }
            }
        }
    if constexpr (Orders > 1)
        for (std::size_t i = 0; i < Orders; ++i)
            for (std::size_t j = 0; j < Orders; ++j) {
                const auto& twist = moments.twist[std::min(i, j)][std::max(i, j)];
                if (twist == typename AlongMoments::Pairs{}) continue;
                for (std::size_t p = 0; p < along_count; ++p)
                    for (std::size_t q = 0; q < along_count; ++q)
                        stiffness[(p * Orders + i) * element_size + q * Orders + j] += twist[p * along_count + q];
            }
}

template <std::size_t Orders>
void StripSolver<Orders>::add_loads(Chain& mass) const {
    const auto& middle = across_.middle();
    for (const PointMass& point : strip_.input.masses) {
        const auto [element, share] = strip_.element_at(point.at_m);
        const AlongShape shape = along_shape(share, strip_.elements[element].length_m);
        double* entries = mass.element(element);
        for (std::size_t a = 0; a < element_size; ++a)
            for (std::size_t b = 0; b < element_size; ++b)
                entries[a * element_size + b] +=
                    middle[a % Orders] * middle[b % Orders] *
                    (point.mass_kg * (shape.value[a / Orders] * shape.value[b / Orders]) +
                     point.inertia_kg_m2 * (shape.slope[a / Orders] * shape.slope[b / Orders]));
    }
}

// What is held keeps its place, without mass and with a stiffness of its own: it stays zero.
template <std::size_t Orders>
void StripSolver<Orders>::hold_root(Chain& stiffness, Chain& mass) const {
    double* k = stiffness.element(0);
    double* m = mass.element(0);
    for (std::size_t unknown = 0; unknown < Chain::node_size; ++unknown) {
        if (!held(unknown)) continue;
        for (std::size_t other = 0; other < element_size; ++other)
            for (double* entries : {k, m})
                entries[unknown * element_size + other] = entries[other * element_size + unknown] = 0.0;
        k[unknown * element_size + unknown] = 1.0;
    }
    if (root_turns_) k[Orders * element_size + Orders] += strip_.input.root_spring_nm;
}

template <std::size_t Orders>
void StripSolver<Orders>::assemble(Chain& stiffness, Chain& mass) const {
    for (const StripPiece& piece : strip_.pieces)
        add_piece(stiffness.element(piece.element), mass.element(piece.element), piece);
    add_loads(mass);
    hold_root(stiffness, mass);
}

// From a thousand elements on the factor of such short ones loses digits: up to 3e-6 of the frequency (0.005 cent)
// either way, seen with two compilers up to ten thousand.
template <std::size_t Orders>
std::vector<StripMode> StripSolver<Orders>::lowest(std::size_t count) const {
    constexpr int most_iterations = 400;
    // Each step divides the error by the square of the next eigenvalue's ratio, so what is left is far less.
    constexpr double settled = 1e-11;
    Chain stiffness(strip_.elements.size());
    Chain mass(strip_.elements.size());
    assemble(stiffness, mass);
    const ChainFactor<Orders> factor(stiffness);
    const std::size_t size = mass.size();

    std::vector<StripMode> modes;
    std::vector<std::vector<double>> weighted_modes;  // mass times shape
    std::vector<double> shape(size), weighted(size), next(size);
    count = std::min(count, static_cast<std::size_t>(unknowns_));
    for (std::size_t found = 0; found < count; ++found) {
        // A start that holds every mode: a power of the distance with more bends for higher modes.
        for (std::size_t e = 0; e < strip_.elements.size(); ++e)
            for (std::size_t side = 0; side < 2; ++side) {
                const double x = strip_.elements[e].x0_m + (side == 0 ? 0.0 : strip_.elements[e].length_m);
                const double length = strip_.elements.back().x0_m + strip_.elements.back().length_m;
                const double t = x / length;
                const double wave = 1.5 * static_cast<double>(found) * 3.14159265358979;
                const std::array<double, 2> start{
                    t * t * std::cos(wave * (1.0 - t)),
                    (2.0 * t * std::cos(wave * (1.0 - t)) + t * t * wave * std::sin(wave * (1.0 - t))) / length};
                for (std::size_t k = 0; k < 2; ++k) {
                    const std::size_t unknown = (e + side) * Chain::step + k * Orders;
                    if (!held(unknown)) shape[unknown] = start[k];
                }
            }
        double omega2 = 0.0;
        mass.multiply(shape.data(), weighted.data());
        int iteration = 0;
        for (; iteration < most_iterations; ++iteration) {
            next = weighted;
            factor.solve(next.data());
            for (std::size_t m = 0; m < found; ++m) {
                double overlap = 0.0;
                for (std::size_t i = 0; i < size; ++i) overlap += weighted_modes[m][i] * next[i];
                for (std::size_t i = 0; i < size; ++i) next[i] -= overlap * modes[m].shape[i];
            }
            // K next = M shape, so the Rayleigh quotient of next needs no product with K.
            double strain = 0.0;
            for (std::size_t i = 0; i < size; ++i) strain += next[i] * weighted[i];
            mass.multiply(next.data(), weighted.data());
            double inertia = 0.0;
            for (std::size_t i = 0; i < size; ++i) inertia += next[i] * weighted[i];
            const double scale = 1.0 / std::sqrt(inertia);
            for (std::size_t i = 0; i < size; ++i) {
                shape[i] = next[i] * scale;
                weighted[i] *= scale;
            }
            const double estimate = strain / inertia;
            const bool done = std::abs(estimate - omega2) <= settled * estimate;
            omega2 = estimate;
            if (done) break;
        }
        if (iteration == most_iterations || !std::isfinite(omega2))
            throw std::runtime_error("the vibration of the strip did not settle");
        modes.push_back({omega2, shape});
        weighted_modes.push_back(weighted);
        std::fill(shape.begin(), shape.end(), 0.0);
    }
    return modes;
}

template <std::size_t Orders>
LocalShape<Orders> StripSolver<Orders>::shape_at(const StripMode& mode, std::size_t element, double share) const {
    const AlongShape shape = along_shape(share, strip_.elements[element].length_m);
    LocalShape<Orders> local{};
    for (std::size_t p = 0; p < along_count; ++p)
        for (std::size_t i = 0; i < Orders; ++i) {
            const double coefficient = mode.shape[element * Chain::step + p * Orders + i];
            local.value[i] += shape.value[p] * coefficient;
            local.slope[i] += shape.slope[p] * coefficient;
            local.curvature[i] += shape.curvature[p] * coefficient;
        }
    return local;
}

template <std::size_t Orders>
double StripSolver<Orders>::tip_value(const StripMode& mode) const {
    return dot(shape_at(mode, strip_.elements.size() - 1, 1.0).value, across_.middle());
}

namespace {

// Derivatives of omega^2 per length of strip by what carries stiffness, by what carries mass and by
// the width, at one place. Those by the width need the polynomials at the edge.
struct Densities {
    double by_stiff_thickness;
    double strain;    // twice the strain energy
    double by_slope;  // of the thickness that carries stiffness
    double by_mass_thickness;
    double by_width;
    double inertia;  // of the tongue's own mass, per length
};

template <std::size_t Orders>
Densities densities(const StripInput& input, const CrossSection<Orders>& across, const CrossIntegrals<Orders>& cross,
                    const LocalShape<Orders>& local, double omega2, const StripPiece& piece, double share,
                    const EdgeValues<Orders>* at_edge) {
    const double h = linear(piece.h0, piece.h1, share);
    const double s = linear(piece.s0, piece.s1, share);
    const double b = linear(piece.b0, piece.b1, share);
    const double nu = input.poisson;
    const double factor = piece.slope_factor(input.slope_softening);
    const double rigidity = factor * input.youngs_pa * s * s * s / (12.0 * (1.0 - nu * nu));
    const double rho = input.density_kg_m3;
    const double rotary = input.rotary_inertia ? 1.0 : 0.0;

    EdgeIntegrals<Orders> edge{};
    double softened = 0.0;
    double softened_by_reach = 0.0;
    if (input.edge_softening) {
        edge = across.edge_integrals(b, edge_reach * s);
        softened = form(edge.softened, local.slope, local.slope);
        softened_by_reach = form(edge.by_reach, local.slope, local.slope);
    }
    const double twist = form(cross.sloped, local.slope, local.slope) - softened;
    const double bend = form(cross.plain, local.curvature, local.curvature) +
                        form(cross.both_curved, local.value, local.value) +
                        2.0 * nu * form(cross.curved, local.curvature, local.value) + 2.0 * (1.0 - nu) * twist;
    const double heave = form(cross.plain, local.value, local.value);
    const double tilt = form(cross.plain, local.slope, local.slope) + form(cross.sloped, local.value, local.value);

    Densities result{};
    result.by_stiff_thickness =
        3.0 * rigidity / s * bend - rigidity * 2.0 * (1.0 - nu) * softened_by_reach * edge_reach;
    result.strain = rigidity * bend;
    result.by_slope = -2.0 * input.slope_softening * piece.slope() * factor * rigidity * bend;
    result.by_mass_thickness = -omega2 * rho * (heave + rotary * h * h / 4.0 * tilt);
    result.inertia = rho * h * (heave + rotary * h * h / 12.0 * tilt);
    if (at_edge != nullptr) {
        const double w = dot(local.value, at_edge->value);
        const double w_x = dot(local.slope, at_edge->value);
        const double w_y = dot(local.value, at_edge->slope);
        const double w_xx = dot(local.curvature, at_edge->value);
        const double w_yy = dot(local.value, at_edge->curvature);
        const double w_xy = dot(local.slope, at_edge->slope);
        double twist_by_width = w_xy * w_xy;
        if (input.edge_softening) twist_by_width = softened / (2.0 * edge_reach * s);
        result.by_width =
            rigidity * (w_xx * w_xx + w_yy * w_yy + 2.0 * nu * w_xx * w_yy + 2.0 * (1.0 - nu) * twist_by_width) -
            omega2 * rho * h * (w * w + rotary * h * h / 12.0 * (w_x * w_x + w_y * w_y));
    }
    return result;
}

void spread(std::vector<double>& stations, const Traced& start, const Traced& end, double share, double amount) {
    const auto add = [&](const Traced& traced, double part) {
        if (traced.first >= 0) stations[static_cast<std::size_t>(traced.first)] += part * traced.first_share;
        if (traced.second >= 0) stations[static_cast<std::size_t>(traced.second)] += part * traced.second_share;
    };
    add(start, (1.0 - share) * amount);
    add(end, share * amount);
}

bool same_stations(const Traced& a, const Traced& b) {
    const auto share_of = [](const Traced& traced, int station) {
        return (traced.first == station ? traced.first_share : 0.0) +
               (traced.second == station ? traced.second_share : 0.0);
    };
    for (const int station : {a.first, a.second, b.first, b.second})
        if (std::abs(share_of(a, station) - share_of(b, station)) > 1e-9) return false;
    return true;
}

std::size_t station_count(const TracedProfile& profile) {
    int last = 0;
    for (const TracedSegment& s : profile)
        last = std::max({last, s.start.first, s.start.second, s.end.first, s.end.second});
    return static_cast<std::size_t>(last) + 1;
}

}  // namespace

// Where a limited slope meets the profile itself, the joint moves with the stations of both sides,
// x' = (v2' - v1') / (m1 - m2) for the values v and slopes m of the two sides, and the softening jumps there. The
// derivative of omega^2 by the joint's place is the jump of the energy less that of the curvature times the moment,
// which is continuous: [2 U] - 2 M_x [w_xx].
template <std::size_t Orders>
double StripSolver<Orders>::by_joint(const StripMode& mode, const StripPiece& left, const StripPiece& right) const {
    const StripInput& input = strip_.input;
    const CrossIntegrals<Orders> cross = across_.integrals(left.b1.value);
    const auto none = static_cast<const EdgeValues<Orders>*>(nullptr);
    const LocalShape<Orders> before = shape_at(mode, left.element, left.element_share(1.0));
    const LocalShape<Orders> after = shape_at(mode, right.element, right.element_share(0.0));
    std::array<double, Orders> jump{};
    for (std::size_t k = 0; k < Orders; ++k) jump[k] = before.curvature[k] - after.curvature[k];
    const double s = left.s1.value;
    const double plate = input.youngs_pa * s * s * s / (12.0 * (1.0 - input.poisson * input.poisson));
    const auto moment_times_jump = [&](const LocalShape<Orders>& local, const StripPiece& piece) {
        return plate * piece.slope_factor(input.slope_softening) *
               (form(cross.plain, jump, local.curvature) + input.poisson * form(cross.curved, jump, local.value));
    };
    const double strain_jump = densities(input, across_, cross, before, mode.omega2, left, 1.0, none).strain -
                               densities(input, across_, cross, after, mode.omega2, right, 0.0, none).strain;
    return strain_jump - moment_times_jump(before, left) - moment_times_jump(after, right);
}

template <std::size_t Orders>
StripGradient StripSolver<Orders>::gradient(const StripMode& mode) const {
    const StripInput& input = strip_.input;
    StripGradient result{};
    result.by_thickness.resize(station_count(input.thickness));
    result.by_width.resize(station_count(input.width));
    double tongue_inertia = 0.0;
    double width_of_cross = strip_.pieces.front().b0.value;
    CrossIntegrals<Orders> cross = across_.integrals(width_of_cross);
    EdgeValues<Orders> at_edge = across_.edge_values(width_of_cross);
    for (const StripPiece& piece : strip_.pieces)
        for (const GaussPoint& point : gauss_points()) {
            const double b = linear(piece.b0, piece.b1, point.share);
            if (b != width_of_cross) {
                cross = across_.integrals(b);
                at_edge = across_.edge_values(b);
                width_of_cross = b;
            }
            const LocalShape<Orders> local = shape_at(mode, piece.element, piece.element_share(point.share));
            const Densities density =
                densities(input, across_, cross, local, mode.omega2, piece, point.share, &at_edge);
            const double weight = point.weight * piece.length_m;
            // The slope is the difference of both ends over the length.
            spread(result.by_thickness, piece.s1, piece.s1, 0.0, point.weight * density.by_slope);
            spread(result.by_thickness, piece.s0, piece.s0, 0.0, -point.weight * density.by_slope);
            spread(result.by_thickness, piece.s0, piece.s1, point.share, weight * density.by_stiff_thickness);
            spread(result.by_thickness, piece.h0, piece.h1, point.share, weight * density.by_mass_thickness);
            spread(result.by_width, piece.b0, piece.b1, point.share, weight * density.by_width);
            tongue_inertia += weight * density.inertia;
        }
    for (std::size_t i = 1; input.slope_softening > 0.0 && i < strip_.pieces.size(); ++i) {
        const StripPiece& left = strip_.pieces[i - 1];
        const StripPiece& right = strip_.pieces[i];
        const double kink = left.slope() - right.slope();
        if (same_stations(left.s1, right.s0) || std::abs(kink) < 1e-9) continue;
        const double by_place = by_joint(mode, left, right) / kink;
        spread(result.by_thickness, right.s0, right.s0, 0.0, by_place);
        spread(result.by_thickness, left.s1, left.s1, 0.0, -by_place);
    }
    for (const PointMass& mass : input.masses) {
        const auto [element, share] = strip_.element_at(mass.at_m);
        const LocalShape<Orders> local = shape_at(mode, element, share);
        const double deflection = dot(local.value, across_.middle());
        const double slope = dot(local.slope, across_.middle());
        result.by_mass.push_back(-mode.omega2 * deflection * deflection);
        result.by_inertia.push_back(-mode.omega2 * slope * slope);
    }
    result.by_ln_density = -mode.omega2 * tongue_inertia;
    if (root_turns_) result.by_ln_spring = strip_.input.root_spring_nm * mode.shape[Orders] * mode.shape[Orders];
    return result;
}

template <std::size_t Orders>
double StripSolver<Orders>::thickness_density(const StripMode& mode, const StripPiece& piece, double share) const {
    const double b = linear(piece.b0, piece.b1, share);
    const LocalShape<Orders> local = shape_at(mode, piece.element, piece.element_share(share));
    const Densities density = densities(strip_.input, across_, across_.integrals(b), local, mode.omega2, piece, share,
                                        static_cast<const EdgeValues<Orders>*>(nullptr));
    return density.by_stiff_thickness + density.by_mass_thickness;
}

template <std::size_t Orders>
void StripSolver<Orders>::export_matrices(std::vector<double>& stiffness, std::vector<double>& mass) const {
    Chain k(strip_.elements.size());
    Chain m(strip_.elements.size());
    assemble(k, m);
    std::vector<std::size_t> free;
    for (std::size_t unknown = 0; unknown < k.size(); ++unknown)
        if (!held(unknown)) free.push_back(unknown);
    const auto whole = [&](const Chain& matrix) {
        // One column at a time: the matrix times a unit vector.
        std::vector<double> rows, unit(matrix.size()), column(matrix.size());
        for (const std::size_t unknown : free) {
            unit[unknown] = 1.0;
            matrix.multiply(unit.data(), column.data());
            unit[unknown] = 0.0;
            for (const std::size_t other : free) rows.push_back(column[other]);
        }
        return rows;
    };
    stiffness = whole(k);
    mass = whole(m);
}

template class StripSolver<1>;
template class StripSolver<4>;
template class StripSolver<6>;

}  // namespace reedwright::kernel
