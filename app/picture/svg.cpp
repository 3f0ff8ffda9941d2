#include "app/picture/svg.hpp"

#include <fmt/format.h>
#include <cmath>

namespace reedwright::app {

namespace {

std::string escaped(std::string_view text) {
    std::string result;
    for (const char c : text) switch (c) {
            case '&':
                result += "&amp;";
                break;
            case '<':
                result += "&lt;";
                break;
            case '>':
                result += "&gt;";
                break;
            case '"':
                result += "&quot;";
                break;
            default:
                result += c;
        }
    return result;
}

// Without a minus before a zero.
std::string number(double value) {
    const double rounded = std::round(value * 100.0) / 100.0;
    return fmt::format("{:g}", rounded == 0.0 ? 0.0 : rounded);
}

std::string attributes(const Ink& ink) {
    std::string text = fmt::format(" fill=\"{}\"", ink.fill.empty() ? "none" : ink.fill);
    if (!ink.stroke.empty()) text += fmt::format(" stroke=\"{}\" stroke-width=\"{}\"", ink.stroke, number(ink.width));
    if (!ink.dashes.empty()) text += fmt::format(" stroke-dasharray=\"{}\"", ink.dashes);
    return text;
}

std::string list(const std::vector<Point>& points) {
    std::string text;
    for (const Point& p : points) text += fmt::format("{}{},{}", text.empty() ? "" : " ", number(p.x), number(p.y));
    return text;
}

}  // namespace

Svg::Svg(double width_mm, double height_mm, std::string_view title, std::string_view description)
    : width_(width_mm), height_(height_mm) {
    body_ = fmt::format("<title>{}</title>\n<desc>{}</desc>\n", escaped(title), escaped(description));
    rectangle({0.0, 0.0}, width_mm, height_mm, {"#ffffff", "", 0.0, ""});
}

void Svg::line(Point from, Point to, const Ink& ink) {
    body_ += fmt::format("<line x1=\"{}\" y1=\"{}\" x2=\"{}\" y2=\"{}\"{}/>\n", number(from.x), number(from.y),
                         number(to.x), number(to.y), attributes(ink));
}

void Svg::polyline(const std::vector<Point>& points, const Ink& ink) {
    body_ += fmt::format("<polyline points=\"{}\"{} stroke-linejoin=\"round\"/>\n", list(points), attributes(ink));
}

void Svg::polygon(const std::vector<Point>& points, const Ink& ink) {
    body_ += fmt::format("<polygon points=\"{}\"{} stroke-linejoin=\"round\"/>\n", list(points), attributes(ink));
}

void Svg::rectangle(Point corner, double width, double height, const Ink& ink) {
    body_ += fmt::format("<rect x=\"{}\" y=\"{}\" width=\"{}\" height=\"{}\"{}/>\n", number(corner.x), number(corner.y),
                         number(width), number(height), attributes(ink));
}

void Svg::circle(Point centre, double radius, const Ink& ink) {
    body_ += fmt::format("<circle cx=\"{}\" cy=\"{}\" r=\"{}\"{}/>\n", number(centre.x), number(centre.y),
                         number(radius), attributes(ink));
}

void Svg::text(Point at, std::string_view text, double size, Anchor anchor, double turn_degrees,
               std::string_view colour) {
    const char* const anchors[] = {"start", "middle", "end"};
    const std::string turned = turn_degrees == 0.0 ? std::string()
                                                   : fmt::format(" transform=\"rotate({} {} {})\"",
                                                                 number(turn_degrees), number(at.x), number(at.y));
    body_ += fmt::format("<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{}\" fill=\"{}\"{}>{}</text>\n",
                         number(at.x), number(at.y), number(size), anchors[static_cast<int>(anchor)], colour, turned,
                         escaped(text));
}

std::string Svg::finish() const {
    return fmt::format(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"0 0 {0} {1}\" "
        "role=\"img\" "
        "font-family=\"DejaVu Sans, Helvetica, Arial, sans-serif\">\n{2}</svg>\n",
        number(width_), number(height_), body_);
}

}  // namespace reedwright::app
