#include "core/vibration/traced_profile.hpp"

#include <algorithm>

namespace reedwright::kernel {

namespace {

// One sweep from the first to the last segment that limits rises only.
TracedProfile limited_rise(const TracedProfile& profile, double steepest) {
    TracedProfile result;
    result.reserve(profile.size() + 4);
    Traced reached = profile.front().start;
    for (const TracedSegment& segment : profile) {
        const double length = segment.to_m - segment.from_m;
        const double slope = (segment.end.value - segment.start.value) / length;
        if (segment.start.value <= reached.value) reached = segment.start;
        const double lag = segment.start.value - reached.value;
        if (lag <= 0.0 && slope <= steepest) {
            result.push_back(segment);
            reached = segment.end;
            continue;
        }
        // From the value reached so far the profile may rise only at the steepest slope, until it
        // meets the given one.
        const double run = slope < steepest ? std::min(length, lag / (steepest - slope)) : length;
        Traced limited = reached;
        limited.value += steepest * run;
        result.push_back({segment.from_m, segment.from_m + run, reached, limited});
        if (run < length) {
            const double meeting = segment.from_m + run;
            result.push_back({meeting, segment.to_m, segment.at(meeting), segment.end});
            reached = segment.end;
        } else {
            reached = limited;
        }
    }
    return result;
}

TracedProfile reversed(const TracedProfile& profile) {
    TracedProfile result;
    result.reserve(profile.size());
    for (auto segment = profile.rbegin(); segment != profile.rend(); ++segment)
        result.push_back({-segment->to_m, -segment->from_m, segment->end, segment->start});
    return result;
}

}  // namespace

Traced TracedSegment::at(double x_m) const {
    if (x_m <= from_m) return start;
    if (x_m >= to_m) return end;
    const double share = (x_m - from_m) / (to_m - from_m);
    Traced result;
    result.value = start.value + share * (end.value - start.value);
    // Both ends follow the same one or two stations; see the callers.
    result.first = start.first;
    result.second = end.second >= 0 ? end.second : start.second;
    const auto share_of = [](const Traced& traced, int station) {
        return (traced.first == station ? traced.first_share : 0.0) +
               (traced.second == station ? traced.second_share : 0.0);
    };
    if (result.first >= 0)
        result.first_share = (1.0 - share) * share_of(start, result.first) + share * share_of(end, result.first);
    if (result.second >= 0 && result.second != result.first)
        result.second_share = (1.0 - share) * share_of(start, result.second) + share * share_of(end, result.second);
    return result;
}

TracedProfile traced(const std::vector<double>& at_m, const std::vector<double>& value_m) {
    TracedProfile profile;
    profile.reserve(at_m.size());
    for (std::size_t i = 1; i < at_m.size(); ++i) {
        if (at_m[i] <= at_m[i - 1]) continue;
        const int left = static_cast<int>(i) - 1;
        const int right = static_cast<int>(i);
        profile.push_back(
            {at_m[i - 1], at_m[i], {value_m[i - 1], left, 1.0, right, 0.0}, {value_m[i], left, 0.0, right, 1.0}});
    }
    return profile;
}

TracedProfile limited_slope(const TracedProfile& profile, double steepest) {
    const auto gentle = [&](std::size_t i) {
        const TracedSegment& s = profile[i];
        const double rise = s.end.value - s.start.value;
        const double reach = steepest * (s.to_m - s.from_m);
        return rise <= reach && -rise <= reach && (i == 0 || profile[i - 1].end.value == s.start.value);
    };
    bool all_gentle = true;
    for (std::size_t i = 0; i < profile.size() && all_gentle; ++i) all_gentle = gentle(i);
    if (all_gentle) return profile;
    return reversed(limited_rise(reversed(limited_rise(profile, steepest)), steepest));
}

}  // namespace reedwright::kernel
