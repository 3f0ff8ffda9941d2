#include "app/picture/mode_picture.hpp"

#include "app/picture/axes.hpp"
#include "app/report.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>

namespace reedwright::app {

std::string mode_picture(const Reed& reed, const Vibration& vibration) {
    constexpr std::size_t modes = 3;
    constexpr std::size_t samples = 120;
    // Told apart by dashes and lightness, not by colour alone.
    const std::array<Ink, modes> inks{
        {{"", "#1b3a5c", 0.7, ""}, {"", "#b5651d", 0.6, "3 1.2"}, {"", "#777777", 0.6, "0.8 1"}}};
    const auto frequencies = vibration.flap(modes);
    std::array<std::vector<ShapePoint>, modes> shapes;
    double lowest = 0.0, highest = 1.0;
    for (std::size_t mode = 0; mode < modes; ++mode) {
        shapes[mode] = vibration.shape(mode, samples);
        for (const ShapePoint& point : shapes[mode]) {
            lowest = std::min(lowest, point.deflection);
            highest = std::max(highest, point.deflection);
        }
    }
    Svg page(160.0, 116.0, "Mode shapes in vacuo", tongue_line(reed));
    page.text({22.0, 7.0}, tongue_line(reed), 3.8);
    page.text({22.0, 12.5}, "the first flapping modes in vacuo, on its seat", 3.4, Anchor::start, 0.0, "#555555");
    const Axes axes({22.0, 18.0}, 130.0, 72.0,
                    {0.0, in(reed.tongue.length(), millimetre), "distance from the root line, mm"},
                    rounded_scale(lowest, highest, "deflection, share of the tip's"));
    axes.draw(page);
    for (std::size_t mode = 0; mode < modes; ++mode) {
        std::vector<Point> curve;
        for (const ShapePoint& point : shapes[mode])
            curve.push_back(axes.place(in(point.at, millimetre), point.deflection));
        page.polyline(curve, inks[mode]);
        const double x = 22.0 + 45.0 * static_cast<double>(mode);
        page.line({x, 107.0}, {x + 8.0, 107.0}, inks[mode]);
        page.text({x + 10.0, 108.0}, fmt::format("mode {}, {:.1f} Hz", mode + 1, frequencies[mode].value()), 3.2);
    }
    return page.finish();
}

}  // namespace reedwright::app
