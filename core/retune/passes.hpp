// A correction in passes: cut less than is needed, read again, learn, go on.
#pragma once

#include "core/retune/first_pass.hpp"
#include "core/vibration/cut_effect.hpp"

#include <optional>
#include <vector>

namespace reedwright {

struct PassRules {
    /// Nearer to the target than this is done.
    Interval tolerance = 2.0 * cent;
    /// Chance that the first pass goes past the target: first_pass(), of which nothing is learnt yet.
    double first_level = 0.05;
    /// Chance, in each later pass, of going past the target by more than the tolerance. Several passes follow each
    /// other, so it is tighter than what the whole correction may risk.
    double later_level = 0.01;
    HandSpread hand;
    /// Leaves the dimensions as stated instead of letting the first reading correct them.
    bool trust_dimensions = false;
};

/// A reading that lies the other way than the cut before it had to bring it: the other end may have been cut, or
/// another reed been read.
struct WrongWay {
    /// Which reading, the first of all being 1.
    int reading;
    Interval observed;
    Interval expected;
};

/// What to do after a reading.
struct PassProposal {
    enum class Verdict { done, cut, out_of_reach, past_target };
    Verdict verdict;
    /// From the reading to the target.
    Interval remaining;
    /// Depth and expected shift of the next pass; nothing unless the verdict is to cut.
    Length depth = 0.0 * metre;
    Interval expected = 0.0 * cent;
    /// Of going past the target in the first pass, past it by more than the tolerance in a later one.
    double overshoot_chance = 0.0;
    /// The cut that would bring the whole of what remains, or the best where none does; empty where nothing remains.
    std::optional<CutEffect> whole = {};
    /// Its expected shift, the gain in it.
    Interval whole_shift = 0.0 * cent;
    /// As the model has the tongue now, before the next pass.
    Length thinnest = 0.0 * metre;
};

/// The passes on one zone of one reed, from the first reading on.
///
/// Model of the bench: the true shift of a pass is gain x (predicted shift) x (1 + hand), hand normal anew for every
/// pass: its depth and its zone. The gain, common to all passes, holds the habit of the hand and the file, which may
/// always take half of what they are asked for, and what is not known of the thickness. A pass observed through the
/// tuner updates the gain (Bayes, normal quantities):
///   1 / s'^2 = 1 / s^2 + 1 / v^2, v the hand's and the tuner's spread of one observed gain.
/// The tongue is solved again before every pass. Nothing is learnt from a reading that went the wrong way, nor from the
/// one after it, whose start is in doubt.
class Passes {
public:
    /// Throws InputError as find_depth() does when nothing may be cut in the zone.
    Passes(const Reed& stated, const Zone& zone, Length ramp, Frequency target, Frequency first_reading,
           const PassRules& rules = {}, Model model = {});

    const PassProposal& proposal() const { return proposal_; }
    /// After a pass of the given depth the tuner reads this; a depth of nothing is a mere second reading.
    void read(Length taken, Frequency reading);

    /// True shift over predicted shift as learnt so far, and its standard deviation.
    double gain() const { return gain_; }
    double gain_sigma() const { return gain_sigma_; }
    int passes() const { return passes_; }
    /// The readings that went the wrong way by more than the tuner can err.
    const std::vector<WrongWay>& wrong_way() const { return wrong_way_; }

private:
    void learn(double observed, double predicted);
    void propose();
    void propose_first(double remaining);
    void propose_later(double remaining);

    Reed reed_;
    Zone zone_;
    Length ramp_;
    Frequency target_;
    Frequency reading_;
    PassRules rules_;
    Model model_;
    /// The way the correction goes, +1 up or -1 down.
    double way_;
    double gain_ = 1.0;
    double gain_sigma_ = 0.0;
    int passes_ = 0;
    int readings_ = 1;
    bool start_in_doubt_ = false;
    std::vector<WrongWay> wrong_way_;
    PassProposal proposal_{};
};

/// Cents per stroke from readings before and after some strokes, and the strokes left to a target; empty when the
/// strokes moved the pitch the wrong way or not measurably (less than a cent).
struct Strokes {
    Interval per_stroke;
    double left;
};
std::optional<Strokes> strokes_left(Frequency before, Frequency after, double strokes, Frequency target);

}  // namespace reedwright
