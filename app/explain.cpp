#include "app/explain.hpp"

#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <cmath>
#include <nlohmann/json.hpp>
#include <numbers>
#include <ostream>

namespace reedwright::app {

namespace {

Reed without_surroundings(const Reed& reed) {
    Reed bare = reed;
    bare.seat.give = 0.0;
    bare.air.reset();
    bare.temperature = celsius(20.0);
    bare.tongue.loads.clear();
    return bare;
}

}  // namespace

std::vector<ChainStep> explain_chain(const Reed& reed, Model model) {
    std::vector<ChainStep> chain;
    const auto add = [&](std::string name, std::string reckoning, std::string source, Frequency pitch) {
        const Interval change = chain.empty() ? 0.0 * cent : interval_between(chain.back().pitch, pitch);
        chain.push_back({std::move(name), std::move(reckoning), std::move(source), pitch, change});
    };
    const Material& metal = reed.tongue.material;
    const double length_m = reed.tongue.length().value();
    const double root_m = reed.tongue.thickness.at_root().value();
    constexpr double beta = 1.875104068711961;

    const double uniform = beta * beta / (2.0 * std::numbers::pi) * root_m / (length_m * length_m) *
                           std::sqrt(metal.youngs_modulus.value.value() / (12.0 * metal.density.value.value()));
    add("uniform beam",
        fmt::format("f = beta^2 / (2 pi) h0 / L^2 sqrt(E / 12 rho), beta 1.8751, h0 {:.4g} mm, L {:.5g} mm, E {:.4g} "
                    "GPa, rho {:.4g} kg/m^3",
                    root_m * 1e3, length_m * 1e3, metal.youngs_modulus.value.value() * 1e-9,
                    metal.density.value.value()),
        "1 + cos beta cosh beta = 0; Thomson, Theory of Vibration, App. D", Frequency::from_value(uniform));

    Reed step = without_surroundings(reed);
    const Model beam{Tier::beam, true, 1.0, false};
    add("true profile",
        fmt::format("(E I w'')'' = omega^2 rho A w with h(x), {:.4g} mm at the tip, and b(x)",
                    in(reed.tongue.thickness.at_tip(), millimetre)),
        "Euler-Bernoulli, solved by finite elements", pitch_of(step, beam).pitch);
    if (!reed.tongue.loads.empty()) {
        step.tongue.loads = reed.tongue.loads;
        add("loads",
            fmt::format("{} lumped on the tongue", reed.tongue.loads.size() == 1
                                                       ? "one mass"
                                                       : fmt::format("{} masses", reed.tongue.loads.size())),
            "solved with the masses in place", pitch_of(step, beam).pitch);
    }
    Model last = beam;
    if (model.tier == Tier::strip) {
        add("blocked curl",
            fmt::format("the clamp keeps the strip from curling crosswise: a plate with nu {:.2f}, {:.1f} times as "
                        "long as wide",
                        metal.poisson_ratio.value.value(),
                        (reed.tongue.length() / reed.tongue.width.at_root()).value()),
            "Kirchhoff plate; Leissa 1973, J. Sound Vib. 31:257",
            pitch_of(step, {Tier::strip, false, 1.0, false}).pitch);
        last = Model{Tier::strip, true, 1.0, false};
        add("a solid's thickness",
            "twisting softened at the free edges, shear, rotary inertia, the clamp's elastic layer",
            "fits to solid finite elements; Saint-Venant torsion", pitch_of(step, last).pitch);
    }
    step.seat = reed.seat;
    add("seat",
        fmt::format("rotation spring E I0 / (s h0), s = {:.2f} root thicknesses of extra length (+-{:.2f})",
                    reed.seat.give, reed.seat.give_sigma),
        "bonded pad on a solid plate, a fit; a rivet is softer", pitch_of(step, last).pitch);
    step.temperature = reed.temperature;
    const bool drift_known = metal.modulus_change && metal.expansion;
    add("temperature",
        drift_known ? fmt::format("f as sqrt(E) with geometry swelling: {:.3f} cents per kelvin, metal at {:.1f} degC",
                                  600.0 / std::numbers::ln2 *
                                      (metal.modulus_change->value.value() + metal.expansion->value.value()),
                                  in_celsius(reed.temperature))
                    : std::string("the drift of this metal is not known"),
        "df/f = (e_E + alpha) / 2 per kelvin", pitch_of(step, last).pitch);
    step.air = reed.air;
    const ReedPitch in_air = pitch_of(step, last);
    add("air",
        in_air.air
            ? fmt::format("added mass of the air carried along, Reynolds number {:.0f}; walls of the slot not counted",
                          in_air.air->reynolds)
            : std::string("in vacuo"),
        "Sader 1998, J. Appl. Phys. 84:64", in_air.pitch);
    return chain;
}

void print_chain(std::ostream& out, const std::vector<ChainStep>& chain) {
    out << "\nfrom dimensions to hertz\n";
    for (const ChainStep& step : chain) {
        out << fmt::format("  {:<20}{:10.2f} Hz {}\n", step.name, step.pitch.value(),
                           &step == chain.data() ? std::string() : fmt::format("{:+9.2f} cents", step.change.value()));
        out << fmt::format("      {}\n      [{}]\n", step.reckoning, step.source);
    }
}

nlohmann::ordered_json chain_json(const std::vector<ChainStep>& chain) {
    auto steps = nlohmann::ordered_json::array();
    for (const ChainStep& step : chain)
        steps.push_back({{"step", step.name},
                         {"pitch_hz", step.pitch.value()},
                         {"change_cents", step.change.value()},
                         {"reckoning", step.reckoning},
                         {"source", step.source}});
    return steps;
}

}  // namespace reedwright::app
