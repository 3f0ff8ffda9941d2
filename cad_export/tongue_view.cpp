#include "cad_export/tongue_view.hpp"

#include "cad_export/blank_outline.hpp"
#include "cad_export/dimensions.hpp"
#include "cad_export/drawing_text.hpp"
#include "cad_export/plan_view.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>

namespace reedwright::drawing {

namespace {

constexpr double highest_side_mm = 22.0;
// Two kinds of tongue stand on a sheet.
constexpr double largest_scale = 5.0;

double usual_scale(double most) {
    constexpr std::array<double, 9> usual{200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5};
    const auto found = std::find_if(usual.begin(), usual.end(), [&](double scale) { return scale <= most; });
    return found == usual.end() ? usual.back() : *found;
}

class TongueView {
public:
    TongueView(const TonguePart& part, const ShopReed& reed, double widest_mm,
               const std::shared_ptr<const TextRuler>& ruler)
        : part_(part), reed_(reed), figure_(ruler) {
        // Numbers stand beside the ends.
        constexpr double beside_mm = 40.0;
        along_ = std::min(largest_scale, usual_scale((widest_mm - beside_mm) /
                                                     in(part.pad_length + part.thickness.length(), millimetre)));
        thick_ = usual_scale(highest_side_mm / in(part.thickness.largest(), millimetre));
    }

    Figure draw() {
        draw_side();
        draw_plan();
        const std::string rivets = part_.holes.empty()
                                       ? std::string()
                                       : fmt::format(", {} {}", part_.holes.size() == 1 ? "rivet hole" : "rivet holes",
                                                     mm_text(part_.holes.front().diameter));
        const std::string caption =
            fmt::format("tongue {} {}: {}, underside flat{}; lengths {}, thickness {}", reed_.place, reed_.note,
                        profile_family(part_.thickness), rivets, scale_text(along_), scale_text(thick_));
        double y_mm = figure_.bounds().bottom_mm + 5.5;
        for (const std::string& line : figure_.ruler()->wrapped(caption, body_mm, figure_.bounds().width_mm())) {
            figure_.text({figure_.bounds().left_mm, y_mm}, line);
            y_mm += 4.2;
        }
        return std::move(figure_);
    }

private:
    double along(Length length) const { return along_ * in(length, millimetre); }
    double thick(Length length) const { return thick_ * in(length, millimetre); }

    // The flat underside lies at y = 0.
    void draw_side() {
        const auto& stations = part_.thickness.stations();
        const double back_mm = along(-part_.pad_length);
        const double end_mm = along(part_.thickness.length());
        std::vector<Point> profile{{back_mm, 0.0}, {back_mm, -thick(part_.thickness.at_root())}};
        for (const Station& station : stations) profile.push_back({along(station.at), -thick(station.value)});
        profile.push_back({end_mm, 0.0});
        figure_.polygon(profile, Pen::visible, Fill::none);
        std::vector<Ordinate> below;
        std::vector<Ordinate> above;
        for (const Station& station : stations) {
            const std::string at = mm_text(station.at);
            // A sharp step has one place and two thicknesses.
            if (below.empty() || below.back().words != at) below.push_back({along(station.at), 0.0, at});
            above.push_back({along(station.at), -thick(station.value), micrometre_text(station.value)});
        }
        below.front().words = "root " + below.front().words;
        below.back().words = "tip " + below.back().words;
        const double top_mm = -thick(part_.thickness.largest());
        constexpr double overhang_mm = 12.0;
        const double room_mm = std::max(end_mm - back_mm + 2.0 * overhang_mm, ordinate_room_mm(above.size()) + 0.1);
        const double low_mm = 0.5 * (back_mm + end_mm - room_mm);
        ordinates(figure_, Side::below, below, {low_mm, low_mm + room_mm, 0.0});
        ordinates(figure_, Side::above, above, {low_mm, low_mm + room_mm, top_mm});
    }

    void draw_plan() {
        const double half_mm = 0.5 * along(part_.width.largest());
        const double middle_mm = figure_.bounds().bottom_mm + 6.0 + half_mm;
        Figure plan(figure_.ruler());
        plan.shape(shape_of(tongue_outline(part_), along_, Pen::visible));
        plan.line({0.0, -0.5 * along(part_.width.at_root())}, {0.0, 0.5 * along(part_.width.at_root())}, Pen::centre);
        const double back_mm = along(-part_.pad_length);
        const double end_mm = along(part_.width.length());
        plan.line({back_mm - 2.0, 0.0}, {end_mm + 2.0, 0.0}, Pen::centre);
        for (const Hole& hole : part_.holes) {
            const Point at{along(hole.centre.x), -along(hole.centre.y)};
            const double radius_mm = 0.5 * along(hole.diameter);
            plan.circle(at, radius_mm, Pen::visible);
            plan.line({at.x_mm, at.y_mm - radius_mm - 1.0}, {at.x_mm, at.y_mm + radius_mm + 1.0}, Pen::thin);
        }
        const double root_mm = 0.5 * along(part_.width.at_root());
        const double tip_mm = 0.5 * along(part_.width.at_tip());
        dimension_across(plan, {end_mm, -tip_mm}, {end_mm, tip_mm}, end_mm + 7.0, mm_text(part_.width.at_tip()));
        dimension_across(plan, {back_mm, -root_mm}, {back_mm, root_mm}, back_mm - 14.0, mm_text(part_.width.at_root()));
        double line_mm = half_mm + 6.0;
        for (const Hole& hole : part_.holes) {
            dimension_along(plan, {along(hole.centre.x), 0.5 * along(hole.diameter)}, {0.0, root_mm}, line_mm,
                            fmt::format("{}", mm_text(-hole.centre.x)));
            line_mm += 6.0;
        }
        dimension_along(plan, {back_mm, root_mm}, {0.0, root_mm}, line_mm, "pad " + mm_text(part_.pad_length));
        figure_.add(plan, {0.0, middle_mm});
    }

    const TonguePart& part_;
    const ShopReed& reed_;
    double along_;
    double thick_;
    Figure figure_;
};

}  // namespace

std::string profile_family(const Profile& thickness) {
    const Length least = 1.0 * micrometre;
    if (thickness.largest() - thickness.smallest() < least) return "even";
    const bool thin_root = thickness.at_root() < thickness.smallest() + least;
    if (thickness.at_tip() > thickness.smallest() + least) return thin_root ? "thickened toward the tip" : "heavy tip";
    return thickness.at_root() < thickness.largest() - least ? "thick middle" : "thinned toward the tip";
}

Figure tongue_view(const TonguePart& part, const ShopReed& reed, double widest_mm,
                   const std::shared_ptr<const TextRuler>& ruler) {
    return TongueView(part, reed, widest_mm, ruler).draw();
}

}  // namespace reedwright::drawing
