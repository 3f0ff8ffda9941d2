#include "app/picture/blow_picture.hpp"

#include "app/picture/axes.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <functional>
#include <optional>

namespace reedwright::app {

namespace {

constexpr double left = 24.0;
constexpr double frame_width = 148.0;
constexpr double frame_height = 52.0;
constexpr double between = 14.0;
constexpr double first_at = 22.0;
// Told apart by dashes and lightness, not by colour alone.
const Ink solid{"", "#1b3a5c", 0.7, ""};
const Ink dashed{"", "#b5651d", 0.6, "3 1.2"};
const Ink faint{"", "#777777", 0.4, "0.8 1"};

using Value = std::function<std::optional<double>(const BlowPoint&)>;

void plot(Svg& page, const Axes& axes, const std::vector<BlowPoint>& sweep, const Value& value, const Ink& ink) {
    std::vector<Point> run;
    const auto finish = [&] {
        if (run.size() > 1) page.polyline(run, ink);
        for (const Point& point : run) page.circle(point, 0.8, {ink.stroke, "", 0.0, ""});
        run.clear();
    };
    for (const BlowPoint& point : sweep) {
        if (const auto y = value(point))
            run.push_back(axes.place(point.pressure.value(), *y));
        else
            finish();
    }
    finish();
}

Scale scale_of(const std::vector<BlowPoint>& sweep, const std::vector<Value>& values, double low, double high,
               std::string label) {
    for (const BlowPoint& point : sweep)
        for (const Value& value : values)
            if (const auto y = value(point)) {
                low = std::min(low, *y);
                high = std::max(high, *y);
            }
    return rounded_scale(low, high, std::move(label));
}

void mark(Svg& page, const Axes& axes, const Scale& pressures, const Scale& scale, const std::optional<Pressure>& at,
          const std::string& text) {
    if (!at || at->value() > pressures.high) return;
    page.line(axes.place(at->value(), scale.low), axes.place(at->value(), scale.high), faint);
    const Point top = axes.place(at->value(), scale.high);
    page.text({top.x + 1.0, top.y + 4.0}, fmt::format("{} {:.0f} Pa", text, at->value()), 2.8);
}

}  // namespace

std::string blow_picture(const std::string& title, const BlownReed& reed, const PressureLimits& limits,
                         const std::vector<BlowPoint>& sweep) {
    Svg page(left + frame_width + 8.0, first_at + 3.0 * frame_height + 2.0 * between + 20.0, "A reed in the wind",
             title);
    page.text({left, 7.0}, title, 4.0);
    page.text({left, 13.0},
              fmt::format("{}, plucked {:.2f} Hz, Q {:.0f}, rest gap {:.3g} mm",
                          reed.mounting == Mounting::closing ? "closing" : "opening", reed.natural().value(),
                          reed.quality, in(reed.rest_gap, millimetre)),
              3.4, Anchor::start, 0.0, "#555555");
    const Scale pressures = rounded_scale(0.0, sweep.back().pressure.value(), "pressure, Pa");

    constexpr int fine = 160;
    std::vector<std::pair<double, double>> growth;
    double low = -1.0, high = 1.0;
    for (int i = 1; i <= fine; ++i) {
        const Pressure pressure = Pressure::from_value(pressures.high * i / fine);
        if (pressure > highest_pressure) break;
        const double value = reed_mode(reed, pressure).growth.value();
        low = std::min(low, value);
        high = std::max(high, value);
        growth.emplace_back(pressure.value(), value);
    }
    const auto place = [](int row) { return Point{left, first_at + row * (frame_height + between)}; };
    const Scale growths = rounded_scale(low, high, "growth, 1/s");
    const Axes top(place(0), frame_width, frame_height, pressures, growths);
    top.draw(page, false);
    std::vector<Point> curve;
    for (const auto& [x, y] : growth) curve.push_back(top.place(x, y));
    page.polyline(curve, solid);
    page.line(top.place(0.0, 0.0), top.place(pressures.high, 0.0), {"", "#222222", 0.3, ""});
    mark(page, top, pressures, growths, limits.from_rest.threshold, "speaks");
    mark(page, top, pressures, growths, limits.from_rest.chokes_at, "chokes from rest");
    page.text({left + frame_width, place(0).y - 1.6}, "a small swing in a steady wind", 3.0, Anchor::end);

    const Value cents = [&](const BlowPoint& point) -> std::optional<double> {
        if (point.sounding.outcome != Outcome::sounds) return std::nullopt;
        return interval_between(reed.natural(), point.sounding.pitch).value();
    };
    const Scale intervals = scale_of(sweep, {cents}, 0.0, 0.0, "cents from plucked");
    const Axes middle(place(1), frame_width, frame_height, pressures, intervals);
    middle.draw(page, false);
    plot(page, middle, sweep, cents, solid);
    page.text({left + frame_width, place(1).y - 1.6}, "sounding pitch", 3.0, Anchor::end);

    const Value plain = [](const BlowPoint& point) -> std::optional<double> {
        if (point.sounding.outcome != Outcome::sounds) return std::nullopt;
        return in(point.sounding.swing, millimetre);
    };
    const Value lossy = [](const BlowPoint& point) -> std::optional<double> {
        if (!point.swing_with_loss) return std::nullopt;
        return in(*point.swing_with_loss, millimetre);
    };
    const Scale swings = scale_of(sweep, {plain, lossy}, 0.0, 0.0, "swing, mm");
    const Axes bottom(place(2), frame_width, frame_height, pressures, swings);
    bottom.draw(page);
    plot(page, bottom, sweep, plain, solid);
    plot(page, bottom, sweep, lossy, dashed);
    page.text({left + frame_width, place(2).y - 1.6}, "swing at the tip (the weakest number)", 3.0, Anchor::end);
    const double legend = place(2).y + frame_height + 15.0;
    page.line({left, legend}, {left + 8.0, legend}, solid);
    page.text({left + 10.0, legend + 1.0}, "without loss by swing", 3.0);
    page.line({left + 60.0, legend}, {left + 68.0, legend}, dashed);
    page.text({left + 70.0, legend + 1.0}, "with the strip's drag", 3.0);
    return page.finish();
}

}  // namespace reedwright::app
