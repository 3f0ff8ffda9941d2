// A small SVG page: shapes and text in millimetres of paper.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace reedwright::app {

struct Point {
    double x;
    double y;
};

/// How a shape is drawn; an empty fill or stroke is none.
struct Ink {
    std::string fill;
    std::string stroke;
    double width = 0.25;
    std::string dashes;
};

enum class Anchor { start, middle, end };

/// Builds one self-contained SVG document. Text is escaped; coordinates are written with a hundredth
/// of a millimetre, so that the same picture has the same bytes.
class Svg {
public:
    Svg(double width_mm, double height_mm, std::string_view title, std::string_view description);

    void line(Point from, Point to, const Ink& ink);
    void polyline(const std::vector<Point>& points, const Ink& ink);
    void polygon(const std::vector<Point>& points, const Ink& ink);
    void rectangle(Point corner, double width, double height, const Ink& ink);
    void circle(Point centre, double radius, const Ink& ink);
    /// Size is the height of the letters' body in millimetres.
    void text(Point at, std::string_view text, double size, Anchor anchor = Anchor::start, double turn_degrees = 0.0,
              std::string_view colour = "#222222");

    std::string finish() const;

private:
    std::string body_;
    double width_;
    double height_;
};

}  // namespace reedwright::app
