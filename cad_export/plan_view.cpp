#include "cad_export/plan_view.hpp"

#include "cad_export/blank_outline.hpp"
#include "cad_export/dimensions.hpp"
#include "cad_export/drawing_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

namespace reedwright::drawing {

namespace {

const Length zero = 0.0 * metre;
// Smaller than this on paper, edges are drawn finer, so that they do not run together.
constexpr double small_mm = 3.0;
constexpr double cross_mm = 1.0;

struct Scale {
    double factor;

    double operator()(Length length) const { return factor * in(length, millimetre); }
    Point operator()(const PlanePoint& point) const { return {(*this)(point.x), -(*this)(point.y)}; }
};

Rectangle box_on_paper(const Outline& outline, const Scale& scale) {
    const reedwright::Box box = box_of(outline);
    return {scale(box.left), -scale(box.front), scale(box.right), -scale(box.back)};
}

void draw_hole(Figure& figure, const Hole& hole, const Scale& scale) {
    const Point at = scale(hole.centre);
    const double radius_mm = 0.5 * scale(hole.diameter);
    figure.circle(at, radius_mm, 2.0 * radius_mm < small_mm ? Pen::thin : Pen::visible);
    figure.line({at.x_mm - radius_mm - cross_mm, at.y_mm}, {at.x_mm + radius_mm + cross_mm, at.y_mm}, Pen::thin);
    figure.line({at.x_mm, at.y_mm - radius_mm - cross_mm}, {at.x_mm, at.y_mm + radius_mm + cross_mm}, Pen::thin);
}

// One label for all that stand at the same place, led from the one nearest to the side.
std::vector<Ordinate> merged(const std::vector<std::pair<Ordinate, std::string>>& labels, bool greatest_from) {
    std::map<std::string, std::pair<Ordinate, std::vector<std::string>>> by_number;
    std::vector<std::string> order;
    for (const auto& [label, what] : labels) {
        const auto [found, added] = by_number.try_emplace(label.words, label, std::vector<std::string>{});
        if (added) order.push_back(label.words);
        Ordinate& kept = found->second.first;
        kept.from_mm = greatest_from ? std::max(kept.from_mm, label.from_mm) : std::min(kept.from_mm, label.from_mm);
        std::vector<std::string>& whats = found->second.second;
        if (!what.empty() && std::find(whats.begin(), whats.end(), what) == whats.end()) whats.push_back(what);
    }
    std::vector<Ordinate> result;
    for (const std::string& number : order) {
        Ordinate label = by_number.at(number).first;
        std::string whats;
        for (const std::string& what : by_number.at(number).second) whats += (whats.empty() ? "" : ", ") + what;
        if (!whats.empty()) label.words = whats + "  " + label.words;
        result.push_back(std::move(label));
    }
    return result;
}

OrdinateRoom room_around(double low_mm, double high_mm, std::size_t labels, double most_mm, double edge_mm) {
    constexpr double overhang_mm = 2.0;
    const double length_mm =
        std::max(high_mm - low_mm + 2.0 * overhang_mm, std::min(most_mm, ordinate_room_mm(labels) + 0.1));
    const double middle_mm = 0.5 * (low_mm + high_mm);
    return {middle_mm - 0.5 * length_mm, middle_mm + 0.5 * length_mm, edge_mm};
}

class PlanView {
public:
    PlanView(const PlanSubject& subject, double scale, double room_mm, const std::shared_ptr<const TextRuler>& ruler)
        : subject_(subject),
          scale_{scale},
          room_mm_(room_mm),
          figure_(ruler),
          box_(box_on_paper(subject.outline, scale_)) {}

