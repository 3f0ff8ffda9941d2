#include "cad_export/cad_interface.hpp"
#include "cad_export/faceted_solid.hpp"
#include "cad_export/kernel_reason.hpp"
#include "cad_export/solid_check.hpp"
#include "cad_export/solids.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright {

namespace {

// Closer than this, places and the two sides of a step are one: the kernel merges points at 1e-7 mm.
constexpr double smallest_step_mm = 2e-7;

// To the picometre, so that sums that should be 7.5 mm are written so.
double tidy_mm(Length length) {
    return std::round(length.value() * 1e12) * 1e-9;
}

// A place along the part where a dimension kinks or steps.
struct Break {
    double x;
    double before;
    double beyond;
    bool steps() const { return before != beyond; }
};

// A dimension of the whole part, pad included.
class PartProfile {
public:
    PartProfile(const Profile& profile, Length pad_length, double factor) {
        std::vector<Station> stations{{0.0 * metre, factor * profile.at_root()}};
        for (const Station& station : profile.stations())
            stations.push_back({pad_length + station.at, factor * station.value});
        const Profile whole = Profile(std::move(stations)).simplified();
        for (const Station& station : whole.stations()) {
            const double x = tidy_mm(station.at - pad_length);
            if (!breaks_.empty() && x - breaks_.back().x <= smallest_step_mm) continue;
            breaks_.push_back({x, tidy_mm(whole.before(station.at)), tidy_mm(whole.beyond(station.at))});
            Break& last = breaks_.back();
            if (std::abs(last.before - last.beyond) < smallest_step_mm) last.before = last.beyond;
        }
        // Nothing lies before the first place nor beyond the last.
        breaks_.front().before = breaks_.front().beyond;
        breaks_.back().beyond = breaks_.back().before;
    }

    const std::vector<Break>& breaks() const { return breaks_; }

    Break at(double x) const {
        const auto next =
            std::find_if(breaks_.begin(), breaks_.end(), [&](const Break& b) { return b.x > x - smallest_step_mm; });
        if (next->x < x + smallest_step_mm) return *next;
        const Break& last = *(next - 1);
        const double value = last.beyond + (x - last.x) / (next->x - last.x) * (next->before - last.beyond);
        return {x, value, value};
    }

    // The line from one place to another: the ends as seen from inside, both sides of steps between.
    std::vector<std::pair<double, double>> line(double from, double to) const {
        std::vector<std::pair<double, double>> points{{from, at(from).beyond}};
        for (const Break& b : breaks_) {
            if (b.x < from + smallest_step_mm || b.x > to - smallest_step_mm) continue;
            points.emplace_back(b.x, b.before);
            if (b.steps()) points.emplace_back(b.x, b.beyond);
        }
        points.emplace_back(to, at(to).before);
        return points;
    }

private:
    std::vector<Break> breaks_;
};

class TongueFaces {
public:
    TongueFaces(const TonguePart& tongue)
        : thickness_(tongue.thickness, tongue.pad_length, 1.0), half_width_(tongue.width, tongue.pad_length, 0.5) {
        const double start = half_width_.breaks().front().x;
        const double end = half_width_.breaks().back().x;
        add_underside(start, end);
        add_tops();
        add_sides();
        add_cross_face(start, thickness_.at(start).beyond, half_width_.at(start).beyond, -1.0);
        add_cross_face(end, thickness_.at(end).before, half_width_.at(end).before, 1.0);
        add_steps();
        for (const Hole& hole : tongue.holes)
            faces_.add_hole(underside_, 0.0, pad_top_, thickness_.at(start).beyond, tidy_mm(hole.centre.x),
                            tidy_mm(hole.centre.y), 0.5 * tidy_mm(hole.diameter));
    }

    TopoDS_Solid build() { return faces_.build(); }

private:
    std::size_t add(std::vector<gp_Pnt> corners, bool reversed = false) {
        if (reversed) std::reverse(corners.begin(), corners.end());
        return faces_.add_face(std::move(corners));
    }

    void add_underside(double start, double end) {
        std::vector<gp_Pnt> corners;
        const auto edge = half_width_.line(start, end);
        for (const auto& [x, y] : edge) corners.emplace_back(x, y, 0.0);
        for (auto point = edge.rbegin(); point != edge.rend(); ++point)
            corners.emplace_back(point->first, -point->second, 0.0);
        underside_ = add(corners);
    }

