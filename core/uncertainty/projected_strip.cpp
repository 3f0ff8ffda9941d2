#include "core/uncertainty/projected_strip.hpp"

#include "core/vibration/air.hpp"

#include <Eigen/Dense>
#include <cmath>
#include <numbers>
#include <numeric>

namespace reedwright::kernel {

namespace {

using Matrix = Eigen::MatrixXd;
template <std::size_t Orders>
using Cross = Eigen::Matrix<double, static_cast<int>(Orders), static_cast<int>(Orders)>;
using Parts = std::array<Matrix, part_count>;

// The reach of the softened edge in thicknesses, as in the strip itself.
constexpr double edge_reach = 0.315;

// A shape where it is needed: at the quadrature points, the loads and the root. Derivatives are by the
// nominal length.
template <std::size_t Orders>
struct Shape {
    std::vector<LocalShape<Orders>> points;
    std::vector<double> load_value;
    std::vector<double> load_slope;
    double root_slope = 0.0;
};

double linear(const Traced& a, const Traced& b, double share) {
    return a.value + share * (b.value - a.value);
}

// The nominal mesh, stretched, with other dimensions.
Strip changed(const Strip& nominal, const ProjectionRequest& request, const StripChange& change) {
    Strip strip = nominal;
    for (StripElement& element : strip.elements) {
        element.x0_m *= change.stretch;
        element.length_m *= change.stretch;
    }
    for (StripPiece& piece : strip.pieces) {
        piece.x0_m *= change.stretch;
        piece.length_m *= change.stretch;
        for (Traced* thickness : {&piece.h0, &piece.h1, &piece.s0, &piece.s1}) thickness->value += change.thickness_m;
        for (Traced* width : {&piece.b0, &piece.b1}) width->value += change.width_m;
    }
    strip.greatest_width_m += change.width_m;
    for (PointMass& mass : strip.input.masses) mass.at_m *= change.stretch;
    strip.input.poisson = change.poisson;
    strip.input.density_kg_m3 *= change.density_ratio;
    if (std::isfinite(strip.input.root_spring_nm)) strip.input.root_spring_nm = root_spring(request, change);
    return strip;
}

template <std::size_t Orders>
Shape<Orders> first_shape(const Strip& nominal, const ProjectionRequest& request, const StripChange& change) {
    const Strip strip = changed(nominal, request, change);
    const StripSolver<Orders> solver(strip, Parity::even);
    const StripMode mode = solver.lowest(1).front();
    const double g = change.stretch;
    Shape<Orders> shape;
    for (const StripPiece& piece : strip.pieces)
        for (const GaussPoint& gauss : gauss_points()) {
            LocalShape<Orders> local = solver.shape_at(mode, piece.element, piece.element_share(gauss.share));
            for (double& slope : local.slope) slope *= g;
            for (double& curvature : local.curvature) curvature *= g * g;
            shape.points.push_back(local);
        }
    const auto on_middle = [&](const std::array<double, Orders>& orders) {
        return std::inner_product(orders.begin(), orders.end(), solver.across().middle().begin(), 0.0);
    };
    for (const PointMass& mass : strip.input.masses) {
        const auto [element, share] = strip.element_at(mass.at_m);
        const LocalShape<Orders> local = solver.shape_at(mode, element, share);
        shape.load_value.push_back(on_middle(local.value));
        shape.load_slope.push_back(on_middle(local.slope) * g);
    }
    shape.root_slope = solver.shape_at(mode, 0, 0.0).slope[0] * g;
    return shape;
}

// One value of all shapes at a point: a row for each order across, a column for each shape.
template <std::size_t Orders>
Matrix gathered(const std::vector<Shape<Orders>>& shapes, std::size_t point,
                std::array<double, Orders> LocalShape<Orders>::*member) {
    Matrix values(Orders, shapes.size());
    for (std::size_t k = 0; k < shapes.size(); ++k)
        for (std::size_t i = 0; i < Orders; ++i)
            values(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(k)) = (shapes[k].points[point].*member)[i];
    return values;
}

template <std::size_t Orders>
Cross<Orders> as_matrix(const CrossMatrix<Orders>& m) {
    Cross<Orders> result;
    for (std::size_t i = 0; i < Orders; ++i)
        for (std::size_t j = 0; j < Orders; ++j)
            result(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) = m[i][j];
    return result;
}

// The six parts between all shapes, for a tongue thicker by t and wider by w.
template <std::size_t Orders>
Parts parts_between(const Strip& nominal, const std::vector<Shape<Orders>>& shapes, double t_m, double w_m) {
    const StripInput& input = nominal.input;
    const auto n = static_cast<Eigen::Index>(shapes.size());
    Parts parts;
    parts.fill(Matrix::Zero(n, n));
    const CrossSection<Orders> across(Parity::even, nominal.greatest_width_m + w_m);
    double width_of_cross = -1.0;
    CrossIntegrals<Orders> cross{};
    std::size_t point = 0;
    for (const StripPiece& piece : nominal.pieces)
        for (const GaussPoint& gauss : gauss_points()) {
            const double h = linear(piece.h0, piece.h1, gauss.share) + t_m;
            const double s = linear(piece.s0, piece.s1, gauss.share) + t_m;
            const double b = linear(piece.b0, piece.b1, gauss.share) + w_m;
            if (b != width_of_cross) {
                cross = across.integrals(b);
                width_of_cross = b;
            }
            const double weight = gauss.weight * piece.length_m;
            const double rigidity =
                weight * piece.slope_factor(input.slope_softening) * input.youngs_pa * s * s * s / 12.0;
            const double line_mass = weight * input.density_kg_m3 * h;
            const double line_inertia = input.rotary_inertia ? line_mass * h * h / 12.0 : 0.0;
            const Matrix value = gathered(shapes, point, &LocalShape<Orders>::value);
            const Matrix slope = gathered(shapes, point, &LocalShape<Orders>::slope);
            const Matrix curvature = gathered(shapes, point, &LocalShape<Orders>::curvature);
            const Cross<Orders> plain = as_matrix<Orders>(cross.plain);
            const Cross<Orders> sloped = as_matrix<Orders>(cross.sloped);
            Cross<Orders> twist = sloped;
            if (input.edge_softening) twist -= as_matrix<Orders>(across.edge_integrals(b, edge_reach * s).softened);
            const Matrix mixed = curvature.transpose() * as_matrix<Orders>(cross.curved) * value;
            parts[0] += rigidity * (curvature.transpose() * plain * curvature);
            parts[1] += rigidity * (mixed + mixed.transpose());
            parts[2] += rigidity * (slope.transpose() * twist * slope);
            parts[3] += rigidity * (value.transpose() * as_matrix<Orders>(cross.both_curved) * value);
            parts[4] +=
                line_mass * (value.transpose() * plain * value) + line_inertia * (value.transpose() * sloped * value);
            parts[5] += line_inertia * (slope.transpose() * plain * slope);
            ++point;
        }
    return parts;
}

template <std::size_t Orders>
void loads_between(const StripInput& input, const std::vector<Shape<Orders>>& shapes, Matrix& mass, Matrix& inertia) {
    const auto n = static_cast<Eigen::Index>(shapes.size());
    mass = inertia = Matrix::Zero(n, n);
    for (std::size_t load = 0; load < input.masses.size(); ++load) {
        Eigen::VectorXd value(n), slope(n);
        for (Eigen::Index k = 0; k < n; ++k) {
            value[k] = shapes[static_cast<std::size_t>(k)].load_value[load];
            slope[k] = shapes[static_cast<std::size_t>(k)].load_slope[load];
        }
        mass += input.masses[load].mass_kg * value * value.transpose();
        inertia += input.masses[load].inertia_kg_m2 * slope * slope.transpose();
    }
}

template <std::size_t Orders>
std::vector<Shape<Orders>> combined(const std::vector<Shape<Orders>>& shapes, const Matrix& by) {
    std::vector<Shape<Orders>> result(static_cast<std::size_t>(by.cols()), Shape<Orders>{});
    for (std::size_t c = 0; c < result.size(); ++c) {
        Shape<Orders>& sum = result[c];
        sum.points.resize(shapes[0].points.size());
        sum.load_value.resize(shapes[0].load_value.size());
        sum.load_slope.resize(shapes[0].load_slope.size());
        for (std::size_t k = 0; k < shapes.size(); ++k) {
            const double factor = by(static_cast<Eigen::Index>(k), static_cast<Eigen::Index>(c));
            const Shape<Orders>& shape = shapes[k];
            for (std::size_t p = 0; p < sum.points.size(); ++p)
                for (std::size_t i = 0; i < Orders; ++i) {
                    sum.points[p].value[i] += factor * shape.points[p].value[i];
                    sum.points[p].slope[i] += factor * shape.points[p].slope[i];
                    sum.points[p].curvature[i] += factor * shape.points[p].curvature[i];
                }
            for (std::size_t l = 0; l < sum.load_value.size(); ++l) {
                sum.load_value[l] += factor * shape.load_value[l];
                sum.load_slope[l] += factor * shape.load_slope[l];
            }
            sum.root_slope += factor * shape.root_slope;
        }
    }
    return result;
}

// The nominal first mode and what else the shapes span, by falling energy; Ritz vectors at the nominal
// inputs, so that the nominal matrices are diagonal and the first column is the first mode.
template <std::size_t Orders>
std::vector<Shape<Orders>> reduced(const Strip& nominal, const ProjectionRequest& request,
                                   const std::vector<Shape<Orders>>& shapes) {
    // Less energy than this, relative to the first mode, is what the solver leaves unsettled.
    constexpr double negligible = 1e-11;
    const Parts parts = parts_between(nominal, shapes, 0.0, 0.0);
    const double nu = nominal.input.poisson;
    Matrix stiffness = (parts[0] + nu * parts[1] + 2.0 * (1.0 - nu) * parts[2] + parts[3]) / (1.0 - nu * nu);
    if (std::isfinite(nominal.input.root_spring_nm)) {
        Eigen::VectorXd slope(stiffness.rows());
        for (Eigen::Index k = 0; k < slope.size(); ++k) slope[k] = shapes[static_cast<std::size_t>(k)].root_slope;
        stiffness += root_spring(request, request.nominal) * slope * slope.transpose();
    }
    Matrix load_mass, load_inertia;
    loads_between(nominal.input, shapes, load_mass, load_inertia);
    const Matrix mass = parts[4] + parts[5] + load_mass + load_inertia;

    const Eigen::Index n = mass.rows();
    Matrix away = Matrix::Identity(n, n);
    for (Eigen::Index k = 1; k < n; ++k) {
        away.col(k) *= (mass(0, 0) > 0.0 ? std::sqrt(mass(0, 0) / mass(k, k)) : 1.0) * (mass(0, k) < 0.0 ? -1.0 : 1.0);
        away(0, k) -= mass.row(0).dot(away.col(k)) / mass(0, 0);
    }
    const Matrix energy = away.transpose() * stiffness * away;
    const Eigen::SelfAdjointEigenSolver<Matrix> spread(energy.bottomRightCorner(n - 1, n - 1));
    Matrix chosen = Matrix::Zero(n, 1);
    chosen(0, 0) = 1.0;
    for (Eigen::Index k = n - 2; k >= 0 && chosen.cols() < static_cast<Eigen::Index>(basis_size); --k) {
        if (spread.eigenvalues()[k] <= negligible * energy(0, 0)) break;
        chosen.conservativeResize(n, chosen.cols() + 1);
        chosen.rightCols(1) =
            away.rightCols(n - 1) * spread.eigenvectors().col(k) / std::sqrt(spread.eigenvalues()[k] / energy(0, 0));
    }
    const Eigen::GeneralizedSelfAdjointEigenSolver<Matrix> ritz(chosen.transpose() * stiffness * chosen,
                                                                chosen.transpose() * mass * chosen);
    return combined(shapes, chosen * ritz.eigenvectors());
}

template <class Function>
void for_entries(Function function) {
    std::size_t entry = 0;
    for (std::size_t i = 0; i < basis_size; ++i)
        for (std::size_t j = i; j < basis_size; ++j) function(entry++, i, j);
}

Entries entries_of(const Matrix& matrix) {
    Entries result{};
    const auto n = static_cast<std::size_t>(matrix.rows());
    for_entries([&](std::size_t entry, std::size_t i, std::size_t j) {
        if (j < n) result[entry] = matrix(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j));
    });
    return result;
}

// Chebyshev points of (-1, 1), and the matrix that turns values there into coefficients of powers.
template <std::size_t Count>
struct Interpolation {
    std::array<double, Count> at;
    Matrix to_powers;

