#include "cad_export/dimensions.hpp"

#include "cad_export/label_tiers.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace reedwright::drawing {

namespace {

constexpr double beyond_mm = 1.0;       // extension lines pass the dimension line
constexpr double arrows_mm = 5.5;       // two arrowheads and some line
constexpr double outside_mm = 4.0;      // line outside of arrows that point inward
constexpr double label_pitch_mm = 3.3;  // a label's height and a gap
constexpr double leader_gap_mm = 1.0;   // for a leader between labels
constexpr double stub_mm = 1.2;
constexpr double bend_mm = 3.5;
constexpr double air_mm = 0.7;

double middle_of_capitals_mm(double size_mm) {
    return 0.5 * capital_share * size_mm;
}

// Places along and outward from a side of the view, on paper.
struct SideFrame {
    Side side;
    double edge_mm;

    Point at(double along_mm, double out_mm) const {
        switch (side) {
            case Side::below:
                return {along_mm, edge_mm + out_mm};
            case Side::above:
                return {along_mm, edge_mm - out_mm};
            case Side::left:
                return {edge_mm - out_mm, along_mm};
            case Side::right:
                break;
        }
        return {edge_mm + out_mm, along_mm};
    }
    Point inside(double along_mm, double from_mm) const {
        return side == Side::below || side == Side::above ? Point{along_mm, from_mm} : Point{from_mm, along_mm};
    }
};

// Whether a straight piece enters a rectangle, the share of it inside being cut down edge by edge; an arc counts as the
// square around its circle.
bool crosses(const Rectangle& box, const Piece& piece) {
    if (piece.sweep != 0.0)
        return overlap(box, Rectangle{piece.centre.x_mm, piece.centre.y_mm, piece.centre.x_mm, piece.centre.y_mm}.grown(
                                piece.radius_mm));
    double enters = 0.0;
    double leaves = 1.0;
    const auto cut = [&](double from, double to, double low, double high) {
        const double along = to - from;
        if (std::abs(along) < 1e-9) {
            if (from <= low || from >= high) leaves = -1.0;
            return;
        }
        const double first = (low - from) / along;
        const double last = (high - from) / along;
        enters = std::max(enters, std::min(first, last));
        leaves = std::min(leaves, std::max(first, last));
    };
    cut(piece.from.x_mm, piece.to.x_mm, box.left_mm, box.right_mm);
    cut(piece.from.y_mm, piece.to.y_mm, box.top_mm, box.bottom_mm);
    return enters < leaves;
}

void set_label(Figure& figure, const SideFrame& frame, double along_mm, double out_mm, const std::string& words) {
    const double down_mm = middle_of_capitals_mm(body_mm);
    const Point at = frame.at(along_mm, out_mm);
    const bool upward = frame.side == Side::below || frame.side == Side::above;
    const Align align = frame.side == Side::below || frame.side == Side::left ? Align::right : Align::left;
    if (upward)
        figure.text({at.x_mm + down_mm, at.y_mm}, words, {body_mm, align, true, false});
    else
        figure.text({at.x_mm, at.y_mm + down_mm}, words, {body_mm, align, false, false});
}

}  // namespace

void dimension_along(Figure& figure, Point from, Point to, double line_y_mm, const std::string& words) {
    for (const Point& end : {from, to}) {
        const double side = line_y_mm > end.y_mm ? 1.0 : -1.0;
        figure.line({end.x_mm, end.y_mm + 0.5 * side}, {end.x_mm, line_y_mm + side * beyond_mm}, Pen::thin);
    }
    const double left_mm = std::min(from.x_mm, to.x_mm);
    const double right_mm = std::max(from.x_mm, to.x_mm);
    const double words_mm = figure.ruler()->width_mm(words, body_mm);
    const double above_mm = line_y_mm - 0.8;
    const bool arrows_inside = right_mm - left_mm > arrows_mm;
    const bool words_inside = right_mm - left_mm > words_mm + 1.0;
    if (arrows_inside) {
        figure.line({left_mm, line_y_mm}, {right_mm, line_y_mm}, Pen::thin);
        figure.arrow({left_mm, line_y_mm}, -1.0, 0.0);
        figure.arrow({right_mm, line_y_mm}, 1.0, 0.0);
    } else {
        figure.line({left_mm - outside_mm, line_y_mm}, {right_mm + outside_mm, line_y_mm}, Pen::thin);
        figure.arrow({left_mm, line_y_mm}, 1.0, 0.0);
        figure.arrow({right_mm, line_y_mm}, -1.0, 0.0);
    }
    if (words_inside) {
        figure.text({0.5 * (left_mm + right_mm), above_mm}, words, {body_mm, Align::middle, false, false});
        return;
    }
    const double begin_mm = right_mm + (arrows_inside ? 0.0 : outside_mm);
    figure.line({begin_mm, line_y_mm}, {begin_mm + words_mm + 1.0, line_y_mm}, Pen::thin);
    figure.text({begin_mm + 0.5, above_mm}, words);
}

