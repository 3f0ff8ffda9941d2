#include "core/vibration/strip.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright::kernel {

namespace {

constexpr double same_place_m = 1e-9;

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
        if (jump > 1e-3 * stiff[i].start.value || std::abs(slope(stiff[i]) - slope(stiff[i - 1])) > 0.05)
            places.push_back(stiff[i].from_m);
    }
    return places;
}

std::vector<double> distinct(std::vector<double> places, double apart_m) {
    std::sort(places.begin(), places.end());
    std::vector<double> kept;
    for (const double place : places)
        if (kept.empty() || place - kept.back() > apart_m) kept.push_back(place);
    return kept;
}

// Every place at which a dimension kinks or jumps.
std::vector<double> corners(const StripInput& input) {
    std::vector<double> places;
    for (const TracedProfile* profile : {&input.thickness, &input.stiff_thickness, &input.width}) {
        for (const TracedSegment& s : *profile) places.push_back(s.from_m);
        places.push_back(profile->back().to_m);
    }
    return distinct(std::move(places), same_place_m);
}

// The corners and masses that element ends stand at: none closer to the next, or to the tip, than the
// shortest element.
std::vector<double> major_places(const StripInput& input, const std::vector<double>& all, double shortest_m) {
    const double tip = all.back();
    std::vector<double> places = all;
    for (const PointMass& mass : input.masses) places.push_back(mass.at_m);
    std::vector<double> kept = distinct(std::move(places), shortest_m);
    while (kept.size() > 1 && tip - kept.back() < shortest_m) kept.pop_back();
    kept.push_back(tip);
    return kept;
}

// Cuts a stretch into elements whose sizes follow the wanted one: evenly in the measure that counts
// how many elements a stretch asks for.
template <class SizeAt>
void subdivide(std::vector<double>& nodes, double from, double to, SizeAt size_at) {
    constexpr std::size_t samples = 32;
    std::array<double, samples + 1> measure{};
    for (std::size_t k = 0; k < samples; ++k)
        measure[k + 1] =
            measure[k] + (to - from) / samples / size_at(from + (to - from) * (static_cast<double>(k) + 0.5) / samples);
    // A tenth of an element too much is not worth another one.
    const auto count = static_cast<std::size_t>(std::max(1.0, std::ceil(measure[samples] - 0.1)));
    std::size_t k = 0;
    for (std::size_t e = 1; e < count; ++e) {
        const double wanted = measure[samples] * static_cast<double>(e) / static_cast<double>(count);
        while (measure[k + 1] < wanted) ++k;
        nodes.push_back(from + (to - from) *
                                   (static_cast<double>(k) + (wanted - measure[k]) / (measure[k + 1] - measure[k])) /
                                   samples);
    }
    nodes.push_back(to);
}

}  // namespace

Strip meshed(StripInput input, const MeshRule& rule) {
    Strip strip;
    const std::vector<double> all = corners(input);
    const double length = all.back();
    strip.greatest_width_m = 0.0;
    for (const TracedSegment& s : input.width)
        strip.greatest_width_m = std::max({strip.greatest_width_m, s.start.value, s.end.value});

    const bool graded = input.edge_softening || input.poisson > 0.0;
    const double shortest = rule.shortest_share_of_length * length;
    const std::vector<double> sharp = graded ? distinct(sharp_places(input), shortest) : std::vector<double>{};
    const auto size_at = [&](double x) {
        const auto segment = std::partition_point(input.stiff_thickness.begin(), input.stiff_thickness.end() - 1,
                                                  [x](const TracedSegment& s) { return s.to_m <= x; });
        const double slope = std::abs(segment->end.value - segment->start.value) / (segment->to_m - segment->from_m);
        double size = std::min(rule.coarsest_share_of_length * length,
                               rule.greatest_taper * segment->at(x).value / std::max(slope, 1e-12));
        for (const double place : sharp)
            size =
                std::min(size, rule.finest_share * strip.greatest_width_m + (rule.growth - 1.0) * std::abs(x - place));
        return std::max(size, shortest);
    };
    const std::vector<double> major = major_places(input, all, shortest);
    std::vector<double> nodes{0.0};
    for (std::size_t i = 1; i < major.size(); ++i) subdivide(nodes, major[i - 1], major[i], size_at);
    for (std::size_t i = 1; i < nodes.size(); ++i) strip.elements.push_back({nodes[i - 1], nodes[i] - nodes[i - 1]});

    std::vector<double> ends = all;
    ends.insert(ends.end(), nodes.begin(), nodes.end());
    ends = distinct(std::move(ends), same_place_m);
    ends.back() = length;
    std::size_t in_thickness = 0, in_stiff = 0, in_width = 0, element = 0;
    strip.pieces.reserve(ends.size());
    for (std::size_t i = 1; i < ends.size(); ++i) {
        const double from = ends[i - 1];
        const double to = ends[i];
        const double middle = 0.5 * (from + to);
        while (element + 1 < strip.elements.size() && strip.elements[element + 1].x0_m < middle) ++element;
        const StripElement& e = strip.elements[element];
        const TracedSegment& h = segment_over(input.thickness, middle, in_thickness);
        const TracedSegment& s = segment_over(input.stiff_thickness, middle, in_stiff);
        const TracedSegment& b = segment_over(input.width, middle, in_width);
        strip.pieces.push_back({element, from, to - from, (from - e.x0_m) / e.length_m, (to - from) / e.length_m,
                                h.at(from), h.at(to), s.at(from), s.at(to), b.at(from), b.at(to)});
    }
    strip.input = std::move(input);
    return strip;
}

std::pair<std::size_t, double> Strip::element_at(double x_m) const {
    const auto after = std::upper_bound(elements.begin(), elements.end(), x_m,
                                        [](double x, const StripElement& element) { return x < element.x0_m; });
    const std::size_t index = after == elements.begin() ? 0 : static_cast<std::size_t>(after - elements.begin()) - 1;
    return {index, std::clamp((x_m - elements[index].x0_m) / elements[index].length_m, 0.0, 1.0)};
}

}  // namespace reedwright::kernel
