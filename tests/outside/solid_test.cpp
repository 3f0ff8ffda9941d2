// The strip tier against solid bodies that another program solves here and now: unlike the rows of tests/published,
// nothing is remembered, so a change of the strip or of the solid shows.
#include "tests/outside/brick_tongue.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <chrono>
#include <cmath>
#include <cstdio>

namespace reedwright::test {
namespace {

Reed uniform_brass() {
    return uniform(15.0, 2.0, 0.1);
}

Reed tapered_steel() {
    return reed(metal(193.0, 7900.0, 0.29), profile({{0, 0.18}, {10, 0.12}}), profile({{0, 1.8}, {10, 1.8}}));
}

// The solid converges from above; its mesh leaves 0.06 cent (see the mesh test) and the last of the seven printed
// digits 0.0005 cent. A cent is what the strip promises.
void compare(const char* name, const Reed& reed) {
    const SolidAnswer flapping = solid_modes(reed.tongue, Half::flapping);
    const SolidAnswer twisting = solid_modes(reed.tongue, Half::twisting);
    const auto start = std::chrono::steady_clock::now();
    const Vibration vibration = vibration_of(reed);
    const Frequency flap = vibration.fundamental();
    const Frequency twist = vibration.twist(1).front();
    const double strip_ms = std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - start).count();

    const double flap_cents = cents(lowest_upward(flapping).value(), flap.value());
    const double twist_share = twist.value() / lowest_upward(twisting).value() - 1.0;
    std::printf(
        "  %s: flapping: solid %.3f Hz, strip %.3f Hz, %+.2f cent; twisting: solid %.1f Hz, strip %.1f Hz, %+.2f %%\n",
        name, lowest_upward(flapping).value(), flap.value(), flap_cents, lowest_upward(twisting).value(), twist.value(),
        100.0 * twist_share);
    std::printf("  solid (%zu nodes) %.2f s + %.2f s; strip (%d unknowns) %.3f ms for both\n", flapping.nodes,
                flapping.seconds, twisting.seconds, vibration.unknowns(), strip_ms);
    EXPECT_LT(std::abs(flap_cents), 1.0);
    EXPECT_LT(std::abs(twist_share), 0.01);
}

TEST(SolidBody, A_uniform_brass_tongue_flaps_within_a_cent_of_its_solid_and_twists_within_a_percent) {
    compare("brass 15 x 2 x 0.1 mm", uniform_brass());
}

TEST(SolidBody, A_tapered_steel_tongue_flaps_within_a_cent_of_its_solid_and_twists_within_a_percent) {
    compare("steel 10 x 1.8 x 0.18 to 0.12 mm", tapered_steel());
}

TEST(SolidBody, A_much_finer_mesh_of_bricks_lowers_the_solid_by_less_than_a_fifth_of_a_cent) {
    const BrickMesh fine{0.02, 0.15, 0.15 * millimetre, 6, 0.5, 6};
    for (const Reed& reed : {uniform_brass(), tapered_steel()}) {
        const Frequency coarse = lowest_upward(solid_modes(reed.tongue, Half::flapping, {}, 1));
        const double change =
            cents(coarse.value(), lowest_upward(solid_modes(reed.tongue, Half::flapping, fine, 1)).value());
        std::printf("  finer mesh: %+.3f cent\n", change);
        EXPECT_GT(change, -0.2);
        EXPECT_LT(change, 0.0);  // richer elements can only be softer
    }
}

}  // namespace
}  // namespace reedwright::test
