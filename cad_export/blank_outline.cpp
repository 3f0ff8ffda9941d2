#include "cad_export/blank_outline.hpp"

#include <algorithm>
#include <cmath>

namespace reedwright {

namespace {

// Far below what a shop can set, far above rounding; core draws slots by the same measure.
constexpr double same_length_m = 1e-9;

// Twice the area of a triangle over its longest side: how far b lies from the line through a and c.
bool on_the_way(const PlanePoint& a, const PlanePoint& b, const PlanePoint& c) {
    const double along_x = (c.x - a.x).value();
    const double along_y = (c.y - a.y).value();
    const double off = along_x * (b.y - a.y).value() - along_y * (b.x - a.x).value();
    return std::abs(off) <= same_length_m * std::hypot(along_x, along_y);
}

bool same_place(const PlanePoint& a, const PlanePoint& b) {
    return std::hypot((a.x - b.x).value(), (a.y - b.y).value()) <= same_length_m;
}

// Without corners that make no corner.
std::vector<PlanePoint> plain_corners(const std::vector<PlanePoint>& corners) {
    std::vector<PlanePoint> apart;
    for (const PlanePoint& corner : corners)
        if (apart.empty() || !same_place(apart.back(), corner)) apart.push_back(corner);
    std::vector<PlanePoint> kept;
    for (std::size_t i = 0; i < apart.size(); ++i) {
        const PlanePoint& before = apart[(i + apart.size() - 1) % apart.size()];
        const PlanePoint& after = apart[(i + 1) % apart.size()];
        if (!on_the_way(before, apart[i], after)) kept.push_back(apart[i]);
    }
    return kept;
}

}  // namespace

Outline tongue_outline(const TonguePart& part) {
    std::vector<PlanePoint> upper{{-part.pad_length, 0.5 * part.width.at_root()}};
    for (const Station& station : part.width.stations()) upper.push_back({station.at, 0.5 * station.value});
    std::vector<PlanePoint> corners;
    for (const PlanePoint& corner : upper) corners.push_back({corner.x, -corner.y});
    corners.insert(corners.end(), upper.rbegin(), upper.rend());
    return {plain_corners(corners), 0.0 * metre};
}

PlanePoint on_plate(const PlanePoint& point, const PlacedTongue& tongue) {
    // Seen through the plate, a tongue of the lower face is mirrored.
    return {tongue.root.x + (tongue.on_upper_face ? -1.0 : 1.0) * point.y, tongue.root.y + point.x};
}

Outline outline_on_plate(const PlacedTongue& tongue) {
    Outline outline = tongue_outline(tongue.part);
    for (PlanePoint& corner : outline.corners) corner = on_plate(corner, tongue);
    if (!tongue.on_upper_face) std::reverse(outline.corners.begin(), outline.corners.end());
    return outline;
}

}  // namespace reedwright
