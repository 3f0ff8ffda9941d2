// One pitch from the phases of all harmonics: how steady it is, and how well it is known.
#pragma once

#include "core/listen/harmonic_blocks.hpp"

#include <vector>

namespace reedwright::kernel {

/// A harmonic's own pitch against the common one.
struct HarmonicFit {
    std::size_t number = 0;
    /// Root mean square amplitude over the run.
    double amplitude = 0.0;
    /// Distance of its own frequency from number times the pitch, and its expanded uncertainty (95 %), in cents. Zero
    /// for a harmonic that is lost in the noise.
    double off_cents = 0.0;
    double off_uncertainty_cents = 0.0;
    /// Clear of the noise.
    bool heard = false;
    /// Whether the pitch rests on it; not so where its own pitch is another one.
    bool used = false;
};

struct PhaseFit {
    double pitch_hz = 0.0;
    /// 95 %, from the scatter of the phases and, where the pitch wanders more than that explains, from its wandering.
    double uncertainty_cents = 0.0;
    /// Blocks of the steady run on which the pitch rests: first, and behind the last.
    std::size_t first = 0;
    std::size_t end = 0;
    /// Highest less lowest pitch between the parts of the run.
    double wandering_cents = 0.0;
    /// Share of the harmonics that agree with the common pitch, by their weight in it or by their power, whichever is
    /// less.
    double agreeing_share = 0.0;
    std::vector<HarmonicFit> harmonics;
};

/// The pitch nearest to that of the blocks at which the phases advance together; a search over +-reach of it that needs
/// no unwrapping and bears a pitch that drifts.
double advanced_pitch(const HarmonicBlocks& blocks, double reach);

/// Least squares over the phases phi_km = alpha_k + 2 pi k d t_m with one common shift d of the pitch, each weighted by
/// |a_km|^2 over the noise at that harmonic. The residuals are gathered into one shift of time per block, since breath
/// moves all harmonics together: its scatter over M blocks, with Student's t for M - 2, is the uncertainty. The run
/// is the longest stretch whose pitch stays within 10 cents (or the noise) of the median. When its thirds or
/// quarters differ by more than the scatter within them explains (F test, 99 %), their own scatter is added.
/// No blocks in the run (first == end) when no harmonic is clear of the noise or fewer than six blocks follow each
/// other steadily.
PhaseFit fit_phases(const HarmonicBlocks& blocks);

}  // namespace reedwright::kernel
