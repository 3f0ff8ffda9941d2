// The equations of two reeds in a cell in plain SI numbers.
#pragma once

#include "core/wind/blown_kernel.hpp"
#include "core/wind/reed_pair.hpp"

#include <array>
#include <cmath>

namespace reedwright::kernel {

class PairSystem {
public:
    enum : std::size_t { closing_height, closing_speed, opening_height, opening_speed, cell, flow, tract, size };
    using State = std::array<double, size>;

    PairSystem(const ReedPair& pair, double pressure_pa)
        : closing_(mounted(pair.closing, Mounting::closing)),
          opening_(mounted(pair.opening, Mounting::opening)),
          air_kg_m3_(pair.closing.air_density.value()),
          stiffness_pa_(air_kg_m3_ * std::pow(pair.closing.sound_speed.value(), 2)),
          cell_compliance_(pair.cell.value() / stiffness_pa_),
          inertance_(air_kg_m3_ * pair.tract.length.value() / pair.tract.section.value()),
          tract_compliance_(pair.tract.volume.value() / stiffness_pa_),
          resistance_(std::sqrt(inertance_ / tract_compliance_) / pair.tract.quality),
          fed_m3_s_(jets_m3_s(closing_.steady_m(pressure_pa), opening_.steady_m(pressure_pa), pressure_pa)),
          steady_{
              closing_.steady_m(pressure_pa),       0.0, opening_.steady_m(pressure_pa), 0.0, pressure_pa, fed_m3_s_,
              pressure_pa + resistance_ * fed_m3_s_} {}

    double jet_m_s(double pressure_pa) const {
        const double speed = std::sqrt(2.0 * std::abs(pressure_pa) / air_kg_m3_);
        return pressure_pa < 0.0 ? -speed : speed;
    }

    void operator()(const State& x, State& dxdt, double) const {
        dxdt[closing_height] = x[closing_speed];
        dxdt[closing_speed] = closing_.acceleration(x[closing_height], x[closing_speed], x[cell]);
        dxdt[opening_height] = x[opening_speed];
        dxdt[opening_speed] = opening_.acceleration(x[opening_height], x[opening_speed], x[cell]);
        const double swept = opening_.swept_m2 * x[opening_speed] - closing_.swept_m2 * x[closing_speed];
        dxdt[cell] = (x[flow] - jets_m3_s(x[closing_height], x[opening_height], x[cell]) - swept) / cell_compliance_;
        dxdt[flow] = (x[tract] - x[cell] - resistance_ * x[flow]) / inertance_;
        dxdt[tract] = (fed_m3_s_ - x[flow]) / tract_compliance_;
    }

    const State& steady() const { return steady_; }
    const TongueInWind& closing() const { return closing_; }
    const TongueInWind& opening() const { return opening_; }
    double air_kg_m3() const { return air_kg_m3_; }
    double cell_compliance() const { return cell_compliance_; }
    double inertance() const { return inertance_; }
    double tract_compliance() const { return tract_compliance_; }
    double resistance() const { return resistance_; }

private:
    static TongueInWind mounted(BlownReed reed, Mounting mounting) {
        reed.mounting = mounting;
        return TongueInWind(reed);
    }
    double jets_m3_s(double closing_m, double opening_m, double pressure_pa) const {
        return (closing_.contraction * closing_.opening.area_m2(closing_m) +
                opening_.contraction * opening_.opening.area_m2(opening_m)) *
               jet_m_s(pressure_pa);
    }

    TongueInWind closing_;
    TongueInWind opening_;
    double air_kg_m3_;
    double stiffness_pa_;
    double cell_compliance_;
    double inertance_;
    double tract_compliance_;
    double resistance_;
    double fed_m3_s_;
    State steady_;
};

}  // namespace reedwright::kernel
