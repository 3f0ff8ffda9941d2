// A frame with scales in which a picture plots values.
#pragma once

#include "app/picture/svg.hpp"

#include <string>
#include <vector>

namespace reedwright::app {

struct Scale {
    double low;
    double high;
    std::string label;
};

/// Round values that divide a range into about the wanted number of steps.
std::vector<double> ticks(double low, double high, int wanted);
/// A range widened to the round values around it.
Scale rounded_scale(double low, double high, std::string label);

class Axes {
public:
    /// The frame's corner and size on the page, in millimetres.
    Axes(Point corner, double width, double height, Scale x, Scale y);

    Point place(double x, double y) const;
    /// Frame, grid lines, ticks, numbers and labels. Without x labels the numbers are left out too.
    void draw(Svg& page, bool with_x_labels = true, int y_steps = 5) const;

private:
    Point corner_;
    double width_;
    double height_;
    Scale x_;
    Scale y_;
};

}  // namespace reedwright::app
