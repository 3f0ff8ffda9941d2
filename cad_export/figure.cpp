#include "cad_export/figure.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace reedwright::drawing {

bool overlap(const Rectangle& a, const Rectangle& b) {
    // A nanometre of paper is rounding.
    constexpr double touch_mm = 1e-6;
    return a.left_mm < b.right_mm - touch_mm && b.left_mm < a.right_mm - touch_mm &&
           a.top_mm < b.bottom_mm - touch_mm && b.top_mm < a.bottom_mm - touch_mm;
}

void Figure::grow(const Rectangle& box) {
    if (!bounds_) bounds_ = box;
    bounds_ = Rectangle{std::min(bounds_->left_mm, box.left_mm), std::min(bounds_->top_mm, box.top_mm),
                        std::max(bounds_->right_mm, box.right_mm), std::max(bounds_->bottom_mm, box.bottom_mm)};
}

const Rectangle& Figure::bounds() const {
    if (!bounds_) throw std::logic_error("an empty figure has no bounds");
    return *bounds_;
}

void Figure::shape(Shape shape) {
    for (const Piece& piece : shape.pieces) {
        grow(piece.from);
        grow(piece.to);
        // The whole circle of an arc: too large by less than the rounding of a corner.
        if (std::abs(piece.sweep) > std::numbers::pi) {
            const double r_mm = piece.radius_mm;
            grow({piece.centre.x_mm - r_mm, piece.centre.y_mm - r_mm, piece.centre.x_mm + r_mm,
                  piece.centre.y_mm + r_mm});
        }
    }
    shapes_.push_back(std::move(shape));
}

void Figure::line(Point from, Point to, Pen pen) {
    shape({{{from, to}}, false, pen, Fill::none});
}

void Figure::lines(const std::vector<Point>& points, Pen pen) {
    Shape drawn{{}, false, pen, Fill::none};
    for (std::size_t i = 1; i < points.size(); ++i) drawn.pieces.push_back({points[i - 1], points[i]});
    shape(std::move(drawn));
}

void Figure::polygon(const std::vector<Point>& points, std::optional<Pen> pen, Fill fill) {
    Shape drawn{{}, true, pen, fill};
    for (std::size_t i = 0; i < points.size(); ++i)
        drawn.pieces.push_back({points[i], points[(i + 1) % points.size()]});
    shape(std::move(drawn));
}

void Figure::rectangle(const Rectangle& box, std::optional<Pen> pen, Fill fill) {
    polygon({{box.left_mm, box.top_mm},
             {box.right_mm, box.top_mm},
             {box.right_mm, box.bottom_mm},
             {box.left_mm, box.bottom_mm}},
            pen, fill);
}

void Figure::circle(Point centre, double radius_mm, std::optional<Pen> pen, Fill fill) {
    const Point start{centre.x_mm + radius_mm, centre.y_mm};
    shape({{{start, start, radius_mm, centre, 2.0 * std::numbers::pi}}, true, pen, fill});
}

void Figure::arrow(Point at, double along_x, double along_y) {
    constexpr double long_mm = 2.2;
    constexpr double half_mm = 0.35;
    const double size = std::hypot(along_x, along_y);
    const double x = along_x / size;
    const double y = along_y / size;
    const Point tail{at.x_mm - long_mm * x, at.y_mm - long_mm * y};
    polygon(
        {at, {tail.x_mm - half_mm * y, tail.y_mm + half_mm * x}, {tail.x_mm + half_mm * y, tail.y_mm - half_mm * x}},
        std::nullopt, Fill::black);
}

void Figure::hatch(const Rectangle& box) {
    constexpr double pitch_mm = 1.4;
    // Along lines of equal x + y, from corner to corner.
    const int lines = static_cast<int>((box.width_mm() + box.height_mm()) / pitch_mm);
    for (int i = 1; i <= lines; ++i) {
        const double sum = box.left_mm + box.top_mm + i * pitch_mm;
        const double from_x = std::max(box.left_mm, sum - box.bottom_mm);
        const double to_x = std::min(box.right_mm, sum - box.top_mm);
        if (to_x > from_x) line({from_x, sum - from_x}, {to_x, sum - to_x}, Pen::thin);
    }
}

Rectangle Figure::box_of_text(Point at, const std::string& words, const TextStyle& style) const {
    const double width_mm = ruler_->width_mm(words, style.size_mm, style.bold);
    const double before_mm = style.align == Align::left     ? 0.0
                             : style.align == Align::middle ? 0.5 * width_mm
                                                            : width_mm;
    const double above_mm = capital_share * style.size_mm;
    const double below_mm = descent_share * style.size_mm;
    if (style.upward)
        return {at.x_mm - above_mm, at.y_mm + before_mm - width_mm, at.x_mm + below_mm, at.y_mm + before_mm};
    return {at.x_mm - before_mm, at.y_mm - above_mm, at.x_mm - before_mm + width_mm, at.y_mm + below_mm};
}

Rectangle Figure::text(Point at, const std::string& words, const TextStyle& style) {
    const Rectangle box = box_of_text(at, words, style);
    if (words.empty()) return box;
    const Point start = style.upward ? Point{at.x_mm, box.bottom_mm} : Point{box.left_mm, at.y_mm};
    labels_.push_back({words, start, style, box});
    grow(box);
    return box;
}

void Figure::add(const Figure& other, Point by) {
    if (other.empty()) return;
    const auto moved = [&](Point point) { return Point{point.x_mm + by.x_mm, point.y_mm + by.y_mm}; };
    for (Shape one : other.shapes_) {
        for (Piece& piece : one.pieces) {
            piece.from = moved(piece.from);
            piece.to = moved(piece.to);
            piece.centre = moved(piece.centre);
        }
        shapes_.push_back(std::move(one));
    }
    for (Label label : other.labels_) {
        label.start = moved(label.start);
        label.box = label.box.moved(by);
        labels_.push_back(std::move(label));
    }
    grow(other.bounds().moved(by));
}

}  // namespace reedwright::drawing
