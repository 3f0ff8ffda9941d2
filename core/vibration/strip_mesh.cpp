#include "core/vibration/strip.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright::kernel {

namespace {

constexpr double same_place_m = 1e-10;

// The segment of a profile that holds an interval; both run from root to tip.
const TracedSegment& segment_over(const TracedProfile& profile, double middle_m, std::size_t& hint) {
    while (hint + 1 < profile.size() && profile[hint].to_m < middle_m) ++hint;
    return profile[hint];
}

// Places toward which elements shrink: the clamp, and the jumps and kinks at which the stiffness
// changes by more than a twentieth within a width.
std::vector<double> sharp_places(const StripInput& input) {
    std::vector<double> places{0.0};
    const TracedProfile& stiff = input.stiff_thickness;
    for (std::size_t i = 1; i < stiff.size(); ++i) {
        const double jump = std::abs(stiff[i].start.value - stiff[i - 1].end.value);
        const auto slope = [](const TracedSegment& s) { return (s.end.value - s.start.value) / (s.to_m - s.from_m); };
        if (jump > 1e-3 * stiff[i].start.value || std::abs(slope(stiff[i]) - slope(stiff[i - 1])) > 0.05) places.push_back(stiff[i].from_m);
    }
    return places;
}

}  // namespace

Strip meshed(StripInput input, const MeshRule& rule) {
    Strip strip;
    std::vector<double> places;
    for (const TracedProfile* profile : {&input.thickness, &input.stiff_thickness, &input.width}) {
        for (const TracedSegment& s : *profile) places.push_back(s.from_m);
        places.push_back(profile->back().to_m);
    }
    for (const PointMass& mass : input.masses) places.push_back(mass.at_m);
    std::sort(places.begin(), places.end());
    std::vector<double> ends;
    for (const double place : places)
        if (ends.empty() || place - ends.back() > same_place_m) ends.push_back(place);
    const double length = ends.back();

    strip.greatest_width_m = 0.0;
    for (const TracedSegment& s : input.width) strip.greatest_width_m = std::max({strip.greatest_width_m, s.start.value, s.end.value});

    const bool graded = input.edge_softening || input.poisson > 0.0;
    const std::vector<double> sharp = graded ? sharp_places(input) : std::vector<double>{};
    const double coarsest = rule.coarsest_share_of_length * length;
    const auto size_at = [&](double x) {
        double size = coarsest;
        for (const double place : sharp)
            size = std::min(size, rule.finest_share * strip.greatest_width_m + (rule.growth - 1.0) * std::abs(x - place));
        return size;
    };

    std::vector<double> nodes{0.0};
    for (std::size_t i = 1; i < ends.size(); ++i) {
        const double from = ends[i - 1];
        const double to = ends[i];
        // March from both ends of the interval toward its coarser side by counting how many
        // elements the wanted size asks for, then place them evenly in that measure.
        constexpr int samples = 32;
        std::array<double, samples + 1> measure{};
        for (int k = 1; k <= samples; ++k)
            measure[static_cast<std::size_t>(k)] =
                measure[static_cast<std::size_t>(k) - 1] + (to - from) / samples / size_at(from + (to - from) * (k - 0.5) / samples);
        const int count = std::max(1, static_cast<int>(std::ceil(measure[samples] - 0.1)));
        int k = 0;
        for (int e = 1; e < count; ++e) {
            const double wanted = measure[samples] * e / count;
            while (measure[static_cast<std::size_t>(k) + 1] < wanted) ++k;
            const double low = measure[static_cast<std::size_t>(k)];
            const double high = measure[static_cast<std::size_t>(k) + 1];
            nodes.push_back(from + (to - from) * (k + (wanted - low) / (high - low)) / samples);
        }
        nodes.push_back(to);
    }

    std::size_t in_thickness = 0, in_stiff = 0, in_width = 0;
    strip.elements.reserve(nodes.size());
    for (std::size_t i = 1; i < nodes.size(); ++i) {
        const double from = nodes[i - 1];
        const double to = nodes[i];
        const double middle = 0.5 * (from + to);
        const TracedSegment& h = segment_over(input.thickness, middle, in_thickness);
        const TracedSegment& s = segment_over(input.stiff_thickness, middle, in_stiff);
        const TracedSegment& b = segment_over(input.width, middle, in_width);
        strip.elements.push_back({from, to - from, h.at(from), h.at(to), s.at(from), s.at(to), b.at(from), b.at(to)});
    }
    for (const PointMass& mass : input.masses) {
        const auto node = std::min_element(nodes.begin(), nodes.end(), [&](double a, double b) { return std::abs(a - mass.at_m) < std::abs(b - mass.at_m); });
        strip.mass_nodes.push_back(static_cast<std::size_t>(node - nodes.begin()));
    }
    strip.input = std::move(input);
    return strip;
}

}  // namespace reedwright::kernel