    Figure draw() {
        draw_part();
        draw_middles();
        draw_ordinates();
        const std::string unnumbered = number_holes();
        const double caption_mm = std::max(box_.width_mm(), 45.0);
        // Below a narrow part the caption begins with the labels beside it.
        const double left_mm = box_.width_mm() < 45.0 ? figure_.bounds().left_mm : 0.0;
        double y_mm = figure_.bounds().bottom_mm + 5.0;
        for (const std::string& line : figure_.ruler()->wrapped(subject_.caption + unnumbered, body_mm, caption_mm)) {
            figure_.text({left_mm, y_mm}, line);
            y_mm += 4.2;
        }
        return std::move(figure_);
    }

private:
    void draw_part() {
        for (const TonguePlan& tongue : subject_.tongues) {
            figure_.shape(shape_of(tongue.outline, scale_.factor, tongue.hidden ? Pen::hidden : Pen::thin));
            placer_.keep_clear(box_on_paper(tongue.outline, scale_));
        }
        for (const Outline& opening : subject_.openings) {
            const Rectangle box = box_on_paper(opening, scale_);
            const bool small = std::min(box.width_mm(), box.height_mm()) < small_mm;
            figure_.shape(shape_of(opening, scale_.factor, small ? Pen::small : Pen::visible));
            placer_.keep_clear(box);
        }
        figure_.shape(shape_of(subject_.outline, scale_.factor, Pen::visible));
        for (const NumberedHole& one : subject_.holes) {
            draw_hole(figure_, one.hole, scale_);
        }
        // The datum's mark.
        figure_.circle({0.0, 0.0}, 1.3, Pen::thin);
    }

    void draw_middles() {
        for (const NamedMiddle& middle : subject_.middles) {
            const double x_mm = scale_(middle.x);
            figure_.line({x_mm, -scale_(middle.front)}, {x_mm, 0.0}, Pen::centre);
        }
        std::vector<Ordinate> names;
        for (const NamedMiddle& middle : subject_.middles)
            names.push_back({scale_(middle.x), -scale_(middle.front), middle.name});
        ordinates(figure_, Side::above, names,
                  room_around(box_.left_mm, box_.right_mm, names.size(), room_mm_, box_.top_mm));
    }

    void draw_ordinates() {
        std::vector<std::pair<Ordinate, std::string>> across;
        std::vector<std::pair<Ordinate, std::string>> up;
        const reedwright::Box box = box_of(subject_.outline);
        across.push_back({{0.0, 0.0, mm_text(zero)}, ""});
        up.push_back({{0.0, 0.0, mm_text(zero)}, "datum"});
        across.push_back({{box_.right_mm, 0.0, mm_text(box.right)}, ""});
        up.push_back({{box_.top_mm, 0.0, mm_text(box.front)}, ""});
        for (const NamedMiddle& middle : subject_.middles)
            across.push_back({{scale_(middle.x), 0.0, mm_text(middle.x)}, ""});
        for (const NumberedHole& one : subject_.holes) {
            const Point at = scale_(one.hole.centre);
            const double beside_mm = 0.5 * scale_(one.hole.diameter) + cross_mm + 0.4;
            across.push_back({{at.x_mm, at.y_mm + beside_mm, mm_text(one.hole.centre.x)}, ""});
            up.push_back({{at.y_mm, at.x_mm - beside_mm, mm_text(one.hole.centre.y)}, one.rivet ? "rivets" : ""});
        }
        for (const Level& level : subject_.levels)
            up.push_back({{-scale_(level.y), scale_(level.from_x), mm_text(level.y)}, level.what});
        const std::vector<Ordinate> below = merged(across, true);
        const std::vector<Ordinate> beside = merged(up, false);
        ordinates(figure_, Side::below, below, room_around(box_.left_mm, box_.right_mm, below.size(), room_mm_, 0.0));
        ordinates(figure_, Side::left, beside, room_around(box_.top_mm, box_.bottom_mm, beside.size(), 1e3, 0.0));
    }

    // Rivets are numbered all or none: some would leave the reader searching for the rest. Returns what the caption
    // says of holes without a number.
    std::string number_holes() {
        placer_.keep_clear(figure_);
        const Figure bare = figure_;
        const NumberPlacer before = placer_;
        if (number(true) && number(false)) return {};
        figure_ = bare;
        placer_ = before;
        return number(false) ? "; rivet holes stand in the table by their places"
                             : "; holes without a number stand in the table by their places";
    }