void dimension_across(Figure& figure, Point from, Point to, double line_x_mm, const std::string& words) {
    for (const Point& end : {from, to}) {
        const double side = line_x_mm > end.x_mm ? 1.0 : -1.0;
        figure.line({end.x_mm + 0.5 * side, end.y_mm}, {line_x_mm + side * beyond_mm, end.y_mm}, Pen::thin);
    }
    const double top_mm = std::min(from.y_mm, to.y_mm);
    const double bottom_mm = std::max(from.y_mm, to.y_mm);
    const bool inside = bottom_mm - top_mm > arrows_mm;
    const double out_mm = inside ? 0.0 : outside_mm;
    figure.line({line_x_mm, top_mm - out_mm}, {line_x_mm, bottom_mm + out_mm}, Pen::thin);
    figure.arrow({line_x_mm, top_mm}, 0.0, inside ? -1.0 : 1.0);
    figure.arrow({line_x_mm, bottom_mm}, 0.0, inside ? 1.0 : -1.0);
    const double words_mm = figure.ruler()->width_mm(words, body_mm);
    if (bottom_mm - top_mm > words_mm + 1.0) {
        figure.text({line_x_mm - 0.8, 0.5 * (top_mm + bottom_mm)}, words, {body_mm, Align::middle, true, false});
        return;
    }
    // Too low for the number: beside the line, away from what it measures, where it reads upright.
    const bool left = line_x_mm < from.x_mm;
    figure.text({line_x_mm + (left ? -1.6 : 1.6), 0.5 * (top_mm + bottom_mm) + middle_of_capitals_mm(body_mm)}, words,
                {body_mm, left ? Align::right : Align::left, false, false});
}

void led_note(Figure& figure, Point at, Point elbow, const std::string& words) {
    const double words_mm = figure.ruler()->width_mm(words, body_mm);
    const double side = elbow.x_mm >= at.x_mm ? 1.0 : -1.0;
    const Point end{elbow.x_mm + side * (words_mm + 1.0), elbow.y_mm};
    figure.lines({at, elbow, end}, Pen::thin);
    figure.arrow(at, at.x_mm - elbow.x_mm, at.y_mm - elbow.y_mm);
    figure.text({elbow.x_mm + side * 0.5, elbow.y_mm - 0.8}, words,
                {body_mm, side > 0.0 ? Align::left : Align::right, false, false});
}

double ordinate_room_mm(std::size_t labels) {
    return label_pitch_mm * static_cast<double>(labels);
}

