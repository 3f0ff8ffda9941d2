// A bench made of numbers: reeds whose truth is hidden from the passes, a tuner that errs, a hand that errs.
#include "core/retune/passes.hpp"
#include "core/uncertainty/inputs.hpp"
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <cstdio>
#include <random>

namespace reedwright::test {
namespace {

struct Outcome {
    int passes = 0;
    double end_cents = 0.0;   // true pitch over the target at the end
    double worst_past = 0.0;  // furthest true pitch past the target on the way
    PassProposal::Verdict verdict{};
};

Reed any_stated(std::mt19937& random) {
    std::uniform_real_distribution<> share;
    const auto between = [&](double a, double b) { return a + (b - a) * share(random); };
    const double length = between(10.0, 18.0);
    const double root = between(0.11, 0.20);
    Stations thickness;
    if (share(random) < 0.6)
        thickness = {{0.0, root}, {length, root * between(0.5, 1.0)}};
    else
        thickness = {{0.0, root},
                     {0.3 * length, 0.75 * root},
                     {0.6 * length, 0.7 * root},
                     {0.75 * length, 1.3 * root},
                     {length, 1.3 * root}};
    const double width = between(1.8, 2.6);
    Material material = metal(106.5, 8440.0, 0.325);
    material.youngs_modulus.sigma = 0.03 * material.youngs_modulus.value;
    Reed result = reed(material, profile(thickness), profile({{0.0, width}, {length, width}}));
    result.seat.give = 0.64;
    result.seat.give_sigma = 0.32;
    return result;
}

Outcome corrected(std::mt19937& random) {
    std::normal_distribution<> normal;
    std::uniform_real_distribution<> share;
    const Reed stated = any_stated(random);
    Deviations hidden{};
    for (double& deviation : hidden) deviation = normal(random);
    Reed real = with_deviations(stated, hidden);
    const bool up = share(random) < 0.5;
    const double off = 4.0 + 36.0 * share(random);
    const double true_start = pitch_of(real).pitch.value();
    const Frequency target = raised_by(Frequency::from_value(true_start), (up ? off : -off) * cent);
    // +-1 cent at 95 %.
    const auto tuner = [&](const Reed& one) { return raised_by(pitch_of(one).pitch, 0.5 * normal(random) * cent); };
    const Zone zone = parse_zone(up ? "tip" : "root", stated.tongue.length());

    Outcome outcome;
    Passes passes(stated, zone, 0.1 * millimetre, target, tuner(real));
    const auto past = [&] { return (up ? 1.0 : -1.0) * interval_between(target, pitch_of(real).pitch).value(); };
    while (passes.proposal().verdict == PassProposal::Verdict::cut && outcome.passes < 20) {
        // The hand takes the depth within 10 %, over a zone whose inner end lies within 0.2 mm.
        Cut cut{parse_zone(up ? "tip" : "root", real.tongue.length()),
                passes.proposal().depth * std::max(0.05, 1.0 + 0.10 * normal(random)), 0.1 * millimetre};
        (up ? cut.zone.from : cut.zone.to) += 0.2 * normal(random) * millimetre;
        const Length asked = passes.proposal().depth;
        real.tongue = after_cut(real.tongue, cut);
        ++outcome.passes;
        outcome.worst_past = std::max(outcome.worst_past, past());
        passes.read(asked, tuner(real));
    }
    outcome.verdict = passes.proposal().verdict;
    outcome.end_cents = interval_between(target, pitch_of(real).pitch).value();
    return outcome;
}

TEST(Bench, Passes_end_on_the_note_seldom_overshoot_and_are_few) {
    constexpr int reeds = 2000;
    std::mt19937 random(1);
    int within = 0, past = 0, passes = 0, unreachable = 0;
    std::array<int, 21> by_passes{};
    std::array<int, 9> by_end{};
    for (int i = 0; i < reeds; ++i) {
        const Outcome outcome = corrected(random);
        unreachable += outcome.verdict == PassProposal::Verdict::out_of_reach ? 1 : 0;
        within += std::abs(outcome.end_cents) <= 2.0 ? 1 : 0;
        past += outcome.worst_past > 2.0 ? 1 : 0;
        passes += outcome.passes;
        ++by_passes[static_cast<std::size_t>(outcome.passes)];
        ++by_end[static_cast<std::size_t>(std::clamp(std::lround(outcome.end_cents), -4L, 4L) + 4)];
    }
    std::printf("  within 2 cents %.2f %%, ever more than 2 past %.2f %%, passes %.2f, out of reach %d\n  passes:",
                100.0 * within / reeds, 100.0 * past / reeds, static_cast<double>(passes) / reeds, unreachable);
    for (std::size_t i = 0; i < 9; ++i) std::printf(" %zu:%d", i, by_passes[i]);
    std::printf("\n  ends, cents:");
    for (std::size_t i = 0; i < by_end.size(); ++i) std::printf(" %+d:%d", static_cast<int>(i) - 4, by_end[i]);
    std::printf("\n");
    EXPECT_GE(within, 0.95 * reeds);
    EXPECT_LE(past, 0.05 * reeds);
    EXPECT_LE(passes, 4 * reeds);
    EXPECT_EQ(unreachable, 0);
}

TEST(Bench, A_steady_hand_that_takes_half_is_learnt) {
    // A file that bites half as deep as asked: the gain follows, and the passes grow to match.
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    const Frequency target = raised_by(start, 60.0 * cent);
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, target, start);
    Reed real = stated;
    const double first = passes.gain_sigma();
    for (int i = 0; i < 3; ++i) {
        const Length asked = passes.proposal().depth;
        real.tongue = after_cut(real.tongue, {parse_zone("tip", real.tongue.length()), 0.5 * asked, 0.1 * millimetre});
        passes.read(asked, pitch_of(real).pitch);
    }
    EXPECT_LT(passes.gain(), 0.85);
    EXPECT_LT(passes.gain_sigma(), first);
    EXPECT_EQ(passes.passes(), 3);
}

TEST(Bench, The_hands_habit_lies_within_what_was_learnt_of_it) {
    // Hands that always take 0.5 to 1.3 of what they are asked for, give or take 10 % in every pass, over a zone whose
    // end lies within 0.2 mm, read within half a cent.
    std::mt19937 random(7);
    std::normal_distribution<> normal;
    constexpr int hands = 200;
    int inside_of_all = 0;
    int all = 0;
    for (const double habit : {0.5, 0.6, 0.7, 0.85, 1.0, 1.15, 1.3}) {
        int inside = 0;
        for (int i = 0; i < hands; ++i) {
            const Reed stated = uniform(15.0, 2.0, 0.15);
            Reed real = stated;
            const auto tuner = [&] { return raised_by(pitch_of(real).pitch, 0.5 * normal(random) * cent); };
            const Frequency target = raised_by(pitch_of(stated).pitch, 120.0 * cent);
            PassRules rules;
            rules.trust_dimensions = true;
            Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, target, tuner(), rules);
            for (int pass = 0; pass < 3; ++pass) {
                const Length asked = 3.0 * micrometre;
                Cut cut{parse_zone("tip", real.tongue.length()), asked * habit * (1.0 + 0.10 * normal(random)),
                        0.1 * millimetre};
                cut.zone.from += 0.2 * normal(random) * millimetre;
                real.tongue = after_cut(real.tongue, cut);
                passes.read(asked, tuner());
            }
            inside += std::abs(passes.gain() - habit) < 1.96 * passes.gain_sigma() ? 1 : 0;
        }
        std::printf("  habit %.2f: %.1f %% within 95 %%\n", habit, 100.0 * inside / hands);
        // 95 % is meant; the farthest habits lie 1.7 standard deviations out, so that the prior pulls what is learnt a
        // third of its own spread toward 1. Two hundred hands tell a share within 3 %.
        EXPECT_GE(inside, 0.88 * hands) << habit;
        inside_of_all += inside;
        all += hands;
    }
    EXPECT_GE(inside_of_all, 0.93 * all);
}

