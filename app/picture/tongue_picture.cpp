#include "app/picture/tongue_picture.hpp"

#include "app/picture/axes.hpp"
#include "app/report.hpp"
#include "cad_export/palette.hpp"
#include "core/plate/reed_blank.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <utility>

namespace reedwright::app {

namespace {

constexpr double page_width = 180.0;
constexpr double left = 24.0;
constexpr double frame_width = page_width - left - 8.0;
// Greys and one hue, told apart by lightness as well as by colour.
const Ink plate_metal{"#eeeeee", "#555555", 0.25, ""};
const Ink empty{"#ffffff", "#555555", 0.25, ""};

// The palette of the shop's files, so that a part has one colour everywhere; the pad is darker.
Ink metal_ink(const Reed& reed, double lightness) {
    const Colour colour = colour_of(alloy_class(reed.tongue.material.name));
    const auto byte = [&](double part) {
        return static_cast<int>(std::lround(255.0 * std::min(1.0, part * lightness)));
    };
    return {fmt::format("#{:02x}{:02x}{:02x}", byte(colour.red), byte(colour.green), byte(colour.blue)), "#333333",
            0.25, ""};
}

double mm(Length length) {
    return in(length, millimetre);
}

std::vector<Point> placed(const Axes& axes, const std::vector<PlanePoint>& corners) {
    std::vector<Point> points;
    for (const PlanePoint& corner : corners) points.push_back(axes.place(mm(corner.x), mm(corner.y)));
    return points;
}

void draw_side(Svg& page, const Axes& axes, const Reed& reed) {
    const double pad = mm(reed.pad.length);
    const double root = mm(reed.tongue.thickness.at_root());
    page.polygon({axes.place(-pad, 0.0), axes.place(0.0, 0.0), axes.place(0.0, root), axes.place(-pad, root)},
                 metal_ink(reed, 0.8));
    std::vector<Point> outline{axes.place(0.0, 0.0)};
    for (const Station& station : reed.tongue.thickness.stations())
        outline.push_back(axes.place(mm(station.at), mm(station.value)));
    outline.push_back(axes.place(mm(reed.tongue.length()), 0.0));
    page.polygon(outline, metal_ink(reed, 1.0));
    const double most = mm(reed.tongue.thickness.largest());
    for (const Load& load : reed.tongue.loads) {
        const double height = mm(reed.tongue.thickness.before(load.at));
        page.circle(axes.place(mm(load.at), height + 0.06 * most), 1.1, {"#444444", "", 0.0, ""});
        page.text({axes.place(mm(load.at), height).x, axes.place(0.0, height + 0.06 * most).y - 2.0},
                  to_text(load.mass), 2.8, Anchor::end);
    }
}

void draw_top(Svg& page, const Axes& axes, const Reed& reed, const ReedBlank& blank) {
    for (const Outline& slot : blank.plate.slots) page.polygon(placed(axes, slot.corners), empty);
    const double pad = mm(reed.pad.length);
    const double half = 0.5 * mm(reed.tongue.width.at_root());
    page.polygon({axes.place(-pad, -half), axes.place(0.0, -half), axes.place(0.0, half), axes.place(-pad, half)},
                 metal_ink(reed, 0.8));
    std::vector<Point> edge;
    const auto& stations = reed.tongue.width.stations();
    for (const Station& station : stations) edge.push_back(axes.place(mm(station.at), 0.5 * mm(station.value)));
    for (auto station = stations.rbegin(); station != stations.rend(); ++station)
        edge.push_back(axes.place(mm(station->at), -0.5 * mm(station->value)));
    page.polygon(edge, metal_ink(reed, 1.0));
    const double mm_on_page = axes.place(1.0, 0.0).x - axes.place(0.0, 0.0).x;
    for (const Hole& hole : blank.tongue.holes)
        page.circle(axes.place(mm(hole.centre.x), mm(hole.centre.y)), 0.5 * mm(hole.diameter) * mm_on_page,
                    {"#8a8a8a", "#333333", 0.25, ""});
}

// As on the page: orange is toward sharp, blue toward flat.
const Ink rises{"#c9824a", "", 0.0, ""};
const Ink falls{"#9ec5e8", "", 0.0, ""};

double cents_per_um_mm(const WherePoint& point) {
    return in(point.effect, cent / (micrometre * millimetre));
}

// What a stretch of one sign does, in a word: inside it where there is room, beside the curve otherwise.
void name_stretch(Svg& page, const Axes& axes, const std::vector<WherePoint>& map, std::size_t from, std::size_t to) {
    constexpr double room_along = 14.0;
    constexpr double room_across = 7.0;
    constexpr double letters = 3.2;
    if (axes.place(mm(map[to].at), 0.0).x - axes.place(mm(map[from].at), 0.0).x < room_along) return;
    double weight = 0.0;
    double place = 0.0;
    for (std::size_t i = from; i <= to; ++i) {
        weight += std::abs(cents_per_um_mm(map[i]));
        place += std::abs(cents_per_um_mm(map[i])) * mm(map[i].at);
    }
    if (weight <= 0.0) return;
    place /= weight;
    const auto there = std::min_element(
        map.begin() + static_cast<std::ptrdiff_t>(from), map.begin() + static_cast<std::ptrdiff_t>(to),
        [&](const auto& a, const auto& b) { return std::abs(mm(a.at) - place) < std::abs(mm(b.at) - place); });
    const double value = cents_per_um_mm(*there);
    const Point zero = axes.place(mm(there->at), 0.0);
    const bool up = value > 0.0;
    double y = 0.5 * (axes.place(mm(there->at), value).y + zero.y) + 0.35 * letters;
    if (std::abs(axes.place(mm(there->at), value).y - zero.y) < room_across) {
        // Clear of the curve over the whole word.
        y = zero.y;
        for (const WherePoint& point : map) {
            const Point on_curve = axes.place(mm(point.at), cents_per_um_mm(point));
            if (std::abs(on_curve.x - zero.x) > 0.5 * room_along) continue;
            y = up ? std::min(y, on_curve.y) : std::max(y, on_curve.y);
        }
        y += up ? -1.5 : letters + 0.5;
    }
    page.text({zero.x, y}, up ? "raises" : "lowers", letters, Anchor::middle);
}

void draw_map(Svg& page, const Axes& axes, const Vibration& vibration, const std::vector<WherePoint>& map) {
    // One polygon for every run of one sign, closed on the zero line where the sign changes.
    std::vector<Point> run{axes.place(mm(map.front().at), 0.0)};
    std::vector<std::pair<std::size_t, std::size_t>> stretches;
    std::size_t first = 0;
    for (std::size_t i = 0; i < map.size(); ++i) {
        const double y = cents_per_um_mm(map[i]);
        run.push_back(axes.place(mm(map[i].at), y));
        const bool last = i + 1 == map.size();
        const double next = last ? 0.0 : cents_per_um_mm(map[i + 1]);
        if (!last && y * next >= 0.0) continue;
        const double crossing =
            last ? mm(map[i].at) : mm(map[i].at) + (mm(map[i + 1].at) - mm(map[i].at)) * y / (y - next);
        run.push_back(axes.place(crossing, 0.0));
        page.polygon(run, y > 0.0 ? rises : falls);
        run = {axes.place(crossing, 0.0)};
        stretches.emplace_back(first, i);
        first = i + 1;
    }
    std::vector<Point> curve;
    for (const WherePoint& point : map) curve.push_back(axes.place(mm(point.at), cents_per_um_mm(point)));
    page.polyline(curve, {"", "#222222", 0.4, ""});
    page.line(axes.place(mm(map.front().at), 0.0), axes.place(mm(map.back().at), 0.0), {"", "#222222", 0.25, ""});
    for (const Length& place : vibration.neutral_places())
        page.circle(axes.place(mm(place), 0.0), 1.0, {"#ffffff", "#222222", 0.4, ""});
    for (const auto& [from, to] : stretches) name_stretch(page, axes, map, from, to);
}

void draw_legend(Svg& page, double y) {
    constexpr double swatch = 4.0;
    double x = left - 4.0;
    for (const auto& [ink, words] : {std::pair(rises, "metal taken here raises the pitch"),
                                     std::pair(falls, "metal taken here lowers the pitch")}) {
        page.rectangle({x, y - 2.6}, swatch, 3.0, {ink.fill, "#222222", 0.2, ""});
        page.text({x + swatch + 1.5, y}, words, 3.0);
        x += 61.0;
    }
    page.circle({x + 1.0, y - 1.1}, 1.0, {"#ffffff", "#222222", 0.4, ""});
    page.text({x + 3.5, y}, "nothing happens", 3.0);
}

}  // namespace

std::string tongue_picture(const Reed& reed, const Vibration& vibration) {
    const ReedBlank blank = lay_out_blank(reed);
    const auto map = vibration.where_map(200);
    double lowest = 0.0, highest = 0.0;
    for (const WherePoint& point : map) {
        lowest = std::min(lowest, cents_per_um_mm(point));
        highest = std::max(highest, cents_per_um_mm(point));
    }
    const double length = mm(reed.tongue.length());
    const Scale along{-mm(reed.pad.length) - 0.5, length + 1.0, "distance from the root line, mm"};
    const double across_to_scale = frame_width / (along.high - along.low);

    // The top view is to scale, so its height follows from its width.
    const double half_slot = 0.5 * mm(reed.tongue.width.largest()) + mm(reed.slot.clearance);
    const double half_shown = half_slot + 0.6;
    const double side_height = 40.0;
    const double top_height = 2.0 * half_shown * across_to_scale;
    const double map_height = 60.0;
    const double side_at = 20.0;
    const double top_at = side_at + side_height + 10.0;
    const double map_at = top_at + top_height + 10.0;
    const double page_height = map_at + map_height + 22.0;

    Svg page(page_width, page_height, "Tongue and where-map", tongue_line(reed));
    page.text({left, 7.0}, tongue_line(reed), 4.0);
    const Frequency pitch = vibration.fundamental();
    page.text({left, 13.0},
              fmt::format("{}{:.1f} Hz in vacuo on its seat", reed.note ? reed.note->name() + ", " : std::string(),
                          pitch.value()),
              3.4, Anchor::start, 0.0, "#555555");

    const Axes side({left, side_at}, frame_width, side_height, along,
                    rounded_scale(0.0, 1.15 * mm(reed.tongue.thickness.largest()), "thickness, mm"));
    const double exaggeration = (side.place(0.0, 0.0).y - side.place(0.0, 1.0).y) / across_to_scale;
    side.draw(page, false, 4);
    draw_side(page, side, reed);
    page.text({left + frame_width - 2.0, side_at + 4.5},
              fmt::format("side, thickness shown {:.0f} times", exaggeration), 3.0, Anchor::end);

    const Axes top({left, top_at}, frame_width, top_height, along, {-half_shown, half_shown, "across, mm"});
    page.rectangle({left, top_at}, frame_width, top_height, plate_metal);
    top.draw(page, false, 3);
    draw_top(page, top, reed, blank);
    page.text({left + frame_width - 2.0, top_at - 1.6}, "top, on its plate, to scale", 3.0, Anchor::end);

    const Axes where({left, map_at}, frame_width, map_height, along,
                     rounded_scale(lowest, highest, "cents per um over 1 mm"));
    where.draw(page, true, 5);
    draw_map(page, where, vibration, map);
    page.text({left + frame_width - 2.0, map_at - 1.6}, "metal taken from the top, full width", 3.0, Anchor::end);
    for (const Length& place : vibration.neutral_places()) {
        const Point at = where.place(mm(place), 0.0);
        page.text({at.x, at.y - 2.5}, fmt::format("{:.2f} mm: nothing happens", mm(place)), 3.0, Anchor::end);
    }
    draw_legend(page, map_at + map_height + 17.0);
    return page.finish();
}

}  // namespace reedwright::app
