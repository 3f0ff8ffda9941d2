#include "app/picture/axes.hpp"

#include <fmt/format.h>
#include <cmath>

namespace reedwright::app {

namespace {

double round_step(double range, int wanted) {
    const double raw = range / wanted;
    const double power = std::pow(10.0, std::floor(std::log10(raw)));
    for (const double nice : {1.0, 2.0, 5.0})
        if (raw <= nice * power * 1.0001) return nice * power;
    return 10.0 * power;
}

}  // namespace

std::vector<double> ticks(double low, double high, int wanted) {
    std::vector<double> values;
    const double step = round_step(high - low, wanted);
    for (double k = std::ceil(low / step - 1e-9); k * step <= high + 1e-9 * step; k += 1.0)
        values.push_back(k == 0.0 ? 0.0 : k * step);
    return values;
}

Scale rounded_scale(double low, double high, std::string label) {
    if (high <= low) high = low + 1.0;
    const double step = round_step(high - low, 5);
    return {std::floor(low / step + 1e-9) * step, std::ceil(high / step - 1e-9) * step, std::move(label)};
}

Axes::Axes(Point corner, double width, double height, Scale x, Scale y)
    : corner_(corner), width_(width), height_(height), x_(std::move(x)), y_(std::move(y)) {}

Point Axes::place(double x, double y) const {
    return {corner_.x + width_ * (x - x_.low) / (x_.high - x_.low),
            corner_.y + height_ * (y_.high - y) / (y_.high - y_.low)};
}

void Axes::draw(Svg& page, bool with_x_labels, int y_steps) const {
    const Ink grid{"", "#dddddd", 0.15, ""};
    const Ink frame{"", "#444444", 0.25, ""};
    for (const double x : ticks(x_.low, x_.high, 8)) {
        page.line(place(x, y_.low), place(x, y_.high), grid);
        if (with_x_labels)
            page.text({place(x, y_.low).x, corner_.y + height_ + 4.2}, fmt::format("{:g}", x), 3.0, Anchor::middle);
    }
    for (const double y : ticks(y_.low, y_.high, y_steps)) {
        page.line(place(x_.low, y), place(x_.high, y), grid);
        page.text({corner_.x - 1.5, place(x_.low, y).y + 1.0}, fmt::format("{:g}", y), 3.0, Anchor::end);
    }
    page.rectangle(corner_, width_, height_, frame);
    if (with_x_labels) page.text({corner_.x + width_ / 2.0, corner_.y + height_ + 9.0}, x_.label, 3.2, Anchor::middle);
    page.text({corner_.x - 12.5, corner_.y + height_ / 2.0}, y_.label, 3.2, Anchor::middle, -90.0);
}

}  // namespace reedwright::app
