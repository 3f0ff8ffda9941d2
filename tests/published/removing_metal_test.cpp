// Metal taken from a uniform beam, against exact beam theory (computed values).
#include "core/vibration/cut_effect.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>

namespace reedwright::test {
namespace {

TEST(RemovingMetal, The_sensitivity_along_a_uniform_beam_is_the_closed_form) {
    // S(xi) = (3 phi''^2 / int phi''^2 - phi^2 / int phi^2) / 2 for df/f = int S dh/h dxi: 6 at the root, -2 at
    // the tip (computed).
    const Reed reed = uniform(15.0, 2.0, 0.12);
    const Vibration vibration = vibration_of(reed, beam);
    const std::vector<double> expected{6.0,       4.461835,  3.149748,  2.057554,  1.170177, 0.461104,
                                       -0.108209, -0.586504, -1.028159, -1.485778, -2.0};
    const auto map = vibration.where_map(10);
    ASSERT_EQ(map.size(), expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        // effect = -S / (h L) in relative frequency, times 1200 / ln 2 for cents.
        const double s = -map[i].effect.value() * 0.12e-3 * 15e-3 * std::numbers::ln2 / 1200.0;
        EXPECT_NEAR(s, expected[i], 2e-5) << map[i].at.value();  // fifth-order curvature at the root and tip
    }
}

TEST(RemovingMetal, Nothing_happens_at_58_percent_of_a_uniform_beam) {
    const auto neutral = vibration_of(uniform(15.0, 2.0, 0.12), beam).neutral_places();
    ASSERT_EQ(neutral.size(), 1U);
    EXPECT_NEAR(in(neutral[0], 15.0 * millimetre), 0.579382, 1e-5);
}

TEST(RemovingMetal, Sensitivities_sum_to_one_for_thickness_everywhere) {
    // A tongue thinner by a share everywhere sounds lower by that share: int S dxi = 1.
    const auto s = vibration_of(uniform(15.0, 2.0, 0.12), beam).sensitivities();
    double sum = 0.0;
    for (const auto& station : s.by_thickness) sum += station.value() * 0.12e-3;
    EXPECT_NEAR(sum * std::numbers::ln2 / 1200.0, 1.0, 1e-9);
    double width = 0.0;
    for (const auto& station : s.by_width) width += station.value();
    EXPECT_NEAR(width * 2e-3, 0.0, 1e-6);
}

TEST(RemovingMetal, Cuts_are_solved_again_and_not_linearised) {
    struct Row {
        double from, to, share, exact, first_order;
    };
    // Exact values from the transfer matrix of two uniform parts, computed; the first-order ones integrate S.
    for (const Row& row : {Row{12, 15, 0.05, 26.2711, 25.888}, Row{12, 15, 0.10, 53.3382, 51.776},
                           Row{0, 3, 0.05, -82.4192, -77.898}, Row{0, 3, 0.10, -174.5693, -155.795}}) {
        const Reed reed = uniform(15.0, 2.0, 0.12);
        const Cut cut{{row.from * millimetre, row.to * millimetre}, row.share * 0.12 * millimetre, 0.0 * millimetre};
        const double shift = effect_of_cut(reed, cut, beam).shift.value();
        EXPECT_NEAR(shift, row.exact, 1e-4 + 2e-5 * std::abs(row.exact));
        EXPECT_GT(std::abs(shift), std::abs(row.first_order));
    }
}

}  // namespace
}  // namespace reedwright::test
