#include "app/picture/scatter_picture.hpp"

#include "app/picture/axes.hpp"

#include <fmt/format.h>
#include <algorithm>

namespace reedwright::app {

std::string scatter_picture(const Design& design, const std::vector<TongueScatter>& tongues) {
    constexpr double row_height = 5.0;
    constexpr double left = 34.0;
    constexpr double top = 22.0;
    constexpr double width = 140.0;
    double lowest = 0.0;
    double highest = 0.0;
    for (const TongueScatter& one : tongues) {
        lowest = std::min(lowest, one.scatter.low95.value());
        highest = std::max(highest, one.scatter.high95.value());
    }
    const double count = static_cast<double>(tongues.size());
    const double height = row_height * count;
    Svg page(left + width + 10.0, top + height + 24.0, "Pitch spread before tuning", design.instrument.name);
    page.text({left, 7.0}, design.instrument.name, 3.8);
    page.text({left, 12.5}, "pitch before tuning against the design: 95 % of tongues, and what a safe cut can take in",
              3.2, Anchor::start, 0.0, "#555555");
    const Scale across = rounded_scale(lowest, highest, "cents from the tongue as designed");
    const Axes axes({left, top}, width, height, across, {count, 0.0, ""});
    const auto held = [&](double cents) { return std::clamp(cents, across.low, across.high); };
    const Ink frame{"", "#bbbbbb", 0.2, ""};
    for (const double cents : ticks(across.low, across.high, 8)) {
        page.line(axes.place(cents, 0.0), axes.place(cents, count), frame);
        const Point foot = axes.place(cents, count);
        page.text({foot.x, foot.y + 5.0}, fmt::format("{:g}", cents), 3.0, Anchor::middle);
    }
    page.text({left + 0.5 * width, top + height + 11.0}, across.label, 3.2, Anchor::middle);
    for (std::size_t i = 0; i < tongues.size(); ++i) {
        const TongueScatter& one = tongues[i];
        const double y = static_cast<double>(i) + 0.5;
        const InstrumentReed& reed = design.instrument.reeds[one.reed];
        const Point start = axes.place(across.low, y);
        page.text({left - 2.0, start.y + 1.1}, fmt::format("{} {}", reed.place(), reed.note.name()), 3.0, Anchor::end);
        // A correction of c cents mends a tongue that lies c cents the other way.
        page.line(axes.place(held(-one.room_up.value()), y), axes.place(held(-one.room_down.value()), y),
                  {"", "#999999", 0.4, "1 1"});
        const Point low = axes.place(one.scatter.low95.value(), y);
        const Point high = axes.place(one.scatter.high95.value(), y);
        page.rectangle({low.x, low.y - 1.2}, high.x - low.x, 2.4, {"#1b3a5c", "", 0.0, ""});
        const Point mean = axes.place(one.scatter.mean.value(), y);
        page.line({mean.x, mean.y - 1.2}, {mean.x, mean.y + 1.2}, {"", "#ffffff", 0.5, ""});
    }
    const double legend = top + height + 18.0;
    page.rectangle({left, legend - 2.2}, 8.0, 2.4, {"#1b3a5c", "", 0.0, ""});
    page.text({left + 10.0, legend}, "95 % of tongues, the mean marked", 3.0);
    page.line({left + 70.0, legend - 1.0}, {left + 78.0, legend - 1.0}, {"", "#999999", 0.4, "1 1"});
    page.text({left + 80.0, legend}, "recoverable", 3.0);
    return page.finish();
}

}  // namespace reedwright::app
