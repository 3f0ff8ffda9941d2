// What stands on a sheet before it becomes PDF or SVG: lines, arcs and text in millimetres of paper.
#pragma once

#include "cad_export/text_ruler.hpp"

#include <memory>
#include <optional>
#include <string>
#include <vector>

namespace reedwright::drawing {

/// A place on paper, x to the right, y downward.
struct Point {
    double x_mm;
    double y_mm;
};

struct Rectangle {
    double left_mm;
    double top_mm;
    double right_mm;
    double bottom_mm;

    double width_mm() const { return right_mm - left_mm; }
    double height_mm() const { return bottom_mm - top_mm; }
    Rectangle grown(double by_mm) const {
        return {left_mm - by_mm, top_mm - by_mm, right_mm + by_mm, bottom_mm + by_mm};
    }
    Rectangle moved(Point by) const {
        return {left_mm + by.x_mm, top_mm + by.y_mm, right_mm + by.x_mm, bottom_mm + by.y_mm};
    }
};

/// Whether two rectangles share more than an edge.
bool overlap(const Rectangle& a, const Rectangle& b);

/// Visible edges 0.5 mm wide, small ones 0.35 mm, the rest 0.25 mm; the widths of technical drawings (ISO 128).
enum class Pen { visible, small, thin, centre, hidden };
enum class Fill { none, black, white };

/// A straight piece, or an arc where the radius is not 0; sweep in radians, positive clockwise on paper.
struct Piece {
    Point from;
    Point to;
    double radius_mm = 0.0;
    Point centre{0.0, 0.0};
    double sweep = 0.0;
};

struct Shape {
    std::vector<Piece> pieces;
    bool closed = false;
    /// None: filled only.
    std::optional<Pen> pen;
    Fill fill = Fill::none;
};

enum class Align { left, middle, right };

/// The letters' body in millimetres; capitals are 0.73 of it high.
inline constexpr double body_mm = 3.05;
inline constexpr double capital_share = 0.729;
inline constexpr double descent_share = 0.236;

struct TextStyle {
    double size_mm = body_mm;
    Align align = Align::left;
    /// Read from the right side of the sheet.
    bool upward = false;
    bool bold = false;
};

struct Label {
    std::string text;
    /// Where its baseline begins.
    Point start;
    TextStyle style;
    /// Around capitals and descenders.
    Rectangle box;
};

class Figure {
public:
    explicit Figure(std::shared_ptr<const TextRuler> ruler) : ruler_(std::move(ruler)) {}

    void line(Point from, Point to, Pen pen);
    void lines(const std::vector<Point>& points, Pen pen);
    void polygon(const std::vector<Point>& points, std::optional<Pen> pen, Fill fill);
    void rectangle(const Rectangle& box, std::optional<Pen> pen, Fill fill = Fill::none);
    void circle(Point centre, double radius_mm, std::optional<Pen> pen, Fill fill = Fill::none);
    void shape(Shape shape);
    /// A filled arrowhead whose point is at a place, pointing along a direction.
    void arrow(Point at, double along_x, double along_y);
    /// Lines at 45 degrees within a rectangle.
    void hatch(const Rectangle& box);

    /// Text whose baseline starts, is centred or ends at a place. Returns the box around it.
    Rectangle text(Point at, const std::string& words, const TextStyle& style = {});
    /// Where the box of such a text would be.
    Rectangle box_of_text(Point at, const std::string& words, const TextStyle& style = {}) const;

    /// Everything of another figure, moved.
    void add(const Figure& other, Point by);

    bool empty() const { return !bounds_.has_value(); }
    /// Around all that is drawn, lines counted without their width. Throws std::logic_error when empty.
    const Rectangle& bounds() const;
    const std::vector<Shape>& shapes() const { return shapes_; }
    const std::vector<Label>& labels() const { return labels_; }
    const std::shared_ptr<const TextRuler>& ruler() const { return ruler_; }

private:
    void grow(const Rectangle& box);
    void grow(Point at) { grow({at.x_mm, at.y_mm, at.x_mm, at.y_mm}); }

    std::shared_ptr<const TextRuler> ruler_;
    std::vector<Shape> shapes_;
    std::vector<Label> labels_;
    std::optional<Rectangle> bounds_;
};

/// A sheet of paper and what stands on it.
struct Sheet {
    double width_mm;
    double height_mm;
    std::string title;
    Figure figure;
};

}  // namespace reedwright::drawing
