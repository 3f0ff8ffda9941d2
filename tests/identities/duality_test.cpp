// A cantilever read from its other end: EI*(x) = 1 / m(L - x), m*(x) = 1 / EI(L - x) leaves every frequency
// unchanged. For a strip of thickness h and width b made of steps, h*(x) = h(L - x) and
// b*(x) = C / (b h^4)(L - x): then EI* = E b* h*^3 / 12 and m* = rho b* h* are the reciprocals up to constants
// that cancel.
#include "tests/support/tongues.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace reedwright::test {
namespace {

struct Steps {
    std::vector<double> ends, thickness, width;
};

Profile stepped(const std::vector<double>& ends, const std::vector<double>& values) {
    Stations stations{{0.0, values.front()}};
    for (std::size_t i = 0; i < values.size(); ++i) {
        stations.push_back({ends[i], values[i]});
        if (i + 1 < values.size()) stations.push_back({ends[i], values[i + 1]});
    }
    return profile(stations);
}

RC_GTEST_PROP(Duality, A_stepped_tongue_and_its_dual_sound_alike, ()) {
    const auto count = *rc::gen::inRange<std::size_t>(1, 6);
    Steps steps;
    double at = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        at += *rc::gen::inRange(5, 60) * 0.1;
        steps.ends.push_back(at);
        steps.thickness.push_back(*rc::gen::inRange(60, 300) * 1e-3);
        steps.width.push_back(*rc::gen::inRange(10, 40) * 0.1);
    }
    Steps dual;
    for (std::size_t i = count; i-- > 0;) {
        dual.ends.push_back(at - (i == 0 ? 0.0 : steps.ends[i - 1]));
        dual.thickness.push_back(steps.thickness[i]);
        dual.width.push_back(2.0 * std::pow(0.15, 4) * 2.0 / (steps.width[i] * std::pow(steps.thickness[i], 4)));
    }
    const Material brass = metal(110.0, 8530.0, 0.34);
    const auto f =
        vibration_of(reed(brass, stepped(steps.ends, steps.thickness), stepped(steps.ends, steps.width)), beam).flap(3);
    const auto g =
        vibration_of(reed(brass, stepped(dual.ends, dual.thickness), stepped(dual.ends, dual.width)), beam).flap(3);
    // The third mode's own discretisation error; widths here span a factor of a thousand.
    for (std::size_t i = 0; i < 3; ++i) RC_ASSERT(std::abs((g[i] / f[i]).value() - 1.0) < 2e-6);
}

RC_GTEST_PROP(Duality, A_seat_that_gives_and_a_mass_at_the_tip_are_dual, ()) {
    const double mu = *rc::gen::inRange(1, 4000) * 1e-3;
    Reed seated = uniform(15.0, 2.0, 0.1);
    // K = k L / EI = 1 / mu, and K = L / (s h).
    seated.seat.give = mu * 150.0;
    Reed loaded = uniform(15.0, 2.0, 0.1);
    loaded.tongue.loads.push_back({loaded.tongue.length(), mu * loaded.tongue.mass()});
    const auto f = vibration_of(seated, beam).flap(3);
    const auto g = vibration_of(loaded, beam).flap(3);
    for (std::size_t i = 0; i < 3; ++i) RC_ASSERT(std::abs((g[i] / f[i]).value() - 1.0) < 1e-6);
}

}  // namespace
}  // namespace reedwright::test
