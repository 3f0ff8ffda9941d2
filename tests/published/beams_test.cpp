// The beam tier against closed forms and published tables.
#include "tests/support/tongues.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace reedwright::test {
namespace {

// "Computed" rows follow from the closed form named beside them to the digits shown; the beam tier is
// to reproduce them within a part in a million.
constexpr double computed = 1e-6;

TEST(Beams, A_uniform_cantilever_has_the_roots_of_one_plus_cos_cosh) {
    // 1 + cos(beta) cosh(beta) = 0, computed; the first three are printed as 1.8751, 4.6941, 7.8548 in
    // Thomson, Theory of Vibration with Applications, Appendix D.
    const std::vector<double> betas{1.875104069, 4.694091133, 7.854757438, 10.99554073, 14.13716839};
    const auto found = lambdas(uniform(15.0, 2.0, 0.1), betas.size());
    for (std::size_t i = 0; i < betas.size(); ++i)
        EXPECT_NEAR(std::sqrt(found[i]) / betas[i], 1.0, computed) << "mode " << i + 1;
}

TEST(Beams, The_first_mode_of_a_uniform_cantilever_has_its_known_means) {
    // Integral of phi = 0.3915 and of phi^2 = 0.25 with phi(tip) = 1 (computed, four digits).
    const Reed reed = uniform(15.0, 2.0, 0.1);
    const Vibration vibration = vibration_of(reed, beam);
    EXPECT_NEAR((vibration.swept_area() / (reed.tongue.length() * reed.tongue.width.at_root())).value(), 0.3915, 5e-5);
    EXPECT_NEAR((vibration.modal_mass() / reed.tongue.mass()).value(), 0.25, computed);
}

TEST(Beams, A_tip_mass_gives_the_roots_of_its_characteristic_equation) {
    // 1 + c ch + mu beta (c sh - s ch) = 0, computed; mu = 1 is printed as lambda 1.557298, 16.25009,
    // 50.89584 in Mathematical Problems in Engineering 2017, 1568019, Table 1.
    struct Row {
        double mu, first, second;
    };
    for (const Row& row : {Row{0.1, 1.722741521, 4.399522816}, Row{0.5, 1.419964430, 4.111133386},
                           Row{1.0, 1.247917410, 4.031139437}, Row{2.0, 1.076195664, 3.982573288}}) {
        Reed reed = uniform(15.0, 2.0, 0.1);
        reed.tongue.loads.push_back({reed.tongue.length(), row.mu * reed.tongue.mass()});
        const auto found = lambdas(reed, 3);
        EXPECT_NEAR(std::sqrt(found[0]) / row.first, 1.0, computed) << row.mu;
        EXPECT_NEAR(std::sqrt(found[1]) / row.second, 1.0, computed) << row.mu;
        if (row.mu == 1.0) {
            EXPECT_NEAR(found[0], 1.557298, 1e-6);  // the last printed digit
            EXPECT_NEAR(found[1], 16.25009, 1e-5);
            EXPECT_NEAR(found[2], 50.89584, 5e-5);  // and our part in a million
        }
    }
}

TEST(Beams, A_seat_that_gives_has_the_roots_of_a_root_spring) {
    // K (1 + c ch) - beta (s ch - c sh) = 0 with K = k L / EI, computed.
    struct Row {
        double spring, first;
    };
    for (const Row& row :
         {Row{1.0, 1.247917410}, Row{10.0, 1.722741521}, Row{100.0, 1.856786977}, Row{1000.0, 1.873233409}}) {
        Reed reed = uniform(15.0, 2.0, 0.1);
        // k = E I / (s h), so K = L / (s h).
        reed.seat.give = (reed.tongue.length() / (row.spring * reed.tongue.thickness.at_root())).value();
        EXPECT_NEAR(std::sqrt(lambdas(reed, 1)[0]) / row.first, 1.0, computed) << row.spring;
    }
}

Reed tapered(double depth_ratio, double width_ratio) {
    return reed(metal(110.0, 8530.0, 0.34), profile({{0.0, 0.1}, {15.0, 0.1 * depth_ratio}}),
                profile({{0.0, 2.0}, {15.0, 2.0 * width_ratio}}));
}

TEST(Beams, Depth_tapers_match_the_published_table) {
    // Computed; 0.8, 0.6, 0.4 and 0.2 are printed to five or six digits in International Journal of
    // Mechanical and Materials Engineering 2015, s40712-015-0040-0, Table 1.
    struct Row {
        double ratio, lambda;
    };
    for (const Row& row : {Row{0.8, 3.608274873}, Row{0.6, 3.737076132}, Row{0.5, 3.823784847}, Row{0.4, 3.934277490},
                           Row{0.2, 4.292494539}})
        EXPECT_NEAR(lambdas(tapered(row.ratio, 1.0), 1)[0] / row.lambda, 1.0, computed) << row.ratio;
    const auto higher = lambdas(tapered(0.6, 1.0), 3);
    EXPECT_NEAR(higher[1] / 19.11381277, 1.0, computed);
    EXPECT_NEAR(higher[2] / 50.35365461, 1.0, computed);
}

TEST(Beams, A_wedge_to_a_point_follows_Kirchhoff) {
    // lambda = z^2 / 4 with J1 I2 + I1 J2 = 0 at z (Kirchhoff 1879), computed.
    const std::vector<double> expected{5.315099424, 15.20716796, 30.01980915};
    const auto found = lambdas(tapered(0.0, 1.0), 3);
    // The sharp point makes the shape less smooth there than the elements; five digits remain.
    for (std::size_t i = 0; i < expected.size(); ++i)
        EXPECT_NEAR(found[i] / expected[i], 1.0, i == 0 ? computed : 1e-5) << "mode " << i + 1;
}

TEST(Beams, Width_and_double_tapers_match_the_published_table) {
    // Same source and table as the depth tapers: width 0.6 and 0.2 printed to seven digits, double
    // tapers computed.
    EXPECT_NEAR(lambdas(tapered(1.0, 0.6), 1)[0], 4.096978, 5e-6);
    EXPECT_NEAR(lambdas(tapered(1.0, 0.2), 1)[0], 5.397587, 6e-6);
    struct Row {
        double ratio, lambda;
    };
    for (const Row& row : {Row{0.6, 4.318778559}, Row{0.4, 5.009033317}, Row{0.2, 6.196391007}})
        EXPECT_NEAR(lambdas(tapered(row.ratio, row.ratio), 1)[0] / row.lambda, 1.0, computed) << row.ratio;
}

TEST(Beams, The_double_taper_of_Mabie_and_Rogers_is_met) {
    // Computed 23.292263, 73.918819, 165.28537 on the tip's depth; Mabie and Rogers 1972, J. Acoust. Soc.
    // Am. 51:1771 print 23.289, 73.9, 165.23, which agree to 3.4e-4.
    const std::vector<double> expected{23.292263, 73.918819, 165.28537};
    const auto found = lambdas(tapered(0.25, 0.25), 3);
    for (std::size_t i = 0; i < expected.size(); ++i)
        EXPECT_NEAR(4.0 * found[i] / expected[i], 1.0, computed) << "mode " << i + 1;
    EXPECT_NEAR(4.0 * found[0] / 23.289, 1.0, 3.4e-4);
}

TEST(Beams, A_step_in_the_middle_matches_its_transfer_matrix) {
    // Transfer matrix of two uniform halves, computed; depth of the outer half over the inner.
    struct Row {
        double ratio, lambda;
    };
    for (const Row& row : {Row{0.5, 4.181145067}, Row{0.8, 3.816343257}, Row{2.0, 2.578650498}}) {
        const Reed stepped = reed(metal(110.0, 8530.0, 0.34),
                                  profile({{0.0, 0.1}, {7.5, 0.1}, {7.5, 0.1 * row.ratio}, {15.0, 0.1 * row.ratio}}),
                                  profile({{0.0, 2.0}, {15.0, 2.0}}));
        EXPECT_NEAR(lambdas(stepped, 1)[0] / row.lambda, 1.0, computed) << row.ratio;
    }
}

TEST(Beams, The_strips_shear_and_rotary_inertia_stay_close_to_Timoshenko) {
    // lambda of a Timoshenko cantilever, nu = 0.3, k = 5/6 (computed), against the strip at nu = 0, which
    // leaves shear and rotary inertia alone. The shear constant is a fit to solids and not Timoshenko's,
    // so a tenth of the effect (0.14, 13.7 and 53 cents in all) is allowed.
    struct Row {
        double slenderness, lambda;
    };
    for (const Row& row : {Row{0.01, 3.51573478}, Row{0.1, 3.48835495}, Row{0.2, 3.40978315}}) {
        const Reed thick = uniform(15.0, 2.0, 15.0 * row.slenderness, metal(110.0, 8530.0, 0.0));
        const double effect = cents(3.516015269, row.lambda);
        EXPECT_NEAR(cents(3.516015269, lambdas(thick, 1, strip)[0]), effect, 0.1 * std::abs(effect)) << row.slenderness;
    }
}

}  // namespace
}  // namespace reedwright::test