    Interpolation() {
        Matrix powers(Count, Count);
        for (std::size_t i = 0; i < Count; ++i) {
            at[i] = -std::cos(std::numbers::pi * (static_cast<double>(i) + 0.5) / static_cast<double>(Count));
            for (std::size_t j = 0; j < Count; ++j)
                powers(static_cast<Eigen::Index>(i), static_cast<Eigen::Index>(j)) =
                    std::pow(at[i], static_cast<double>(j));
        }
        to_powers = powers.inverse();
    }
    double weight(std::size_t power, std::size_t point) const {
        return to_powers(static_cast<Eigen::Index>(power), static_cast<Eigen::Index>(point));
    }
};

void add(Entries& sum, double factor, const Entries& entries) {
    for (std::size_t e = 0; e < entry_count; ++e) sum[e] += factor * entries[e];
}

// The air's mass at the nominal frequency and how it follows the logarithm of the frequency.
template <std::size_t Orders>
std::pair<Matrix, Matrix> air_between(const Strip& nominal, const std::vector<Shape<Orders>>& shapes, const Air& air,
                                      double omega, double w_m) {
    constexpr double step = 0.05;
    const double density = air_density(air).value();
    const double viscosity = air_viscosity(air.temperature).value();
    const auto n = static_cast<Eigen::Index>(shapes.size());
    Matrix mass = Matrix::Zero(n, n), by_ln_frequency = Matrix::Zero(n, n);
    const CrossSection<Orders> across(Parity::even, nominal.greatest_width_m + w_m);
    const Eigen::Map<const Eigen::Matrix<double, static_cast<int>(Orders), 1>> middle(across.middle().data());
    double width_m = -1.0, gamma = 0.0, gamma_slope = 0.0;
    std::size_t point = 0;
    for (const StripPiece& piece : nominal.pieces)
        for (const GaussPoint& gauss : gauss_points()) {
            const double b = linear(piece.b0, piece.b1, gauss.share) + w_m;
            if (b != width_m) {
                width_m = b;
                const auto at = [&](double ln_factor) {
                    return hydrodynamic_function(density * omega * b * b / (4.0 * viscosity) * std::exp(ln_factor))
                        .real();
                };
                gamma = at(0.0);
                gamma_slope = (at(step) - at(-step)) / (2.0 * step);
            }
            const Eigen::VectorXd value = gathered(shapes, point, &LocalShape<Orders>::value).transpose() * middle;
            const Matrix share =
                std::numbers::pi / 4.0 * density * b * b * gauss.weight * piece.length_m * value * value.transpose();
            mass += gamma * share;
            by_ln_frequency += gamma_slope * share;
            ++point;
        }
    return {mass, by_ln_frequency};
}

}  // namespace

