#include "core/wind/slot_leak.hpp"

#include "core/vibration/air.hpp"

#include <algorithm>
#include <boost/math/tools/toms748_solve.hpp>
#include <cmath>
#include <cstdint>
#include <numbers>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double long_path_loss = 0.75;
constexpr double contraction = 0.61;
constexpr double edge_loss = 0.5 / (contraction * contraction);
constexpr double creeping_path = 8.0 / (3.0 * std::numbers::pi);

// The positive root of loss q^2 + drag q = p, in the form that keeps its digits when the loss is small.
double solved_flow(double drag, double loss, double pressure_pa) {
    return 2.0 * pressure_pa / (drag + std::sqrt(drag * drag + 4.0 * loss * pressure_pa));
}

struct EdgeGap {
    double gap_m;
    double path_m;
};

// Between a tongue's edge from z up to z + h and a wall from -T up to 0, the clearance apart.
EdgeGap edge_gap(double height_m, double thickness_m, double plate_m, double clearance_m) {
    const double distance_m = std::max({0.0, height_m, -plate_m - height_m - thickness_m});
    const double path_m = std::min(height_m + thickness_m, 0.0) - std::max(height_m, -plate_m);
    return {std::hypot(distance_m, clearance_m), std::max(0.0, path_m)};
}

// Flow per length of edge, in m^2/s.
double edge_flow(const EdgeGap& edge, double clearance_m, double pressure_pa, const MovingAir& air) {
    const double g = edge.gap_m;
    const double drag = 12.0 * air.viscosity.value() * (edge.path_m + creeping_path * g) / (g * g * g);
    const double share = clearance_m / g;
    const double loss = (share * long_path_loss + (1.0 - share) * edge_loss) * air.density.value() / (g * g);
    return solved_flow(drag, loss, pressure_pa);
}

struct Edges {
    double flow = 0.0;
    double past_tip = 0.0;
    double opening_m2 = 0.0;
};

Edges around(const RestingTongue& tongue, double tip_height_m, double pressure_pa, const MovingAir& air) {
    const double clearance_m = tongue.clearance.value();
    const double plate_m = tongue.plate_thickness.value();
    Edges edges;
    for (const ModePoint& point : tongue.points) {
        const EdgeGap edge = edge_gap(tip_height_m * point.deflection, point.thickness.value(), plate_m, clearance_m);
        const double both_sides_m = 2.0 * point.stretch.value();
        edges.flow += both_sides_m * edge_flow(edge, clearance_m, pressure_pa, air);
        edges.opening_m2 += both_sides_m * edge.gap_m;
    }
    const EdgeGap tip = edge_gap(tip_height_m, tongue.tip_thickness.value(), plate_m, clearance_m);
    edges.past_tip = tongue.tip_width.value() * edge_flow(tip, clearance_m, pressure_pa, air);
    edges.flow += edges.past_tip;
    edges.opening_m2 += tongue.tip_width.value() * tip.gap_m;
    return edges;
}

}  // namespace

MovingAir moving_air(const Air& air) {
    return {air_density(air), air_viscosity(air.temperature)};
}

VolumeFlow laminar_slot_flow(const ThinSlot& slot, Pressure pressure, Viscosity viscosity) {
    const double c = slot.clearance.value();
    return VolumeFlow::from_value(slot.perimeter.value() * c * c * c * pressure.value() /
                                  (12.0 * viscosity.value() * slot.path.value()));
}

VolumeFlow slot_flow(const ThinSlot& slot, Pressure pressure, const MovingAir& air) {
    const double area_m2 = (slot.perimeter * slot.clearance).value();
    const double c = slot.clearance.value();
    const double drag = 12.0 * air.viscosity.value() * slot.path.value() / (c * c * area_m2);
    const double loss = long_path_loss * air.density.value() / (area_m2 * area_m2);
    return VolumeFlow::from_value(std::copysign(solved_flow(drag, loss, std::abs(pressure.value())), pressure.value()));
}

RestingTongue resting_tongue(const Reed& reed) {
    const Vibration vibration(reed.tongue, reed.seat, reed.temperature);
    const Length clearance = reed.slot.clearance;
    const Area slot_area =
        reed.tongue.width.area() + 2.0 * clearance * reed.tongue.length() + clearance * reed.tongue.width.at_tip();
    return {vibration.mode_points(),
            reed.tongue.width.at_tip(),
            reed.tongue.thickness.at_tip(),
            vibration.swept_area(),
            vibration.stiffness(),
            slot_area,
            clearance,
            reed.slot.plate_thickness,
            reed.slot.rest_gap};
}

TongueLeak tongue_leak(const RestingTongue& tongue, Wind wind, Pressure pressure, const MovingAir& air) {
    if (!(pressure.value() >= 0.0)) throw std::invalid_argument("an idle tongue's pressure may not be negative");
    if (!(tongue.clearance.value() > 0.0)) throw std::invalid_argument("a clearance must be positive");
    const double bend_m = tongue.swept_area.value() * pressure.value() / tongue.stiffness.value();
    const double tip_height_m = tongue.rest_gap.value() + (wind == Wind::opening ? bend_m : -bend_m);

    // What the slot behind takes lessens the pressure on the edges, and with it the flow: one crossing.
    const double behind = 0.5 * air.density.value() / (tongue.slot_area * tongue.slot_area).value();
    double at_edges_pa = pressure.value();
    if (at_edges_pa > 0.0) {
        const auto over = [&](double edges_pa) {
            const double flow = around(tongue, tip_height_m, edges_pa, air).flow;
            return edges_pa + behind * flow * flow - pressure.value();
        };
        std::uintmax_t iterations = 60;
        constexpr int bits = 46;
        const auto [low, high] = boost::math::tools::toms748_solve(
            over, 0.0, pressure.value(), boost::math::tools::eps_tolerance<double>(bits), iterations);
        at_edges_pa = 0.5 * (low + high);
    }
    const Edges edges = around(tongue, tip_height_m, at_edges_pa, air);
    return {VolumeFlow::from_value(edges.flow), VolumeFlow::from_value(edges.past_tip), tip_height_m * metre,
            Area::from_value(edges.opening_m2), pressure.value() > 0.0 ? 1.0 - at_edges_pa / pressure.value() : 0.0};
}

}  // namespace reedwright