    bool number(bool rivets) {
        bool all = true;
        for (const NumberedHole& one : subject_.holes)
            if (one.rivet == rivets)
                all =
                    placer_.place(figure_, scale_(one.hole.centre), 0.5 * scale_(one.hole.diameter), one.number) && all;
        return all;
    }

    const PlanSubject& subject_;
    Scale scale_;
    double room_mm_;
    Figure figure_;
    Rectangle box_;
    NumberPlacer placer_;
};

std::string faces_text(const Plate& plate) {
    const bool upper = std::any_of(plate.tongues.begin(), plate.tongues.end(),
                                   [](const PlacedTongue& one) { return one.on_upper_face; });
    const bool lower = std::any_of(plate.tongues.begin(), plate.tongues.end(),
                                   [](const PlacedTongue& one) { return !one.on_upper_face; });
    if (!upper && !lower) return "without tongues";
    if (upper && lower) return "tongues on both faces, those of the lower dashed";
    return upper ? "tongues on the upper face" : "tongues on the lower face, dashed";
}

}  // namespace

Shape shape_of(const Outline& outline, double scale, Pen pen) {
    const Scale on_paper{scale};
    Shape shape{{}, true, pen, Fill::none};
    for (const OutlinePiece& piece : outline.pieces())
        // Turning y over turns the sense of an arc.
        shape.pieces.push_back({on_paper(piece.from), on_paper(piece.to), on_paper(piece.radius),
                                on_paper(piece.centre),
                                // On paper, whose y points down, clockwise is positive.
                                -piece.sweep});
    return shape;
}

PlanSubject subject_of(const Plate& plate, const ShopSheet& shop, std::size_t first_hole) {
    PlanSubject subject;
    subject.caption = fmt::format("{}, seen from above: {}{}", plate.blank.name, faces_text(plate),
                                  plate.inner ? ", which lies toward the comb" : "");
    subject.outline = plate.blank.outline;
    std::size_t number = first_hole;
    for (const PlacedTongue& tongue : plate.tongues) {
        const ShopReed& reed = shop.reeds.at(tongue.reed);
        const reedwright::Box slot = box_of(tongue.slot);
        subject.openings.push_back(tongue.slot);
        subject.tongues.push_back({outline_on_plate(tongue), !tongue.on_upper_face});
        subject.middles.push_back({tongue.root.x, slot.front, fmt::format("{} {}", reed.place, reed.note)});
        subject.levels.push_back({tongue.root.y, slot.left, "root line"});
        for (const Hole& rivet : tongue.rivets)
            subject.holes.push_back({rivet, fmt::format("{}", number++), "rivet, " + reed.place, true});
    }
    for (const Hole& fixing : plate.fixings)
        subject.holes.push_back({fixing, fmt::format("{}", number++), shop.fixing, false});
    return subject;
}

PlanSubject subject_of(const Comb& comb, const ShopSheet& shop) {
    PlanSubject subject;
    subject.caption = "comb, seen from above: cells open to the front and through the whole height";
    subject.outline = comb.blank.outline;
    subject.openings = comb.blank.slots;
    for (const CombCell& cell : comb.cells) {
        const Length middle = 0.5 * (cell.left + cell.right);
        subject.middles.push_back({middle, box_of(comb.blank.outline).front, fmt::format("cell {}", cell.cell)});
        subject.levels.push_back({cell.back, cell.left, "cell"});
    }
    std::size_t number = 1;
    for (const Hole& hole : comb.blank.holes)
        subject.holes.push_back({hole, fmt::format("{}", number++), shop.fixing, false});
    return subject;
}

Figure plan_view(const PlanSubject& subject, double scale, double room_mm,
                 const std::shared_ptr<const TextRuler>& ruler) {
    return PlanView(subject, scale, room_mm, ruler).draw();
}

}  // namespace reedwright::drawing
