// Leakage: tabled values, limits, and which mend pays.
#include "core/vibration/air.hpp"
#include "core/wind/joint_leak.hpp"
#include "core/wind/mend.hpp"
#include "core/wind/slot_leak.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <cmath>
#include <stdexcept>

namespace reedwright::test {
namespace {

const MovingAir dry_air{1.204106 * kilogram_per_cubic_metre, air_viscosity(celsius(20.0))};
const Pressure half_kilopascal = 500.0 * pascal;

ThinSlot slot_of(double clearance_um) {
    return {34.0 * millimetre, clearance_um * micrometre, 0.9 * millimetre};
}

double relative(VolumeFlow flow, double tabled) {
    return flow.value() / tabled - 1.0;
}

// Q = b c^3 p / 12 mu L, computed from the named equation to seven digits; asked for to 1e-4, held to the digits shown.
TEST(ThinSlot, Passes_the_tabled_flow) {
    constexpr double last_digit = 5e-7;
    EXPECT_NEAR(relative(laminar_slot_flow(slot_of(30.0), half_kilopascal, dry_air.viscosity), 2.343656e-6), 0.0,
                last_digit);
    EXPECT_NEAR(relative(laminar_slot_flow(slot_of(20.0), half_kilopascal, dry_air.viscosity), 6.944167e-7), 0.0,
                last_digit);
    EXPECT_NEAR(relative(slot_flow(slot_of(30.0), half_kilopascal, dry_air), 2.321725e-6), 0.0, last_digit);
    // A bare orifice with 0.61 would pass 1.793076e-5, 7.7 times as much.
    const double orifice = 0.61 * 34e-3 * 30e-6 * std::sqrt(2.0 * half_kilopascal.value() / dry_air.density.value());
    EXPECT_NEAR(orifice / 1.793076e-5, 1.0, 1e-5);  // its density is rounded
    EXPECT_NEAR(orifice / slot_flow(slot_of(30.0), half_kilopascal, dry_air).value(), 7.7, 0.05);
}

TEST(ThinSlot, Is_laminar_at_small_and_a_jet_at_great_pressure_and_odd) {
    const ThinSlot slot = slot_of(50.0);
    const auto ratio = [&](Pressure pressure) {
        return (slot_flow(slot, pressure, dry_air) / laminar_slot_flow(slot, pressure, dry_air.viscosity)).value();
    };
    // The loss takes a share of 0.75 rho V^2 / p, of first order in the pressure.
    EXPECT_NEAR(ratio(1e-3 * pascal), 1.0, 1e-5);
    const Pressure great = 1e9 * pascal;
    const double jet = std::sqrt(great.value() / (0.75 * dry_air.density.value())) * 34e-3 * 50e-6;
    EXPECT_NEAR(slot_flow(slot, great, dry_air).value() / jet, 1.0, 5e-3);
    EXPECT_EQ(slot_flow(slot, -half_kilopascal, dry_air), -slot_flow(slot, half_kilopascal, dry_air));
    EXPECT_EQ(slot_flow(slot, 0.0 * pascal, dry_air).value(), 0.0);
}

TEST(ThinSlot, Air_at_a_temperature_has_the_tabled_viscosity_and_density) {
    const MovingAir warm = moving_air({celsius(34.0), 0.0});
    EXPECT_NEAR(warm.viscosity.value(), 1.879641e-5, 5e-12);
    EXPECT_NEAR(moving_air({celsius(20.0), 0.5}).density.value(), 1.199314, 1e-6);
}

// A tongue that lies level at its rest gap, over a slot too wide to be felt.
RestingTongue level(double height_mm) {
    const ModePoint all{7.5 * millimetre, 15.0 * millimetre, 2.0 * millimetre, 0.1 * millimetre, 1.0};
    return {{all},
            2.0 * millimetre,
            0.1 * millimetre,
            1e-5 * si::square_metre,
            50.0 * si::newton_per_meter,
            1.0 * si::square_metre,
            0.03 * millimetre,
            0.9 * millimetre,
            height_mm * millimetre};
}

// So stiff that the wind does not bend it.
RestingTongue stiff(double height_mm) {
    RestingTongue tongue = level(height_mm);
    tongue.stiffness = 1e15 * si::newton_per_meter;
    return tongue;
}

TEST(TongueLeak, Inside_the_slot_the_thickness_of_the_tongue_is_the_path) {
    const TongueLeak leak = tongue_leak(stiff(-0.4), Wind::opening, half_kilopascal, dry_air);
    const double creeping = 8.0 / (3.0 * std::numbers::pi) * 0.03;
    const ThinSlot same{32.0 * millimetre, 0.03 * millimetre, (0.1 + creeping) * millimetre};
    EXPECT_NEAR(relative(leak.flow, slot_flow(same, half_kilopascal, dry_air).value()), 0.0, 1e-9);
    EXPECT_NEAR(leak.opening.value(), 32e-3 * 30e-6, 1e-15);
    EXPECT_NEAR((leak.past_tip / leak.flow).value(), 2.0 / 32.0, 1e-12);
}

TEST(TongueLeak, Far_off_it_is_a_jet_that_contracts) {
    const TongueLeak leak = tongue_leak(stiff(20.0), Wind::opening, 2000.0 * pascal, dry_air);
    const double jet = 0.61 * leak.opening.value() * std::sqrt(2.0 * 2000.0 / dry_air.density.value());
    EXPECT_NEAR(leak.opening.value(), 32e-3 * std::hypot(20e-3, 30e-6), 1e-12);
    // What is left of the guided flow's lesser loss: 0.5 (1 - 0.75 / 1.344) c / g = 3.3e-4; of viscosity 8e-5.
    EXPECT_NEAR(leak.flow.value() / jet, 1.0, 1e-3);
}

TEST(TongueLeak, Grows_without_a_jump_as_the_tongue_leaves_its_slot_on_either_side) {
    double last = 0.0;
    double last_below = 0.0;
    for (double step = 0.0; step <= 0.6; step += 0.002) {
        const double above = tongue_leak(stiff(-0.1 + step), Wind::closing, half_kilopascal, dry_air).flow.value();
        const double below = tongue_leak(stiff(-0.9 - step), Wind::closing, half_kilopascal, dry_air).flow.value();
        // The slot looks the same from below.
        EXPECT_NEAR(below / above, 1.0, 1e-9) << step;
        EXPECT_GE(above, last - 1e-15) << step;
        if (step > 0.0) {
            EXPECT_LT(above, 1.15 * last) << step;
        }
        last = above;
        last_below = below;
    }
    EXPECT_GT(last, 10.0 * tongue_leak(stiff(-0.4), Wind::closing, half_kilopascal, dry_air).flow.value());
    EXPECT_GT(last_below, 0.0);
}

TEST(TongueLeak, The_wind_bends_the_tongue_as_a_spring) {
    const RestingTongue tongue = level(0.15);
    const TongueLeak open = tongue_leak(tongue, Wind::opening, half_kilopascal, dry_air);
    const TongueLeak closed = tongue_leak(tongue, Wind::closing, half_kilopascal, dry_air);
    EXPECT_NEAR(in(open.tip_height, millimetre), 0.15 + 1e-5 * 500.0 / 50.0 * 1e3, 1e-12);
    EXPECT_NEAR(in(closed.tip_height, millimetre), 0.15 - 1e-5 * 500.0 / 50.0 * 1e3, 1e-12);
    EXPECT_GT(open.flow, 2.0 * closed.flow);
    EXPECT_EQ(tongue_leak(tongue, Wind::opening, 0.0 * pascal, dry_air).flow.value(), 0.0);
    EXPECT_EQ(tongue_leak(tongue, Wind::opening, 0.0 * pascal, dry_air).tip_height.value(), 0.15e-3);
    EXPECT_THROW(tongue_leak(tongue, Wind::opening, -1.0 * pascal, dry_air), std::invalid_argument);
}

TEST(TongueLeak, The_slot_itself_bounds_the_flow) {
    RestingTongue tongue = stiff(50.0);
    tongue.slot_area = 30.0 * millimetre * millimetre;
    const TongueLeak leak = tongue_leak(tongue, Wind::opening, half_kilopascal, dry_air);
    const double all = 30e-6 * std::sqrt(2.0 * 500.0 / dry_air.density.value());
    EXPECT_LT(leak.flow.value(), all);
    EXPECT_GT(leak.flow.value(), 0.99 * all);
    EXPECT_GT(leak.slot_share, 0.98);
    // Heads add: what the edges take and what the slot takes is the whole pressure.
    tongue.rest_gap = 0.3 * millimetre;
    const TongueLeak both = tongue_leak(tongue, Wind::opening, half_kilopascal, dry_air);
    const double velocity = both.flow.value() / 30e-6;
    EXPECT_NEAR(both.slot_share * 500.0, 0.5 * dry_air.density.value() * velocity * velocity, 1e-6);
}

Reed brass_reed() {
    Reed reed = uniform(13.0, 2.1, 0.11);
    reed.slot.clearance = 0.05 * millimetre;
    reed.slot.plate_thickness = 0.9 * millimetre;
    reed.slot.rest_gap = 0.15 * millimetre;
    return reed;
}

TEST(TongueLeak, A_real_tongue_is_solved_and_its_gaps_lie_along_its_mode) {
    const RestingTongue tongue = resting_tongue(brass_reed());
    // Uniform beam: mean of the mode 0.3915 (Thomson, Theory of Vibration, App. D); a plate's is within half a percent.
    EXPECT_NEAR(tongue.swept_area.value() / (0.3915 * 13e-3 * 2.1e-3), 1.0, 0.005);
    EXPECT_NEAR(tongue.slot_area.value(), 13e-3 * 2.1e-3 + 0.05e-3 * (2.0 * 13e-3 + 2.1e-3), 1e-12);
    const TongueLeak idle = tongue_leak(tongue, Wind::opening, half_kilopascal, dry_air);
    // Wide open, the sides' mean gap is about 0.39 of the tip's.
    const double tip_m = idle.tip_height.value();
    EXPECT_NEAR(idle.opening.value() / (tip_m * (2.0 * 0.3915 * 13e-3 + 2.1e-3)), 1.0, 0.15);
    EXPECT_GT(idle.flow, tongue_leak(tongue, Wind::closing, half_kilopascal, dry_air).flow);
}

PlateJoint bare_joint() {
    PlateJoint joint{105.0 * gigapascal, 1.0 * millimetre,   25.0 * millimetre, 30.0 * millimetre, pin,
                     0.05 * millimetre,  100.0 * millimetre, 0.0 * millimetre,  1.5 * millimetre,  60.0 * millimetre};
    joint.roughness = 0.0 * millimetre;
    return joint;
}

TEST(JointLeak, Without_clamp_and_load_the_plate_lies_as_it_is_bowed) {
    const PlateJoint joint = bare_joint();
    const JointLeak leak = joint_leak(joint, half_kilopascal, dry_air);
    const double bow_m = 0.05e-3 * 0.09;  // (30 / 100)^2
    EXPECT_NEAR(leak.free_bow.value(), bow_m, 1e-15);
    EXPECT_NEAR(leak.gap_between.value(), bow_m, 1e-15);
    // Mean cube of 4 x (1 - x): 64 (3!)^2 / 7! = 16 / 35.
    EXPECT_NEAR(leak.even_gap.value() / (bow_m * std::cbrt(16.0 / 35.0)), 1.0, 1e-12);
    const ThinSlot even{joint.run, leak.even_gap, joint.land_width};
    EXPECT_NEAR(relative(leak.flow, laminar_slot_flow(even, half_kilopascal, dry_air.viscosity).value()), 0.0, 1e-12);
    EXPECT_EQ(leak.lift.value(), 0.0);
}

TEST(JointLeak, Grows_with_the_sixth_power_of_the_spacing_of_pins) {
    PlateJoint joint = bare_joint();
    const VolumeFlow wide = joint_leak(joint, half_kilopascal, dry_air).flow;
    joint.spacing *= 0.5;
    EXPECT_NEAR((wide / joint_leak(joint, half_kilopascal, dry_air).flow).value(), 64.0, 1e-9);
}

TEST(JointLeak, A_flat_plate_and_a_strong_clamp_leave_the_roughness_alone) {
    PlateJoint joint = bare_joint();
    joint.roughness = 3.0 * micrometre;
    const VolumeFlow rough =
        laminar_slot_flow({joint.run, joint.roughness, joint.land_width}, half_kilopascal, dry_air.viscosity);
    joint.fastener = {1e6 * newton, 1.5 * millimetre};
    EXPECT_NEAR(relative(joint_leak(joint, half_kilopascal, dry_air).flow, rough.value()), 0.0, 1e-9);
    joint.fastener = pin;
    joint.out_of_flat = 0.0 * millimetre;
    EXPECT_NEAR(relative(joint_leak(joint, half_kilopascal, dry_air).flow, rough.value()), 0.0, 1e-12);
}

TEST(JointLeak, Falls_steadily_with_the_clamp_force_until_the_plate_is_flat) {
    PlateJoint joint = bare_joint();
    joint.roughness = 3.0 * micrometre;
    VolumeFlow last = joint_leak(joint, half_kilopascal, dry_air).flow;
    // Flat at F a = E I 8 f / l^2.
    const double flat_moment = 105e9 * 25e-3 * 1e-9 / 12.0 * 8.0 * 0.05e-3 / 0.01;
    for (double share = 0.1; share < 1.05; share += 0.1) {
        joint.fastener = {share * flat_moment / 1.5e-3 * newton, 1.5 * millimetre};
        const JointLeak leak = joint_leak(joint, half_kilopascal, dry_air);
        EXPECT_LT(leak.flow, last) << share;
        EXPECT_NEAR(leak.gap_between.value(), 3e-6 + (1.0 - share) * 4.5e-6, 1e-12) << share;
        last = leak.flow;
    }
    // The default screw is stronger than that.
    EXPECT_GT(small_screw.clamp.value() * small_screw.bearing_radius.value(), flat_moment);
}

TEST(JointLeak, Pressure_bulges_the_plate_as_a_free_or_a_fixed_beam) {
    PlateJoint joint = bare_joint();
    joint.out_of_flat = 0.0 * millimetre;
    joint.loaded_width = 20.0 * millimetre;
    const double bending = 105e9 * 25e-3 * 1e-9 / 12.0;
    const double beam_m = 500.0 * 20e-3 * std::pow(30e-3, 4) / (384.0 * bending);
    const JointLeak free = joint_leak(joint, half_kilopascal, dry_air);
    EXPECT_NEAR(free.gap_between.value() / (5.0 * beam_m), 1.0, 1e-12);
    EXPECT_NEAR(free.lift.value(), 500.0 * 20e-3 * 30e-3, 1e-12);
    // Gap with the pressure, flow with its fourth power.
    EXPECT_NEAR((joint_leak(joint, 2.0 * half_kilopascal, dry_air).flow / free.flow).value(), 16.0, 1e-9);
    joint.fastener = small_screw;
    EXPECT_NEAR(joint_leak(joint, half_kilopascal, dry_air).gap_between.value() / beam_m, 1.0, 1e-12);
    // Suction draws the plate onto the comb.
    joint.roughness = 3.0 * micrometre;
    joint.fastener = pin;
    const JointLeak drawn = joint_leak(joint, -half_kilopascal, dry_air);
    EXPECT_EQ(drawn.even_gap.value(), std::cbrt(std::pow(drawn.gap_between.value(), 3)));
    EXPECT_DOUBLE_EQ(drawn.gap_between.value(), 3e-6);
    EXPECT_LT(drawn.flow.value(), 0.0);
}

TEST(JointLeak, Senseless_joints_are_refused) {
    PlateJoint joint = bare_joint();
    joint.spacing = 0.0 * millimetre;
    EXPECT_THROW(joint_leak(joint, half_kilopascal, dry_air), std::invalid_argument);
    joint = bare_joint();
    joint.out_of_flat = -1.0 * micrometre;
    EXPECT_THROW(joint_leak(joint, half_kilopascal, dry_air), std::invalid_argument);
}

LeakyCell leaky_cell() {
    PlateJoint joint = bare_joint();
    joint.out_of_flat = 0.1 * millimetre;
    joint.roughness = 3.0 * micrometre;
    joint.loaded_width = 20.0 * millimetre;
    RestingTongue tight = resting_tongue(brass_reed());
    tight.clearance = 0.02 * millimetre;
    return {{{"3 draw", resting_tongue(brass_reed()), Wind::opening, false}, {"3 blow", tight, Wind::closing, false}},
            {{"upper joint", joint}}};
}

TEST(Mend, The_parts_share_the_loss_and_the_idle_reed_takes_most) {
    const MendRanking ranking = rank_mends(leaky_cell(), half_kilopascal, dry_air);
    ASSERT_EQ(ranking.parts.size(), 3U);
    EXPECT_EQ(ranking.parts[0].name, "3 draw");
    double shares = 0.0;
    for (std::size_t i = 0; i < 3; ++i) {
        shares += ranking.parts[i].share;
        if (i > 0) {
            EXPECT_LE(ranking.parts[i].flow, ranking.parts[i - 1].flow);
        }
    }
    EXPECT_NEAR(shares, 1.0, 1e-12);
    EXPECT_GT(ranking.parts[0].share, 0.5);
}

TEST(Mend, Every_mend_saves_what_the_mended_cell_loses_less) {
    const LeakyCell cell = leaky_cell();
    const MendRanking ranking = rank_mends(cell, half_kilopascal, dry_air);
    // A valve on the reed blown open, its clearance, and three for the joint; nothing for the reed that is close
    // already.
    ASSERT_EQ(ranking.mends.size(), 5U);
    EXPECT_EQ(ranking.mends[0].kind, MendKind::valve);
    EXPECT_EQ(ranking.mends[0].name, "3 draw");
    for (const Mend& mend : ranking.mends) {
        LeakyCell mended = cell;
        if (mend.kind == MendKind::valve) mended.reeds[0].valved = true;
        if (mend.kind == MendKind::closer_clearance) mended.reeds[0].tongue.clearance = closer_clearance;
        if (mend.kind == MendKind::another_fastener) mended.joints[0].joint.spacing *= 0.5;
        if (mend.kind == MendKind::screws) mended.joints[0].joint.fastener = small_screw;
        if (mend.kind == MendKind::flat_plate) mended.joints[0].joint.out_of_flat = 0.0 * millimetre;
        const VolumeFlow saved = ranking.loss - rank_mends(mended, half_kilopascal, dry_air).loss;
        EXPECT_NEAR((mend.saved / saved).value(), 1.0, 1e-9);
        EXPECT_NEAR(mend.share, (saved / ranking.loss).value(), 1e-12);
        EXPECT_GT(mend.saved.value(), 0.0);
    }
}

TEST(Mend, A_valve_seals_the_reed_that_is_blown_open_and_no_other) {
    IdleReed reed{"1 draw", resting_tongue(brass_reed()), Wind::opening, false};
    const VolumeFlow without = idle_leak(reed, half_kilopascal, dry_air);
    reed.valved = true;
    const VolumeFlow with = idle_leak(reed, half_kilopascal, dry_air);
    EXPECT_LT(with, 0.01 * without);
    // A valve that hangs off the plate seals nothing: in series the tongue alone is left.
    const Valve hanging{2.0 * millimetre, 0.8 * millimetre};
    EXPECT_NEAR((idle_leak(reed, half_kilopascal, dry_air, hanging) / without).value(), 1.0, 0.01);
    reed.wind = Wind::closing;
    EXPECT_EQ(idle_leak(reed, half_kilopascal, dry_air),
              tongue_leak(reed.tongue, Wind::closing, half_kilopascal, dry_air).flow);
}

TEST(Mend, A_cell_without_wind_loses_nothing_and_needs_no_mend) {
    const MendRanking ranking = rank_mends(leaky_cell(), 0.0 * pascal, dry_air);
    EXPECT_EQ(ranking.loss.value(), 0.0);
    EXPECT_TRUE(ranking.mends.empty());
    for (const LeakPart& part : ranking.parts) EXPECT_EQ(part.share, 0.0);
}

}  // namespace
}  // namespace reedwright::test
