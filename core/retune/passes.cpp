#include "core/retune/passes.hpp"

#include "core/input/diagnostic.hpp"
#include "core/retune/reading.hpp"
#include "core/vibration/pitch.hpp"

#include <algorithm>
#include <boost/math/distributions/normal.hpp>
#include <cmath>

namespace reedwright {

namespace {

// A smaller shift tells nothing of the gain.
constexpr double least_learnt_cents = 0.1;

// Spread of the common gain before anything was read: the hand's habit and the thickness in the zone.
double prior_gain_sigma(const Reed& reed, const Zone& zone, const HandSpread& hand) {
    const Length there = 0.5 * (reed.tongue.thickness.beyond(zone.from) + reed.tongue.thickness.before(zone.to));
    return std::hypot(hand.habit_share, (reed.spread.thickness / there).value());
}

// Spread of one pass about what is common to all: the depth and the zone as the hand takes them.
double pass_spread(const Zone& zone, const HandSpread& hand) {
    return std::hypot(hand.depth_share, (hand.zone / (zone.to - zone.from)).value());
}

}  // namespace

Passes::Passes(const Reed& stated, const Zone& zone, Length ramp, Frequency target, Frequency first_reading,
               const PassRules& rules, Model model)
    : reed_(rules.trust_dimensions ? stated : explain_reading(stated, first_reading, rules.hand.tuner, model).reed),
      zone_(zone),
      ramp_(ramp),
      target_(target),
      reading_(first_reading),
      rules_(rules),
      model_(model) {
    // A zone that ends at the tip stays there when the reading lengthens the tongue by a hair.
    if (zone.to >= stated.tongue.length() || zone_.to > reed_.tongue.length()) zone_.to = reed_.tongue.length();
    way_ = target_ > reading_ ? 1.0 : -1.0;
    gain_sigma_ = prior_gain_sigma(reed_, zone_, rules_.hand);
    propose();
}

void Passes::learn(double observed, double predicted) {
    if (std::abs(predicted) <= least_learnt_cents) return;
    // One observation of the gain, spread by the hand of this pass and by two readings.
    const double tuner = std::sqrt(2.0) * rules_.hand.tuner.value() / std::abs(predicted);
    const double hand = pass_spread(zone_, rules_.hand);
    const double variance = hand * hand + tuner * tuner;
    const double prior = gain_sigma_ * gain_sigma_;
    gain_ = (gain_ / prior + observed / predicted / variance) / (1.0 / prior + 1.0 / variance);
    gain_sigma_ = std::sqrt(1.0 / (1.0 / prior + 1.0 / variance));
}

void Passes::read(Length taken, Frequency reading) {
    ++readings_;
    // Read again with nothing taken, the next day say: the pitch is what it is, and nothing is learnt of a cut.
    if (taken.value() <= 0.0) {
        reading_ = reading;
        start_in_doubt_ = false;
        propose();
        return;
    }
    ++passes_;
    const double observed = interval_between(reading_, reading).value();
    Cut cut{zone_, taken, ramp_};
    const double predicted = effect_of_cut(reed_, cut, model_).shift.value();
    const double two_readings = std::sqrt(2.0) * rules_.hand.tuner.value();
    if (observed * predicted < 0.0 && std::abs(observed) > 2.0 * two_readings) {
        // What was cut, if this reed was cut at all, is not known: the model's tongue stays as it was.
        wrong_way_.push_back({readings_, observed * cent, predicted * cent});
        start_in_doubt_ = true;
        reading_ = reading;
        propose();
        return;
    }
    double bite = gain_;
    if (!start_in_doubt_) {
        learn(observed, predicted);
        bite = predicted != 0.0 ? observed / predicted : 1.0;
    }
    start_in_doubt_ = false;
    // What the cut left, at the depth that the reading says was really taken.
    cut.depth = taken * std::clamp(bite, 0.2, 2.0);
    const Length deepest = deepest_cut(reed_.tongue, cut, SafeDepth{}.least_thickness, SafeDepth{}.least_share);
    cut.depth = std::min(cut.depth, deepest);
    if (cut.depth.value() > 0.0) reed_.tongue = after_cut(reed_.tongue, cut);
    reading_ = reading;
    propose();
}

void Passes::propose() {
    const double remaining = interval_between(reading_, target_).value();
    proposal_ = PassProposal{PassProposal::Verdict::done, remaining * cent};
    proposal_.thinnest = reed_.tongue.thickness.smallest();
    // The reading itself is uncertain, so a pass is worth making until it is well inside the tolerance.
    const double near_enough = std::max(0.0, rules_.tolerance.value() - 2.0 * rules_.hand.tuner.value());
    if (std::abs(remaining) <= near_enough) return;
    if (remaining * way_ < 0.0) {
        if (std::abs(remaining) > rules_.tolerance.value()) proposal_.verdict = PassProposal::Verdict::past_target;
        return;
    }
    if (passes_ == 0)
        propose_first(remaining);
    else
        propose_later(std::abs(remaining));
}

void Passes::propose_first(double remaining) {
    const DepthSearch whole = find_depth(reed_, zone_, ramp_, remaining * cent, {}, model_);
    proposal_.whole = whole.best;
    proposal_.whole_shift = whole.best.shift;
    if (!whole.reachable) {
        proposal_.verdict = PassProposal::Verdict::out_of_reach;
        return;
    }
    const FirstPass pass = first_pass(reed_, whole.best, rules_.first_level, rules_.hand, model_);
    // At a very low level a small rest is not worth a pass: the reading alone may be that far off.
    if (pass.depth.value() <= 0.0) {
        if (std::abs(remaining) > rules_.tolerance.value()) propose_later(std::abs(remaining));
        return;
    }
    proposal_.verdict = PassProposal::Verdict::cut;
    proposal_.depth = pass.depth;
    proposal_.expected = pass.shift;
    proposal_.overshoot_chance = pass.overshoot_chance;
}

void Passes::propose_later(double remaining) {
    // Only part of what remains: past it by more than the tolerance at no more than the level.
    const boost::math::normal unit;
    const double quantile = boost::math::quantile(unit, 1.0 - rules_.later_level);
    const double tuner = rules_.hand.tuner.value();
    const double hand = pass_spread(zone_, rules_.hand);
    const double limit = remaining + rules_.tolerance.value();
    const auto spread_of = [&](double asked) { return std::hypot(asked * hand * gain_, asked * gain_sigma_, tuner); };
    // asked x gain + quantile x spread = limit, by bisection: the left side grows with what is asked.
    double asked = remaining / gain_;
    if (limit - asked * gain_ < quantile * spread_of(asked)) {
        double low = 0.0;
        double high = asked;
        for (int i = 0; i < 50; ++i) {
            const double middle = 0.5 * (low + high);
            (middle * gain_ + quantile * spread_of(middle) < limit ? low : high) = middle;
        }
        asked = low;
    }
    const DepthSearch whole = find_depth(reed_, zone_, ramp_, way_ * remaining / gain_ * cent, {}, model_);
    const DepthSearch pass = find_depth(reed_, zone_, ramp_, way_ * asked * cent, {}, model_);
    proposal_.whole = whole.best;
    proposal_.whole_shift = whole.best.shift * gain_;
    if (!pass.reachable) {
        proposal_.verdict = PassProposal::Verdict::out_of_reach;
        return;
    }
    proposal_.verdict = PassProposal::Verdict::cut;
    proposal_.depth = pass.best.cut.depth;
    proposal_.expected = pass.best.shift * gain_;
    proposal_.overshoot_chance =
        boost::math::cdf(boost::math::complement(unit, (limit - asked * gain_) / spread_of(asked)));
}

std::optional<Strokes> strokes_left(Frequency before, Frequency after, double strokes, Frequency target) {
    const double moved = interval_between(before, after).value();
    const double remaining = interval_between(after, target).value();
    if (strokes <= 0.0 || std::abs(moved) < 1.0 || moved * interval_between(before, target).value() < 0.0)
        return std::nullopt;
    return Strokes{moved / strokes * cent, std::max(0.0, remaining / (moved / strokes))};
}

}  // namespace reedwright
