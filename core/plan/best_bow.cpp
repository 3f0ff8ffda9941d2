#include "core/plan/best_bow.hpp"

#include "core/plan/planned_tongue.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <set>
#include <tuple>

namespace reedwright {

namespace {

struct Measured {
    double first;
    double second;
};

// Standard deviation of ln k.
double unevenness(const std::vector<PlannedTongue>& tongues) {
    double mean = 0.0;
    for (const PlannedTongue& one : tongues) mean += std::log(one.stiffness.value());
    mean /= static_cast<double>(tongues.size());
    double sum = 0.0;
    for (const PlannedTongue& one : tongues) sum += std::pow(std::log(one.stiffness.value()) - mean, 2);
    return std::sqrt(sum / static_cast<double>(tongues.size()));
}

double greatest_stress(const std::vector<PlannedTongue>& tongues) {
    double most = 0.0;
    for (const PlannedTongue& one : tongues)
        most = std::max(most, one.life.proof_share.value_or(one.life.stress.value() / 1e9));
    return most;
}

double strips(const std::vector<PlannedTongue>& tongues) {
    std::set<double> all;
    for (const PlannedTongue& one : tongues)
        if (one.gauge) all.insert(one.gauge->value());
    return static_cast<double>(all.size());
}

Measured measure(const std::vector<PlannedTongue>& tongues, PlanAim aim) {
    switch (aim) {
        case PlanAim::even_stiffness:
            return {unevenness(tongues), 0.0};
        case PlanAim::least_stress:
            return {greatest_stress(tongues), 0.0};
        case PlanAim::fewest_strips:
            break;
    }
    return {strips(tongues), unevenness(tongues)};
}

std::string measure_words(PlanAim aim) {
    switch (aim) {
        case PlanAim::even_stiffness:
            return "spread of tip stiffness, as the standard deviation of its logarithm";
        case PlanAim::least_stress:
            return "greatest stress, as a share of the proof strength";
        case PlanAim::fewest_strips:
            break;
    }
    return "different strips";
}

}  // namespace

BowChoice best_bow(const std::function<Design(std::optional<double> bow)>& read, PlanAim aim) {
    const Design plain = read(std::nullopt);
    if (!plain.length_scale)
        throw InputError("the design has no scale of lengths to bow",
                         "state tongues.length: {lowest: ..., highest: ...}");
    const auto tried = [&](double bow) -> std::optional<Measured> {
        Design design = read(bow);
        const auto tongues = plan_tongues(design);
        const bool reached =
            std::all_of(tongues.begin(), tongues.end(), [](const PlannedTongue& one) { return one.in_reach(); });
        return reached ? std::optional(measure(tongues, aim)) : std::nullopt;
    };
    std::optional<Measured> best;
    double best_bow = 0.0;
    const auto look = [&](double bow) {
        const auto here = tried(bow);
        if (here && (!best || std::tie(here->first, here->second) < std::tie(best->first, best->second))) {
            best = here;
            best_bow = bow;
        }
    };
    // Straight first: of equals the plainer stays.
    look(0.0);
    const std::optional<Measured> unbowed = best;
    for (int i = -5; i <= 5; ++i)
        if (i != 0) look(0.04 * i);
    const double coarse = best_bow;
    for (int i = -3; i <= 3; ++i)
        if (i != 0) look(coarse + 0.01 * i);
    if (!best)
        throw InputError("no bow of the length scale brings every note into reach",
                         "plan without an aim tells what stands in the way");
    return {best_bow, measure_words(aim), best->first, unbowed ? unbowed->first : std::nan("")};
}

}  // namespace reedwright
