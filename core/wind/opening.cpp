#include "core/wind/opening.hpp"

#include "core/input/diagnostic.hpp"

#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr std::size_t stretches = 256;
constexpr std::size_t knots = 1024;
// Below this share of the clearance a closed form loses digits that a quadrature keeps.
constexpr double short_of_clearance = 0.02;

// A stretch along which the distance to the slot goes straight from one value to another; shape is phi's own.
struct Stretch {
    double length_m;
    double distance0_m, distance1_m;
    double shape0, shape1;
};

// int sqrt(d^2 + c^2) and int phi d / sqrt(d^2 + c^2) along a stretch.
kernel::OpeningAt gap_integral(const Stretch& part, double clearance_m) {
    const double step_m = part.distance1_m - part.distance0_m;
    const auto gap = [&](double distance_m) { return std::hypot(distance_m, clearance_m); };
    if (std::abs(step_m) < short_of_clearance * clearance_m) {
        // Gauss with three points.
        const double off = std::sqrt(0.6) / 2.0;
        kernel::OpeningAt sum{0.0, 0.0};
        for (const auto& [share, weight] :
             {std::pair(0.5 - off, 5.0 / 18.0), std::pair(0.5, 8.0 / 18.0), std::pair(0.5 + off, 5.0 / 18.0)}) {
            const double distance_m = part.distance0_m + share * step_m;
            const double shape = part.shape0 + share * (part.shape1 - part.shape0);
            sum.area_m2 += weight * gap(distance_m);
            sum.slope_m += weight * shape * distance_m / gap(distance_m);
        }
        return {sum.area_m2 * part.length_m, sum.slope_m * part.length_m};
    }
    const double c2 = clearance_m * clearance_m;
    const double gap0 = gap(part.distance0_m), gap1 = gap(part.distance1_m);
    const double roots = part.distance1_m * gap1 - part.distance0_m * gap0;
    const double logarithms =
        c2 * (std::asinh(part.distance1_m / clearance_m) - std::asinh(part.distance0_m / clearance_m));
    // phi = shape0 + (d - d0) (shape1 - shape0) / step.
    const double tilt = (part.shape1 - part.shape0) / step_m;
    const double level = part.shape0 - tilt * part.distance0_m;
    return {part.length_m / step_m * 0.5 * (roots + logarithms),
            part.length_m / step_m * (tilt * 0.5 * (roots - logarithms) + level * (gap1 - gap0))};
}

// Cubic Hermite interpolation between even knots, from values and slopes.
class Hermite {
public:
    Hermite(std::vector<double> values, std::vector<double> slopes, double step)
        : values_(std::move(values)), slopes_(std::move(slopes)), step_(step) {
        for (double& slope : slopes_) slope *= step_;
    }
    double value(double at) const {
        const auto [i, t] = place(at);
        const double s = 1.0 - t;
        return s * s * ((1.0 + 2.0 * t) * values_[i] + t * slopes_[i]) +
               t * t * ((1.0 + 2.0 * s) * values_[i + 1] - s * slopes_[i + 1]);
    }
    double slope(double at) const {
        const auto [i, t] = place(at);
        const double s = 1.0 - t;
        return (6.0 * t * s * (values_[i + 1] - values_[i]) + s * (1.0 - 3.0 * t) * slopes_[i] +
                t * (1.0 - 3.0 * s) * slopes_[i + 1]) /
               step_;
    }

private:
    std::pair<std::size_t, double> place(double at) const {
        const double steps = at / step_;
        const std::size_t i = std::min(static_cast<std::size_t>(steps), values_.size() - 2);
        return {i, steps - static_cast<double>(i)};
    }
    std::vector<double> values_;
    std::vector<double> slopes_;
    double step_;
};

}  // namespace

class Opening::Table {
public:
    Table(const std::vector<ShapePoint>& points, double tip_width_m, double clearance_m, double plate_m)
        : shape(points),
          width_m(tip_width_m),
          gap_m(clearance_m),
          thickness_m(plate_m),
          reach(stretched(points.back().at.value())),
          above(table_of([&](double d_m) { return integral(d_m); })),
          beyond(table_of([&](double d_m) {
              const auto value = integral(-thickness_m - d_m);
              return kernel::OpeningAt{value.area_m2, -value.slope_m};
          })) {}

    double length_m() const { return shape.back().at.value(); }

    kernel::OpeningAt integral(double tip_m) const {
        kernel::OpeningAt sum{0.0, 0.0};
        const auto add = [&](double share, double distance_m, double by_tip) {
            const double gap = std::hypot(distance_m, gap_m);
            sum.area_m2 += share * gap;
            sum.slope_m += share * by_tip * distance_m / gap;
        };
        if (tip_m >= 0.0)
            add(width_m, tip_m, 1.0);
        else
            add(width_m, std::max(0.0, -tip_m - thickness_m), -1.0);
        for (std::size_t i = 0; i + 1 < shape.size(); ++i) {
            const auto part = side(shape[i], shape[i + 1], tip_m);
            sum.area_m2 += 2.0 * part.area_m2;
            sum.slope_m += 2.0 * part.slope_m;
        }
        return sum;
    }

    kernel::OpeningAt read(double tip_m) const {
        const bool over = tip_m >= 0.0;
        const double distance_m = over ? tip_m : -tip_m - thickness_m;
        if (distance_m <= 0.0) return inside;
        const double at = stretched(distance_m);
        if (at >= reach) return integral(tip_m);
        const Hermite& table = over ? above : beyond;
        const double slope = table.slope(at) / stretch_slope(distance_m);
        return {table.value(at), over ? slope : -slope};
    }
    double read_area(double tip_m) const {
        const bool over = tip_m >= 0.0;
        const double distance_m = over ? tip_m : -tip_m - thickness_m;
        if (distance_m <= 0.0) return inside.area_m2;
        const double at = stretched(distance_m);
        if (at >= reach) return integral(tip_m).area_m2;
        return (over ? above : beyond).value(at);
    }