TEST(Bench, A_hand_that_always_takes_half_is_learnt_as_one) {
    // The readings of such a hand, 40 cents off at first.
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    const Frequency target = raised_by(start, 40.0 * cent);
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, target, start);
    Reed real = stated;
    for (int i = 0; i < 3; ++i) {
        const Length asked = passes.proposal().depth;
        real.tongue = after_cut(real.tongue, {parse_zone("tip", real.tongue.length()), 0.5 * asked, 0.1 * millimetre});
        passes.read(asked, pitch_of(real).pitch);
        EXPECT_LT(std::abs(passes.gain() - 0.5), 1.96 * passes.gain_sigma()) << i;
    }
}

TEST(FirstPass, The_spread_is_that_of_hand_zone_and_thickness_together) {
    Reed reed = uniform(15.0, 2.0, 0.12);
    for (const double micrometres : {0.0, 2.0, 12.0}) {
        reed.spread.thickness = micrometres * micrometre;
        const DepthSearch whole =
            find_depth(reed, parse_zone("tip", reed.tongue.length()), 0.1 * millimetre, 30.0 * cent);
        const FirstPass pass = first_pass(reed, whole.best);
        // The documented sum of squares: 10 %, 0.2 of 3 mm, and the thickness of 0.12 mm.
        EXPECT_NEAR(pass.share_spread, std::hypot(0.10, 0.2 / 3.0, micrometres / 120.0), 1e-9) << micrometres;
        EXPECT_NEAR(pass.overshoot_chance, 0.05, 1e-6) << micrometres;
    }
}

