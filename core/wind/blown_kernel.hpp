// The equations of a blown reed in plain SI numbers, for the solvers beside this file.
#pragma once

#include "core/wind/blown_reed.hpp"

#include <array>
#include <cmath>
#include <numbers>

namespace reedwright::kernel {

/// A tongue in the wind, whatever feeds it.
struct TongueInWind {
    double mass_kg;
    double stiffness_n_m;
    double damping_kg_s;
    double swept_m2;
    double sign;
    double rest_m;
    double contraction;
    /// Drag is this times swing^(-1/3) |q'| q'.
    double drag;
    double omega_1_s;
    Opening opening;

    explicit TongueInWind(const BlownReed& reed)
        : mass_kg(reed.modal_mass.value()),
          stiffness_n_m(reed.stiffness.value()),
          damping_kg_s(std::sqrt(mass_kg * stiffness_n_m) / reed.quality),
          swept_m2(reed.swept_area.value()),
          sign(reed.mounting == Mounting::closing ? -1.0 : 1.0),
          rest_m(reed.rest_gap.value()),
          contraction(reed.contraction),
          drag(reed.swing_loss ? 4.0 * reed.air_density.value() * reed.swing_loss->drag_area.value() *
                                     std::cbrt(reed.swing_loss->width.value() / (2.0 * std::numbers::pi))
                               : 0.0),
          omega_1_s(std::sqrt(stiffness_n_m / mass_kg)),
          opening(reed.opening) {}

    double drag_n(double height_m, double speed_m_s) const {
        if (drag == 0.0) return 0.0;
        const double swing_m = std::hypot(height_m - rest_m, speed_m_s / omega_1_s);
        return swing_m > 0.0 ? drag * std::abs(speed_m_s) * speed_m_s / std::cbrt(swing_m) : 0.0;
    }
    double acceleration(double height_m, double speed_m_s, double pressure_pa) const {
        return (sign * swept_m2 * pressure_pa - damping_kg_s * speed_m_s - drag_n(height_m, speed_m_s) -
                stiffness_n_m * (height_m - rest_m)) /
               mass_kg;
    }
    double lost_w(double height_m, double speed_m_s) const {
        return (damping_kg_s * speed_m_s + drag_n(height_m, speed_m_s)) * speed_m_s;
    }
    double steady_m(double pressure_pa) const { return rest_m + sign * swept_m2 * pressure_pa / stiffness_n_m; }
};

/// A supply whose pressure goes straight from one value to another, then stays.
struct Supply {
    double from_pa;
    double to_pa;
    double ramp_s = 0.0;

    double pressure_pa(double time_s) const {
        return time_s >= ramp_s ? to_pa : from_pa + (to_pa - from_pa) * time_s / ramp_s;
    }
};

/// One blown reed. The state holds height, speed, flow, pressure upstream of the inlet, and three integrals over time
/// that go along with it: the flow, the work that the supply did, the work lost.
class BlownSystem {
public:
    enum : std::size_t { height, speed, flow, upstream, volume, work_in, work_lost, size };
    using State = std::array<double, size>;

    BlownSystem(const BlownReed& reed, Supply supply)
        : tongue_(reed),
          supply_(supply),
          air_kg_m3_(reed.air_density.value()),
          inertance_(air_kg_m3_ * reed.inlet_length.value() / reed.inlet_area.value()),
          compliance_(reed.chamber ? reed.chamber->value() / (air_kg_m3_ * std::pow(reed.sound_speed.value(), 2))
                                   : 0.0) {}

    double jet_m_s(const State& x, double area_m2) const {
        return (x[flow] - tongue_.sign * tongue_.swept_m2 * x[speed]) / (tongue_.contraction * area_m2);
    }
    double jet_pressure_pa(const State& x) const {
        const double jet = jet_m_s(x, tongue_.opening.area_m2(x[height]));
        return 0.5 * air_kg_m3_ * jet * std::abs(jet);
    }
    double steady_flow_m3_s(double pressure_pa) const {
        return tongue_.contraction * tongue_.opening.area_m2(tongue_.steady_m(pressure_pa)) *
               std::sqrt(2.0 * pressure_pa / air_kg_m3_);
    }
    bool has_chamber() const { return compliance_ > 0.0; }

    void operator()(const State& x, State& dxdt, double time_s) const {
        const double supply_pa = supply_.pressure_pa(time_s);
        const double upstream_pa = has_chamber() ? x[upstream] : supply_pa;
        const double jet_pa = jet_pressure_pa(x);
        const double fed_m3_s = has_chamber() ? steady_flow_m3_s(supply_pa) : x[flow];
        dxdt[height] = x[speed];
        dxdt[speed] = tongue_.acceleration(x[height], x[speed], jet_pa);
        dxdt[flow] = (upstream_pa - jet_pa) / inertance_;
        dxdt[upstream] = has_chamber() ? (fed_m3_s - x[flow]) / compliance_ : 0.0;
        dxdt[volume] = x[flow];
        dxdt[work_in] = upstream_pa * fed_m3_s;
        dxdt[work_lost] =
            jet_pa * (x[flow] - tongue_.sign * tongue_.swept_m2 * x[speed]) + tongue_.lost_w(x[height], x[speed]);
    }

    /// At rest in a steady wind.
    State steady(double pressure_pa) const {
        return {tongue_.steady_m(pressure_pa), 0.0, steady_flow_m3_s(pressure_pa), pressure_pa, 0.0, 0.0, 0.0};
    }
    /// Before any wind.
    State still() const { return {tongue_.rest_m, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0}; }

    /// Of tongue, inlet and chamber.
    double energy_j(const State& x) const {
        return 0.5 * (tongue_.mass_kg * x[speed] * x[speed] +
                      tongue_.stiffness_n_m * std::pow(x[height] - tongue_.rest_m, 2) + inertance_ * x[flow] * x[flow] +
                      compliance_ * x[upstream] * x[upstream]);
    }

    const TongueInWind& tongue() const { return tongue_; }
    const Supply& supply() const { return supply_; }
    double air_kg_m3() const { return air_kg_m3_; }
    double inertance() const { return inertance_; }
    double compliance() const { return compliance_; }

private:
    TongueInWind tongue_;
    Supply supply_;
    double air_kg_m3_;
    double inertance_;
    double compliance_;
};

}  // namespace reedwright::kernel
