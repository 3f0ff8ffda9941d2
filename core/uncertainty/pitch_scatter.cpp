#include "core/uncertainty/pitch_scatter.hpp"

#include "core/uncertainty/lanes/lanes.hpp"
#include "core/uncertainty/monte_carlo.hpp"
#include "core/uncertainty/random.hpp"
#include "core/uncertainty/reduced_pitch.hpp"
#include "core/vibration/pitch.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <optional>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double cut_at = 6.0;
constexpr double greatest_error_cents = 0.05;
constexpr std::size_t tried_tongues = 64;

constexpr std::size_t pair_count = (input_count + 1) / 2;
// Samples handled at once: their deviates stay in the nearest cache.
constexpr std::size_t batch = 256;
constexpr std::size_t modulus = index_of(Input::modulus);
constexpr std::size_t seat = index_of(Input::seat);

// The deviations of a run of samples, at most a batch.
struct Draw {
    std::array<std::array<double, batch>, 2 * pair_count> columns;
    // Of a sample's inputs, in standard deviations.
    std::array<double, batch> farthest;

    void fill(const RandomSamples& random, double correlation, std::uint64_t first, std::size_t count) {
        for (std::size_t pair = 0; pair < pair_count; ++pair)
            random.normal(first, static_cast<std::uint32_t>(pair), {columns[2 * pair].data(), count},
                          {columns[2 * pair + 1].data(), count});
        if (correlation != 0.0) {
            const double own = std::sqrt(1.0 - correlation * correlation);
            for (std::size_t k = 0; k < count; ++k)
                columns[seat][k] = correlation * columns[modulus][k] + own * columns[seat][k];
        }
        std::fill_n(farthest.begin(), count, 0.0);
        for (std::size_t i = 0; i < input_count; ++i)
            for (std::size_t k = 0; k < count; ++k) farthest[k] = std::max(farthest[k], std::abs(columns[i][k]));
    }
    DeviationColumns spans(std::size_t count) const {
        DeviationColumns result;
        for (std::size_t i = 0; i < input_count; ++i) result[i] = {columns[i].data(), count};
        return result;
    }
    Deviations sample(std::size_t k) const {
        Deviations result;
        for (std::size_t i = 0; i < input_count; ++i) result[i] = std::clamp(columns[i][k], -cut_at, cut_at);
        return result;
    }
    // The cut lies beyond it.
    bool within_reach(std::size_t k) const { return farthest[k] <= ReducedPitch::reach; }
};
static_assert(ReducedPitch::reach < cut_at);

}  // namespace

std::string impossible_spread(const Reed& reed) {
    const auto reaches = [&](Input input, double value) {
        const double deviation = standard_deviation(reed, input).value_or(0.0);
        return cut_at * deviation >= value
                   ? fmt::format("the {} reaches zero within {:.0f} standard deviations of {}", input_name(input),
                                 cut_at, standard_deviation_text(reed, input))
                   : std::string();
    };
    const double thinnest_m = std::min(reed.tongue.thickness.smallest(), reed.seat.root_thickness).value();
    const double narrowest_m = std::min(reed.tongue.width.smallest(), reed.seat.root_width).value();
    for (const auto& [input, value] : {std::pair(Input::thickness, thinnest_m), std::pair(Input::width, narrowest_m),
                                       std::pair(Input::length, reed.tongue.length().value()),
                                       std::pair(Input::modulus, 1.0), std::pair(Input::density, 1.0)})
        if (std::string reason = reaches(input, value); !reason.empty()) return reason;
    return {};
}

PitchScatter pitch_scatter(const Reed& reed, Model model, const ScatterRequest& request) {
    if (const std::string reason = impossible_spread(reed); !reason.empty()) throw std::invalid_argument(reason);
    PitchScatter result{};
    result.nominal = pitch_of(reed, model).pitch;
    for (const Input input : all_inputs)
        if (!standard_deviation(reed, input) && !(input == Input::poisson && model.tier == Tier::beam))
            result.unknown_spread.push_back(input);

    const kernel::Lanes& lanes = request.lanes != nullptr ? *request.lanes : kernel::widest_lanes();
    std::optional<ReducedPitch> reduced;
    if (ReducedPitch::can_stand_for(reed, model)) {
        reduced.emplace(reed, model, lanes);
        result.greatest_error = reduced->error_bound(tried_tongues);
        if (result.greatest_error.value() > greatest_error_cents) {
            reduced.reset();
            result.greatest_error = 0.0 * cent;
        }
    }
    result.reduced = reduced.has_value();

    const RandomSamples random(request.seed, lanes);
    const auto pitches = [&](std::uint64_t first, std::span<double> values) {
        Draw draw;
        for (std::size_t from = 0; from < values.size(); from += batch) {
            const std::size_t count = std::min(batch, values.size() - from);
            draw.fill(random, reed.seat.modulus_correlation, first + from, count);
            if (reduced) reduced->cents(draw.spans(count), values.subspan(from, count));
            for (std::size_t k = 0; k < count; ++k)
                if (!reduced || !draw.within_reach(k))
                    values[from + k] = full_model_cents(reed, result.nominal, draw.sample(k), model).value();
        }
    };
    const SpreadSummary spread = monte_carlo(pitches, {request.samples, request.threads, request.progress});
    result.samples = spread.samples;
    result.mean = spread.mean * cent;
    result.standard = spread.standard_deviation * cent;
    result.low95 = spread.low95 * cent;
    result.high95 = spread.high95 * cent;
    return result;
}

}  // namespace reedwright
