#include "core/vibration/strip_of_tongue.hpp"

#include <cmath>
#include <limits>

namespace reedwright::kernel {

namespace {

// Fits to solid finite elements; see Model.
constexpr double steepest_stiff_slope = 1.0;
constexpr double slope_softening = 0.55;

TracedProfile traced_of(const Profile& profile) {
    std::vector<double> at_m;
    std::vector<double> value_m;
    for (const Station& station : profile.stations()) {
        at_m.push_back(station.at.value());
        value_m.push_back(station.value.value());
    }
    return kernel::traced(at_m, value_m);
}

// A metal that warms changes its modulus and swells evenly. With every length scaled by g and the
// masses as they are, the frequencies are those of the cold dimensions with the modulus E g.
double modulus_at(const Material& material, Temperature temperature) {
    const double warmer_k = (temperature - celsius(20.0)).value();
    const double change = material.modulus_change ? material.modulus_change->value.value() * warmer_k : 0.0;
    const double swelling = material.expansion ? material.expansion->value.value() * warmer_k : 0.0;
    return material.youngs_modulus.value.value() * (1.0 + change) * (1.0 + swelling);
}

}  // namespace

StripInput strip_input(const Tongue& tongue, const Seat& seat, Temperature temperature, const Model& model) {
    const bool strip = model.tier == Tier::strip;
    StripInput input;
    input.youngs_pa = modulus_at(tongue.material, temperature);
    input.density_kg_m3 = tongue.material.density.value.value();
    input.poisson = strip ? tongue.material.poisson_ratio.value.value() : 0.0;
    input.edge_softening = input.rotary_inertia = strip && model.solid_corrections;
    input.thickness = traced_of(tongue.thickness);
    input.stiff_thickness =
        input.rotary_inertia ? limited_slope(input.thickness, steepest_stiff_slope) : input.thickness;
    input.slope_softening = input.rotary_inertia ? slope_softening : 0.0;
    input.width = traced_of(tongue.width);
    for (const Load& load : tongue.loads) {
        const double size_m = load.size.value();
        input.masses.push_back({load.at.value(), load.mass.value(), load.mass.value() * size_m * size_m / 12.0});
    }
    const double extra = seat.give + clamp_layer_of(tongue.material, seat, model).give;
    const double root_m = seat.root_thickness.value();
    input.root_spring_nm = extra > 0.0 ? input.youngs_pa * seat.root_width.value() * root_m * root_m / (12.0 * extra)
                                       : std::numeric_limits<double>::infinity();
    return input;
}

// The mesh of the beam tier: fifth-order elements resolve five bends to better than a part in a
// million with a tenth of the length each.
MeshRule mesh_rule(const Model& model) {
    MeshRule rule;
    if (model.tier == Tier::beam) rule.coarsest_share_of_length = 0.1;
    rule.finest_share /= model.mesh_refinement;
    rule.coarsest_share_of_length /= model.mesh_refinement;
    rule.shortest_share_of_length /= model.mesh_refinement;
    rule.greatest_taper /= model.mesh_refinement;
    rule.growth = 1.0 + (rule.growth - 1.0) / model.mesh_refinement;
    return rule;
}

// The shear correction of a mode, as a factor on its frequency.
double shear_factor(const Tongue& tongue, const Model& model) {
    if (model.tier == Tier::beam || !model.solid_corrections) return 1.0;
    const double slenderness = (tongue.thickness.at_root() / tongue.length()).value();
    return std::exp2(shear_cents * slenderness * slenderness / 1200.0);
}

}  // namespace reedwright::kernel