    std::vector<ShapePoint> shape;
    double width_m;
    double gap_m;
    double thickness_m;
    double reach;
    Hermite above;
    Hermite beyond;
    kernel::OpeningAt inside = integral(0.0);

private:
    // One side of the tongue between two points of its shape, split where it leaves the slot.
    kernel::OpeningAt side(const ShapePoint& from, const ShapePoint& to, double tip_m) const {
        const double length = to.at.value() - from.at.value();
        if (tip_m >= 0.0)
            return gap_integral(
                {length, tip_m * from.deflection, tip_m * to.deflection, from.deflection, to.deflection}, gap_m);
        const double below0 = -tip_m * from.deflection - thickness_m;
        const double below1 = -tip_m * to.deflection - thickness_m;
        if (below0 <= 0.0 && below1 <= 0.0) return {length * gap_m, 0.0};
        kernel::OpeningAt sum{0.0, 0.0};
        if (below0 >= 0.0 && below1 >= 0.0) {
            sum = gap_integral({length, below0, below1, from.deflection, to.deflection}, gap_m);
        } else {
            const double leaves = below0 / (below0 - below1);
            const double edge = from.deflection + leaves * (to.deflection - from.deflection);
            const bool rising = below1 > 0.0;
            const double outside = rising ? 1.0 - leaves : leaves;
            sum = rising ? gap_integral({outside * length, 0.0, below1, edge, to.deflection}, gap_m)
                         : gap_integral({outside * length, below0, 0.0, from.deflection, edge}, gap_m);
            sum.area_m2 += (1.0 - outside) * length * gap_m;
        }
        return {sum.area_m2, -sum.slope_m};
    }

    // Knots are even in sqrt(1 + d / c): fine where the gap bends, coarse where it is straight.
    double stretched(double distance_m) const { return std::sqrt(1.0 + distance_m / gap_m) - 1.0; }
    // The distance by its stretched measure.
    double stretch_slope(double distance_m) const { return 2.0 * gap_m * std::sqrt(1.0 + distance_m / gap_m); }

    template <class Function>
    Hermite table_of(Function function) const {
        std::vector<double> areas(knots + 1), slopes(knots + 1);
        const double step = reach / static_cast<double>(knots);
        for (std::size_t i = 0; i <= knots; ++i) {
            const double root = 1.0 + step * static_cast<double>(i);
            const double distance_m = gap_m * (root * root - 1.0);
            const kernel::OpeningAt value = function(distance_m);
            areas[i] = value.area_m2;
            slopes[i] = value.slope_m * stretch_slope(distance_m);
        }
        return Hermite(std::move(areas), std::move(slopes), step);
    }
};

Opening::Opening(const std::vector<ShapePoint>& shape, Length tip_width, Length clearance, Length plate_thickness) {
    if (shape.size() < 2) throw std::invalid_argument("an opening needs the shape of its tongue");
    if (clearance.value() <= 0.0)
        throw InputError("a clearance of 0 mm leaves the tongue no way through its slot",
                         "good work has 0.02 mm to 0.05 mm at each side");
    table_ = std::make_shared<const Table>(shape, tip_width.value(), clearance.value(), plate_thickness.value());
}

Opening Opening::of(const Reed& reed, const Vibration& vibration) {
    return Opening(vibration.shape(0, stretches), reed.tongue.width.at_tip(), reed.slot.clearance,
                   reed.slot.plate_thickness);
}

Opening Opening::of_uniform_beam(Length length, Length width, Length clearance, Length plate_thickness) {
    std::vector<ShapePoint> shape;
    for (std::size_t i = 0; i <= stretches; ++i) {
        const double share = static_cast<double>(i) / static_cast<double>(stretches);
        shape.push_back({share * length, uniform_beam_shape(share)});
    }
    return Opening(shape, width, clearance, plate_thickness);
}

Area Opening::area(Length tip_height) const {
    return Area::from_value(at(tip_height.value()).area_m2);
}

Length Opening::slope(Length tip_height) const {
    return Length::from_value(at(tip_height.value()).slope_m);
}

Area Opening::integrated_area(Length tip_height) const {
    return Area::from_value(table_->integral(tip_height.value()).area_m2);
}

Length Opening::integrated_slope(Length tip_height) const {
    return Length::from_value(table_->integral(tip_height.value()).slope_m);
}

Length Opening::clearance() const {
    return Length::from_value(table_->gap_m);
}

Length Opening::plate_thickness() const {
    return Length::from_value(table_->thickness_m);
}

Length Opening::tongue_length() const {
    return Length::from_value(table_->length_m());
}

kernel::OpeningAt Opening::at(double tip_height_m) const {
    return table_->read(tip_height_m);
}

double Opening::area_m2(double tip_height_m) const {
    return table_->read_area(tip_height_m);
}

double uniform_beam_shape(double share) {
    // beta from 1 + cos beta cosh beta = 0; Thomson, Theory of Vibration, App. D.
    constexpr double beta = 1.8751040687119611;
    const double s = (std::sinh(beta) - std::sin(beta)) / (std::cosh(beta) + std::cos(beta));
    const double y = beta * share;
    return 0.5 * (std::cosh(y) - std::cos(y) - s * (std::sinh(y) - std::sin(y)));
}

}  // namespace reedwright
