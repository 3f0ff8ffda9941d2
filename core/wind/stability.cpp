#include "core/wind/stability.hpp"

#include "core/wind/blown_kernel.hpp"

#include <Eigen/Eigenvalues>
#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <numbers>

namespace reedwright {

namespace {

using kernel::BlownSystem;

// Of height, speed, flow and, with a chamber, the pressure in it.
Eigen::MatrixXd jacobian(const BlownSystem& system, const BlownSystem::State& steady) {
    const kernel::TongueInWind& tongue = system.tongue();
    const auto opening = tongue.opening.at(steady[BlownSystem::height]);
    const double jet_m_s = system.jet_m_s(steady, opening.area_m2);
    const double by_flow = system.air_kg_m3() * std::abs(jet_m_s) / (tongue.contraction * opening.area_m2);
    const double by_speed = -tongue.sign * tongue.swept_m2 * by_flow;
    const double by_height = -system.air_kg_m3() * jet_m_s * std::abs(jet_m_s) * opening.slope_m / opening.area_m2;
    const double push = tongue.sign * tongue.swept_m2 / tongue.mass_kg;
    const int size = system.has_chamber() ? 4 : 3;
    Eigen::MatrixXd matrix = Eigen::MatrixXd::Zero(size, size);
    matrix(0, 1) = 1.0;
    matrix(1, 0) = push * by_height - tongue.stiffness_n_m / tongue.mass_kg;
    matrix(1, 1) = push * by_speed - tongue.damping_kg_s / tongue.mass_kg;
    matrix(1, 2) = push * by_flow;
    matrix(2, 0) = -by_height / system.inertance();
    matrix(2, 1) = -by_speed / system.inertance();
    matrix(2, 2) = -by_flow / system.inertance();
    if (system.has_chamber()) {
        matrix(2, 3) = 1.0 / system.inertance();
        matrix(3, 2) = -1.0 / system.compliance();
    }
    return matrix;
}

}  // namespace

SteadyWind steady_wind(const BlownReed& reed, Pressure pressure) {
    check_pressure(pressure);
    const BlownSystem system(reed, {pressure.value(), pressure.value()});
    const auto state = system.steady(pressure.value());
    return {Length::from_value(state[BlownSystem::height]), VolumeFlow::from_value(state[BlownSystem::flow])};
}

std::vector<WindMode> wind_modes(const BlownReed& reed, Pressure pressure) {
    check_pressure(pressure);
    const BlownSystem system(reed, {pressure.value(), pressure.value()});
    Eigen::MatrixXd matrix = jacobian(system, system.steady(pressure.value()));
    // In roots of energies the eigenvectors tell whose each mode is.
    const kernel::TongueInWind& tongue = system.tongue();
    Eigen::VectorXd scale(matrix.rows());
    scale(0) = std::sqrt(tongue.stiffness_n_m);
    scale(1) = std::sqrt(tongue.mass_kg);
    scale(2) = std::sqrt(system.inertance());
    if (system.has_chamber()) scale(3) = std::sqrt(system.compliance());
    matrix = scale.asDiagonal() * matrix * scale.cwiseInverse().asDiagonal();
    const Eigen::EigenSolver<Eigen::MatrixXd> solver(matrix);
    std::vector<WindMode> modes;
    for (Eigen::Index i = 0; i < matrix.rows(); ++i) {
        const auto value = solver.eigenvalues()(i);
        // Of a conjugate pair one is told.
        if (value.imag() < 0.0) continue;
        const Eigen::VectorXd energy = solver.eigenvectors().col(i).cwiseAbs2();
        modes.push_back({Rate::from_value(value.real()), Frequency::from_value(value.imag() / (2.0 * std::numbers::pi)),
                         energy.head(2).sum() / energy.sum()});
    }
    return modes;
}

WindMode reed_mode(const BlownReed& reed, Pressure pressure) {
    const auto modes = wind_modes(reed, pressure);
    return *std::max_element(modes.begin(), modes.end(),
                             [](const auto& a, const auto& b) { return a.reed_share < b.reed_share; });
}

SpeakingRange speaking_range(const BlownReed& reed, Pressure highest) {
    constexpr double lowest_pa = 0.5;
    constexpr double steps_per_e = 12.0;
    check_pressure(highest);
    if (reed.mounting == Mounting::closing) {
        const Pressure through = reed.stiffness * (reed.rest_gap + reed.opening.plate_thickness()) / reed.swept_area;
        highest = std::min(highest, through);
    }
    const auto growth = [&](double pressure_pa) {
        return reed_mode(reed, Pressure::from_value(pressure_pa)).growth.value();
    };
    const auto crossing = [&](double low_pa, double high_pa) {
        std::uintmax_t tries = 60;
        const auto [low, high] = boost::math::tools::toms748_solve(
            growth, low_pa, high_pa, [](double a, double b) { return std::abs(b - a) < 1e-3; }, tries);
        return Pressure::from_value(0.5 * (low + high));
    };
    SpeakingRange range;
    const auto count = static_cast<int>(std::ceil(steps_per_e * std::log(highest.value() / lowest_pa)));
    double last_pa = lowest_pa;
    double last = growth(last_pa);
    if (last >= 0.0) range.threshold = Pressure::from_value(lowest_pa);
    for (int i = 1; i <= count; ++i) {
        const double here_pa = lowest_pa * std::pow(highest.value() / lowest_pa, i / static_cast<double>(count));
        const double here = growth(std::min(here_pa, highest.value()));
        if (last < 0.0 && here >= 0.0 && !range.threshold) range.threshold = crossing(last_pa, here_pa);
        if (last >= 0.0 && here < 0.0 && range.threshold) {
            range.chokes_at = crossing(last_pa, here_pa);
            break;
        }
        last_pa = here_pa;
        last = here;
    }
    return range;
}

}  // namespace reedwright