void ordinates(Figure& figure, Side side, std::vector<Ordinate> labels, const OrdinateRoom& room) {
    if (labels.empty()) return;
    std::stable_sort(labels.begin(), labels.end(),
                     [](const Ordinate& a, const Ordinate& b) { return a.along_mm < b.along_mm; });
    std::vector<double> wanted_mm;
    for (const Ordinate& label : labels) wanted_mm.push_back(label.along_mm);
    const std::vector<TieredLabel> places =
        in_tiers(wanted_mm, label_pitch_mm, leader_gap_mm, room.low_mm, room.high_mm);
    std::size_t tiers = 0;
    for (const TieredLabel& place : places) tiers = std::max(tiers, place.stops_mm.size());
    // The longest label of each tier, and whether a leader to it bends.
    std::vector<double> long_mm(tiers, 0.0);
    std::vector<double> bends_mm(tiers, 0.0);
    for (std::size_t i = 0; i < labels.size(); ++i) {
        const std::size_t tier = places[i].tier();
        long_mm[tier] = std::max(long_mm[tier], figure.ruler()->width_mm(labels[i].words, body_mm));
        double before_mm = labels[i].along_mm;
        for (std::size_t k = 0; k < places[i].stops_mm.size(); ++k) {
            if (std::abs(places[i].stops_mm[k] - before_mm) > 0.05) bends_mm[k] = bend_mm;
            before_mm = places[i].stops_mm[k];
        }
    }
    const SideFrame frame{side, room.edge_mm};
    for (std::size_t i = 0; i < labels.size(); ++i) {
        double out_mm = stub_mm;
        double along_mm = labels[i].along_mm;
        std::vector<Point> way{frame.inside(along_mm, labels[i].from_mm), frame.at(along_mm, out_mm)};
        for (std::size_t k = 0; k < places[i].stops_mm.size(); ++k) {
            along_mm = places[i].stops_mm[k];
            out_mm += bends_mm[k];
            way.push_back(frame.at(along_mm, out_mm));
            if (k == places[i].tier()) break;
            out_mm += long_mm[k] + 2.0 * air_mm;
            way.push_back(frame.at(along_mm, out_mm));
        }
        figure.lines(way, Pen::thin);
        set_label(figure, frame, along_mm, out_mm + air_mm, labels[i].words);
    }
}

void NumberPlacer::keep_clear(const Figure& figure) {
    for (const Label& label : figure.labels()) keep_clear(label.box);
    for (const Shape& shape : figure.shapes()) lines_.insert(lines_.end(), shape.pieces.begin(), shape.pieces.end());
}

bool NumberPlacer::is_free(const Rectangle& box) const {
    constexpr double half_line_mm = 0.25;
    const Rectangle wider = box.grown(half_line_mm);
    if (std::any_of(lines_.begin(), lines_.end(), [&](const Piece& line) { return crosses(wider, line); }))
        return false;
    return std::none_of(taken_.begin(), taken_.end(), [&](const Rectangle& one) { return overlap(one, box); });
}

bool NumberPlacer::place(Figure& figure, Point at, double radius_mm, const std::string& words) {
    const double half_mm = 0.5 * figure.ruler()->width_mm(words, body_mm);
    const double down_mm = middle_of_capitals_mm(body_mm);
    // Right, left, below, above, then between; then all of them farther away.
    constexpr std::array<double, 16> turns{0.0,   1.0,   0.5,    -0.5,   0.25,  0.75,  -0.25,  -0.75,
                                           0.125, 0.875, -0.125, -0.875, 0.375, 0.625, -0.375, -0.625};
    constexpr double step_mm = 0.4;
    constexpr int steps = 16;
    for (int step = 0; step < steps; ++step) {
        const double aside_mm = 0.5 + step * step_mm;
        for (const double turn : turns) {
            const double x = std::cos(turn * std::numbers::pi);
            const double y = std::sin(turn * std::numbers::pi);
            const Point middle{at.x_mm + x * (radius_mm + aside_mm + half_mm),
                               at.y_mm + y * (radius_mm + aside_mm + down_mm)};
            const Point base{middle.x_mm, middle.y_mm + down_mm};
            const TextStyle style{body_mm, Align::middle, false, false};
            const Rectangle box = figure.box_of_text(base, words, style).grown(0.2);
            if (!is_free(box)) continue;
            constexpr double far_mm = 1.7;
            if (aside_mm > far_mm)
                figure.line({at.x_mm + radius_mm * x, at.y_mm + radius_mm * y},
                            {middle.x_mm - x * (half_mm + 0.4), middle.y_mm - y * (down_mm + 0.4)}, Pen::thin);
            figure.text(base, words, style);
            taken_.push_back(box);
            return true;
        }
    }
    return false;
}

}  // namespace reedwright::drawing