    void add_tops() {
        const auto& breaks = thickness_.breaks();
        for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
            const auto edge = half_width_.line(breaks[i].x, breaks[i + 1].x);
            const double slope = (breaks[i + 1].before - breaks[i].beyond) / (breaks[i + 1].x - breaks[i].x);
            const auto height = [&](double x) { return breaks[i].beyond + slope * (x - breaks[i].x); };
            std::vector<gp_Pnt> corners;
            for (const auto& [x, y] : edge) corners.emplace_back(x, -y, height(x));
            for (auto point = edge.rbegin(); point != edge.rend(); ++point)
                corners.emplace_back(point->first, point->second, height(point->first));
            const std::size_t face = add(corners);
            if (i == 0) pad_top_ = face;
        }
    }

    void add_sides() {
        const auto& breaks = half_width_.breaks();
        for (std::size_t i = 0; i + 1 < breaks.size(); ++i) {
            const double from = breaks[i].x;
            const double to = breaks[i + 1].x;
            const double slope = (breaks[i + 1].before - breaks[i].beyond) / (to - from);
            const auto edge = thickness_.line(from, to);
            for (const double side : {-1.0, 1.0}) {
                const auto y = [&](double x) { return side * (breaks[i].beyond + slope * (x - from)); };
                std::vector<gp_Pnt> corners{{from, y(from), 0.0}, {to, y(to), 0.0}};
                for (auto point = edge.rbegin(); point != edge.rend(); ++point)
                    corners.emplace_back(point->first, y(point->first), point->second);
                add(corners, side > 0.0);
            }
        }
    }

    // A rectangle across the part, seen from the tip when facing is +1, from the pad when -1.
    void add_rectangle(double x, double low_y, double high_y, double low_z, double high_z, double facing) {
        add({{x, low_y, low_z}, {x, high_y, low_z}, {x, high_y, high_z}, {x, low_y, high_z}}, facing < 0.0);
    }

    void add_cross_face(double x, double height, double half, double facing) {
        add_rectangle(x, -half, half, 0.0, height, facing);
    }

    void add_steps() {
        std::vector<double> places;
        for (const Break& b : thickness_.breaks())
            if (b.steps()) places.push_back(b.x);
        for (const Break& b : half_width_.breaks())
            if (b.steps() && !thickness_.at(b.x).steps()) places.push_back(b.x);
        for (const double x : places) add_step(x, thickness_.at(x), half_width_.at(x));
    }

    // The part of either cross-section that the other does not cover, facing the side without metal.
    void add_step(double x, const Break& height, const Break& half) {
        const double low = std::min(height.before, height.beyond);
        const double high = std::max(height.before, height.beyond);
        const double narrow = std::min(half.before, half.beyond);
        const double wide = std::max(half.before, half.beyond);
        const double height_facing = height.before > height.beyond ? 1.0 : -1.0;
        const double width_facing = half.before > half.beyond ? 1.0 : -1.0;
        if (height.steps() && half.steps() && height_facing == width_facing) {
            add({{x, narrow, 0.0},
                 {x, wide, 0.0},
                 {x, wide, high},
                 {x, -wide, high},
                 {x, -wide, 0.0},
                 {x, -narrow, 0.0},
                 {x, -narrow, low},
                 {x, narrow, low}},
                width_facing < 0.0);
            return;
        }
        // Where the wider side is the thinner one, its shoulders end at its own height.
        if (height.steps()) add_rectangle(x, -narrow, narrow, low, high, height_facing);
        if (half.steps())
            for (const double side : {-1.0, 1.0})
                add_rectangle(x, side < 0.0 ? -wide : narrow, side < 0.0 ? -narrow : wide, 0.0, low, width_facing);
    }

    PartProfile thickness_;
    PartProfile half_width_;
    FacetedSolid faces_;
    std::size_t underside_ = 0;
    std::size_t pad_top_ = 0;
};

}  // namespace

TopoDS_Solid tongue_solid(const TonguePart& tongue) {
    if (std::abs((tongue.thickness.length() - tongue.width.length()).value()) > 1e-12)
        throw std::invalid_argument(tongue.name + ": thickness and width are not of one length");
    if (tongue.thickness.smallest() < 1e-9 * metre || tongue.width.smallest() < 1e-9 * metre ||
        tongue.pad_length < 1e-9 * metre)
        throw std::invalid_argument(tongue.name + ": thickness, width and pad must be positive");
    try {
        TopoDS_Solid solid = TongueFaces(tongue).build();
        check_solid(solid, tongue.name, tongue.volume());
        return solid;
    } catch (const Standard_Failure& failure) {
        throw KernelFailure(tongue.name, kernel_reason(failure));
    }
}

}  // namespace reedwright