double root_spring(const ProjectionRequest& request, const StripChange& change) {
    const double h = request.root_thickness_m + change.thickness_m;
    return request.input.youngs_pa * (request.root_width_m + change.width_m) * h * h / (12.0 * change.give);
}

template <std::size_t Orders>
ProjectedStrip project(const ProjectionRequest& request) {
    const Strip nominal = meshed(request.input, request.mesh);
    std::vector<Shape<Orders>> shapes{first_shape<Orders>(nominal, request, request.nominal)};
    for (const StripChange& change : request.shapes_at) shapes.push_back(first_shape<Orders>(nominal, request, change));
    ProjectedStrip result;
    result.omega2 = StripSolver<Orders>(nominal, Parity::even).lowest(1).front().omega2;
    const double omega = std::sqrt(result.omega2) * request.shear;
    if (shapes.size() > 1) shapes = reduced(nominal, request, shapes);

    const Interpolation<thickness_terms> in_thickness;
    const Interpolation<width_terms> in_width;
    for (std::size_t v = 0; v < width_terms; ++v) {
        const double w_m = in_width.at[v] * request.width_reach_m;
        for (std::size_t u = 0; u < thickness_terms; ++u) {
            const Parts parts = parts_between(nominal, shapes, in_thickness.at[u] * request.thickness_reach_m, w_m);
            for (std::size_t p = 0; p < part_count; ++p) {
                const Entries entries = entries_of(parts[p]);
                for (std::size_t i = 0; i < thickness_terms; ++i)
                    for (std::size_t j = 0; j < width_terms; ++j)
                        add(result.parts[p][i * width_terms + j], in_thickness.weight(i, u) * in_width.weight(j, v),
                            entries);
            }
        }
        if (request.air) {
            const auto [mass, by_ln_frequency] = air_between(nominal, shapes, *request.air, omega, w_m);
            for (std::size_t j = 0; j < width_terms; ++j) {
                add(result.air_mass[j], in_width.weight(j, v), entries_of(mass));
                add(result.air_mass_by_ln_frequency[j], in_width.weight(j, v), entries_of(by_ln_frequency));
            }
        }
    }
    Matrix load_mass, load_inertia;
    loads_between(nominal.input, shapes, load_mass, load_inertia);
    result.load_mass = entries_of(load_mass);
    result.load_inertia = entries_of(load_inertia);
    for (std::size_t k = 0; k < shapes.size(); ++k) result.root_slope[k] = shapes[k].root_slope;
    // Where fewer shapes tell the tongue, the rest of the matrices is a mode of its own, far above.
    for_entries([&](std::size_t entry, std::size_t i, std::size_t j) {
        if (i != j || i < shapes.size()) return;
        result.parts[0][0][entry] = 1e4 * omega * omega;
        result.parts[4][0][entry] = 1.0;
    });
    return result;
}

template ProjectedStrip project<1>(const ProjectionRequest&);
template ProjectedStrip project<4>(const ProjectionRequest&);
template ProjectedStrip project<6>(const ProjectionRequest&);

}  // namespace reedwright::kernel
