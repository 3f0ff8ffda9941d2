#include "cad_export/slot_detail.hpp"

#include "cad_export/blank_outline.hpp"
#include "cad_export/dimensions.hpp"
#include "cad_export/drawing_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <cmath>

namespace reedwright::drawing {

namespace {

const Length zero = 0.0 * metre;
const Length same_length = 1e-9 * metre;
// Plate shown around the slot.
const Length shown = 2.0 * millimetre;

bool same(Length a, Length b) {
    return std::abs((a - b).value()) < same_length.value();
}

class SlotDetail {
public:
    SlotDetail(const PlacedTongue& tongue, Length plate_thickness, const ShopReed& reed, double scale,
               const std::shared_ptr<const TextRuler>& ruler)
        : tongue_(tongue),
          thickness_(plate_thickness),
          reed_(reed),
          scale_(scale),
          figure_(ruler),
          slot_(box_of(tongue.slot)),
          slot_end_(slot_.front - tongue.root.y),
          pad_(tongue.part.pad_length) {}

    Figure draw() {
        draw_plan();
        dimension_plan();
        draw_section();
        const Length clearance = slot_end_ - tongue_.part.width.length();
        const double y_mm = figure_.bounds().bottom_mm + 5.0;
        figure_.text({paper(-pad_ - shown), y_mm}, fmt::format("slot of {} {} and section along its middle, {}",
                                                               reed_.place, reed_.note, scale_text(scale_)));
        figure_.text({paper(-pad_ - shown), y_mm + 4.2},
                     fmt::format("clearance {} all round the tongue", mm_text(clearance)));
        return std::move(figure_);
    }

private:
    double paper(Length length) const { return scale_ * in(length, millimetre); }

    // The plan turned by a quarter: the tip to the right, the plate's x downward.
    Point turned(const PlanePoint& point) const {
        return {paper(point.y - tongue_.root.y), paper(point.x - tongue_.root.x)};
    }

    Shape turned(const Outline& outline, Pen pen) const {
        Shape shape{{}, true, pen, Fill::none};
        for (const OutlinePiece& piece : outline.pieces())
            shape.pieces.push_back(
                {turned(piece.from), turned(piece.to), paper(piece.radius), turned(piece.centre), -piece.sweep});
        return shape;
    }

    void draw_plan() {
        figure_.shape(turned(outline_on_plate(tongue_), tongue_.on_upper_face ? Pen::thin : Pen::hidden));
        figure_.shape(turned(tongue_.slot, Pen::visible));
        for (const Hole& rivet : tongue_.rivets) {
            const Point at = turned(rivet.centre);
            const double radius_mm = 0.5 * paper(rivet.diameter);
            figure_.circle(at, radius_mm, Pen::visible);
            figure_.line({at.x_mm, at.y_mm - radius_mm - 1.0}, {at.x_mm, at.y_mm + radius_mm + 1.0}, Pen::thin);
        }
        figure_.line({paper(-pad_) - 2.0, 0.0}, {paper(slot_end_) + 2.0, 0.0}, Pen::centre);
    }

    void dimension_plan() {
        const SlotWidths widths = widths_of(tongue_);
        const double half_mm = 0.5 * paper(widths.largest);
        const double root_half_mm = 0.5 * paper(widths.root);
        const double tip_half_mm = 0.5 * paper(widths.tip);
        const double end_mm = paper(slot_end_);
        dimension_along(figure_, {0.0, -root_half_mm}, {end_mm, -tip_half_mm}, -half_mm - 7.0,
                        "slot " + mm_text(slot_end_));
        dimension_across(figure_, {end_mm, -tip_half_mm}, {end_mm, tip_half_mm}, end_mm + 7.0, mm_text(widths.tip));
        if (!same(widths.root, widths.tip))
            dimension_across(figure_, {0.0, -root_half_mm}, {0.0, root_half_mm}, paper(-pad_) - 7.0,
                             mm_text(widths.root));
        if (!tongue_.rivets.empty()) {
            const Hole& nearest =
                *std::max_element(tongue_.rivets.begin(), tongue_.rivets.end(),
                                  [](const Hole& a, const Hole& b) { return a.centre.y < b.centre.y; });
            const Point at = turned(nearest.centre);
            dimension_along(figure_, {at.x_mm, 0.5 * paper(nearest.diameter)}, {0.0, root_half_mm}, half_mm + 6.5,
                            mm_text(tongue_.root.y - nearest.centre.y));
        }
        dimension_along(figure_, {paper(-pad_), root_half_mm}, {0.0, root_half_mm}, half_mm + 13.0,
                        "pad " + mm_text(pad_));
        const Length radius = tongue_.slot.corner_radius;
        const std::string corners =
            radius > zero ? fmt::format("corners R{}", mm_text(radius)) : std::string("corners sharp");
        const double in_arc_mm = 0.293 * paper(radius);
        led_note(figure_, {end_mm - in_arc_mm, tip_half_mm - in_arc_mm}, {end_mm + 2.0, half_mm + 10.0}, corners);
    }