TEST(Bench, Past_the_target_is_said_and_nothing_more_is_cut) {
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, raised_by(start, 10.0 * cent),
                  start);
    passes.read(passes.proposal().depth, raised_by(start, 15.0 * cent));
    EXPECT_EQ(passes.proposal().verdict, PassProposal::Verdict::past_target);
    EXPECT_EQ(passes.proposal().depth.value(), 0.0);
}

TEST(Bench, A_wrong_way_reading_leaves_the_gain_alone_and_so_does_the_one_after) {
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    const auto at = [&](double off) { return raised_by(start, off * cent); };
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, at(40.0), start);
    passes.read(passes.proposal().depth, at(-6.0));
    ASSERT_EQ(passes.wrong_way().size(), 1U);
    EXPECT_EQ(passes.wrong_way()[0].reading, 2);
    EXPECT_NEAR(passes.wrong_way()[0].observed.value(), -6.0, 1e-6);
    EXPECT_GT(passes.wrong_way()[0].expected.value(), 20.0);
    EXPECT_EQ(passes.gain(), 1.0);
    // The next reading was of this reed again: 37 cents in one go say nothing of the file either.
    passes.read(passes.proposal().depth, at(31.0));
    EXPECT_EQ(passes.wrong_way().size(), 1U);
    EXPECT_EQ(passes.gain(), 1.0);
    passes.read(passes.proposal().depth, at(35.0));
    EXPECT_NE(passes.gain(), 1.0);
}

TEST(Bench, A_reading_back_by_less_than_the_tuner_errs_is_no_wrong_way) {
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, raised_by(start, 10.0 * cent),
                  start);
    passes.read(passes.proposal().depth, raised_by(start, -1.0 * cent));
    EXPECT_TRUE(passes.wrong_way().empty());
    EXPECT_LT(passes.gain(), 1.0);
}

TEST(Bench, A_second_reading_with_nothing_taken_opens_a_finished_reed_again) {
    const Reed stated = uniform(15.0, 2.0, 0.12);
    const Frequency start = pitch_of(stated).pitch;
    Passes passes(stated, parse_zone("tip", stated.tongue.length()), 0.1 * millimetre, raised_by(start, 0.5 * cent),
                  start);
    EXPECT_EQ(passes.proposal().verdict, PassProposal::Verdict::done);
    passes.read(0.0 * metre, raised_by(start, -4.0 * cent));
    EXPECT_EQ(passes.proposal().verdict, PassProposal::Verdict::cut);
    EXPECT_EQ(passes.passes(), 0);
    EXPECT_DOUBLE_EQ(passes.gain(), 1.0);
}

TEST(Strokes, Left_follow_from_two_readings) {
    const Frequency a4 = 440.0 * hertz;
    const auto at = [&](double off) { return raised_by(a4, off * cent); };
    const auto strokes = strokes_left(at(-12.0), at(-9.0), 6.0, a4);
    ASSERT_TRUE(strokes);
    EXPECT_NEAR(strokes->per_stroke.value(), 0.5, 1e-9);
    EXPECT_NEAR(strokes->left, 18.0, 1e-9);
    EXPECT_FALSE(strokes_left(at(-12.0), at(-11.5), 6.0, a4));
    EXPECT_FALSE(strokes_left(at(-12.0), at(-15.0), 6.0, a4));
    EXPECT_FALSE(strokes_left(at(-12.0), at(-9.0), 0.0, a4));
}

}  // namespace
}  // namespace reedwright::test