    // From the plate's upper face, y downward.
    void draw_section() {
        const double top_mm = figure_.bounds().bottom_mm + 7.0;
        const double bottom_mm = top_mm + paper(thickness_);
        const double left_mm = paper(-pad_ - shown);
        const double right_mm = paper(slot_end_ + shown);
        std::vector<std::pair<double, double>> metal{{left_mm, 0.0}, {paper(slot_end_), right_mm}};
        for (const Hole& rivet : tongue_.rivets) {
            const double at_mm = turned(rivet.centre).x_mm;
            const double radius_mm = 0.5 * paper(rivet.diameter);
            const auto cut = std::find_if(metal.begin(), metal.end(), [&](const auto& piece) {
                return piece.first < at_mm && at_mm < piece.second;
            });
            if (cut == metal.end()) continue;
            const double end_mm = cut->second;
            cut->second = at_mm - radius_mm;
            metal.insert(cut + 1, {at_mm + radius_mm, end_mm});
        }
        for (const auto& [from_mm, to_mm] : metal) {
            figure_.rectangle({from_mm, top_mm, to_mm, bottom_mm}, Pen::visible);
            figure_.hatch({from_mm, top_mm, to_mm, bottom_mm});
        }
        for (const double y_mm : {top_mm, bottom_mm}) figure_.line({left_mm, y_mm}, {right_mm, y_mm}, Pen::small);
        // The tongue at the same scale, flat side to the plate, drawn straight as before its gap is set.
        const double face_mm = tongue_.on_upper_face ? top_mm : bottom_mm;
        const double away = tongue_.on_upper_face ? -1.0 : 1.0;
        std::vector<Point> profile{{paper(-pad_), face_mm},
                                   {paper(-pad_), face_mm + away * paper(tongue_.part.thickness.at_root())}};
        for (const Station& station : tongue_.part.thickness.stations())
            profile.push_back({paper(station.at), face_mm + away * paper(station.value)});
        profile.push_back({paper(tongue_.part.thickness.length()), face_mm});
        figure_.polygon(profile, std::nullopt, Fill::black);
        dimension_across(figure_, {right_mm, top_mm}, {right_mm, bottom_mm}, right_mm + 6.0, mm_text(thickness_));
    }

    const PlacedTongue& tongue_;
    Length thickness_;
    const ShopReed& reed_;
    double scale_;
    Figure figure_;
    reedwright::Box slot_;
    Length slot_end_;
    Length pad_;
};

}  // namespace

SlotWidths widths_of(const PlacedTongue& tongue) {
    const reedwright::Box box = box_of(tongue.slot);
    const auto width_at = [&](Length y) {
        Length low = box.right;
        Length high = box.left;
        for (const PlanePoint& corner : tongue.slot.corners) {
            if (!same(corner.y, y)) continue;
            low = std::min(low, corner.x);
            high = std::max(high, corner.x);
        }
        return high - low;
    };
    return {width_at(box.back), width_at(box.front), box.right - box.left};
}

Figure slot_detail(const PlacedTongue& tongue, Length plate_thickness, const ShopReed& reed, double widest_mm,
                   double highest_mm, const std::shared_ptr<const TextRuler>& ruler) {
    constexpr std::array<double, 4> scales{10.0, 5.0, 2.0, 1.0};
    Figure figure(ruler);
    for (const double scale : scales) {
        figure = SlotDetail(tongue, plate_thickness, reed, scale, ruler).draw();
        if (figure.bounds().width_mm() <= widest_mm && figure.bounds().height_mm() <= highest_mm) break;
    }
    return figure;
}

}  // namespace reedwright::drawing
