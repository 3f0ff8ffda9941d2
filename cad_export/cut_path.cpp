#include "cad_export/cut_path.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stdexcept>

namespace reedwright {

namespace {

// As core rounds the corners of outlines.
constexpr double flattest_rounded_turn = std::numbers::pi / 6.0;
constexpr double rounding_m = 1e-11;

struct Vector {
    double x_m;
    double y_m;
};

Vector operator+(Vector a, Vector b) {
    return {a.x_m + b.x_m, a.y_m + b.y_m};
}
Vector operator-(Vector a, Vector b) {
    return {a.x_m - b.x_m, a.y_m - b.y_m};
}
Vector operator*(double factor, Vector a) {
    return {factor * a.x_m, factor * a.y_m};
}
double dot(Vector a, Vector b) {
    return a.x_m * b.x_m + a.y_m * b.y_m;
}
double cross(Vector a, Vector b) {
    return a.x_m * b.y_m - a.y_m * b.x_m;
}
Vector right_of(Vector a) {
    return {a.y_m, -a.x_m};
}
Vector vector_of(const PlanePoint& point) {
    return {point.x.value(), point.y.value()};
}
PlanePoint point_of(Vector a) {
    return {a.x_m * metre, a.y_m * metre};
}

struct Corner {
    Vector at;
    double turn;
    double radius_m;

    double setback_m() const { return radius_m * std::tan(0.5 * std::abs(turn)); }
};

bool edges_cross(Vector a, Vector b, Vector c, Vector d) {
    const double c_side = cross(b - a, c - a);
    const double d_side = cross(b - a, d - a);
    const double a_side = cross(d - c, a - c);
    const double b_side = cross(d - c, b - c);
    return (c_side > 0.0) != (d_side > 0.0) && (a_side > 0.0) != (b_side > 0.0);
}

void check_simple(const std::vector<Corner>& corners) {
    const std::size_t count = corners.size();
    for (std::size_t i = 0; i < count; ++i)
        for (std::size_t j = i + 2; j < count; ++j) {
            if (i == 0 && j + 1 == count) continue;
            if (edges_cross(corners[i].at, corners[i + 1].at, corners[j].at, corners[(j + 1) % count].at))
                throw std::domain_error("a narrow place of the outline closes");
        }
}

std::vector<OutlinePiece> pieces_of(const std::vector<Corner>& corners, const std::vector<Vector>& directions) {
    const std::size_t count = corners.size();
    std::vector<OutlinePiece> drawn;
    for (std::size_t i = 0; i < count; ++i) {
        const Corner& corner = corners[i];
        const Corner& next = corners[(i + 1) % count];
        const Vector before = directions[(i + count - 1) % count];
        const double setback_m = corner.setback_m();
        Vector edge_start = corner.at;
        if (setback_m > rounding_m) {
            const Vector arc_start = corner.at - setback_m * before;
            edge_start = corner.at + setback_m * directions[i];
            const double side = corner.turn > 0.0 ? -1.0 : 1.0;
            const Vector centre = arc_start + side * corner.radius_m * right_of(before);
            drawn.push_back(
                {point_of(arc_start), point_of(edge_start), corner.radius_m * metre, point_of(centre), corner.turn});
        }
        const double left_m = dot(next.at - corner.at, directions[i]) - setback_m - next.setback_m();
        if (left_m < -rounding_m) throw std::domain_error("an edge of the outline is used up");
        if (left_m > rounding_m)
            drawn.push_back({point_of(edge_start), point_of(next.at - next.setback_m() * directions[i]), 0.0 * metre,
                             point_of({0.0, 0.0}), 0.0});
    }
    for (std::size_t i = 0; i < drawn.size(); ++i) drawn[(i + 1) % drawn.size()].from = drawn[i].to;
    return drawn;
}

}  // namespace

Area CutPath::area() const {
    double doubled_m2 = 0.0;
    for (const OutlinePiece& piece : pieces) {
        const double radius_m = piece.radius.value();
        doubled_m2 += cross(vector_of(piece.from), vector_of(piece.to));
        doubled_m2 += radius_m * radius_m * (piece.sweep - std::sin(piece.sweep));
    }
    return 0.5 * doubled_m2 * metre * metre;
}

CutPath moved_aside(const Outline& outline, Length outward) {
    CutPath path;
    path.pieces = outline.pieces();  // refuses what cannot be drawn
    const double aside_m = outward.value();
    if (aside_m == 0.0) return path;
    const std::size_t count = outline.corners.size();
    std::vector<Vector> directions;
    for (std::size_t i = 0; i < count; ++i) {
        const Vector along = vector_of(outline.corners[(i + 1) % count]) - vector_of(outline.corners[i]);
        directions.push_back(1.0 / std::hypot(along.x_m, along.y_m) * along);
    }
    std::vector<Corner> corners;
    double left_m = 0.0;
    for (std::size_t i = 0; i < count; ++i) {
        const Vector in = directions[(i + count - 1) % count];
        const Vector out = directions[i];
        const double turn = std::atan2(cross(in, out), dot(in, out));
        const bool rounded = std::abs(turn) >= flattest_rounded_turn;
        const double drawn_m = rounded ? outline.corner_radius.value() : 0.0;
        const double radius_m = turn > 0.0 ? drawn_m + aside_m : drawn_m - aside_m;
        if (radius_m < -rounding_m && rounded) left_m = std::max(left_m, std::abs(aside_m));
        // An edge that turns back on itself has no corner aside.
        if (1.0 + dot(in, out) < 1e-9) throw std::domain_error("the outline turns back on itself");
        const Vector normals = right_of(in) + right_of(out);
        corners.push_back(
            {vector_of(outline.corners[i]) + aside_m / (1.0 + dot(in, out)) * normals, turn, std::max(radius_m, 0.0)});
    }
    path.pieces = pieces_of(corners, directions);
    check_simple(corners);
    path.left_in_corners = left_m * metre;
    return path;
}

Length largest_aside(const Outline& outline, Length wanted) {
    const auto takes = [&](double outward_m) {
        try {
            moved_aside(outline, outward_m * metre);
            return true;
        } catch (const std::domain_error&) {
            return false;
        }
    };
    if (takes(wanted.value())) return wanted;
    double fits_m = 0.0;
    double fails_m = wanted.value();
    constexpr int halvings = 40;
    for (int i = 0; i < halvings; ++i) {
        const double middle_m = 0.5 * (fits_m + fails_m);
        (takes(middle_m) ? fits_m : fails_m) = middle_m;
    }
    constexpr double micrometres = 1e6;
    return std::trunc(fits_m * micrometres + (fits_m > 0.0 ? 1e-6 : -1e-6)) / micrometres * metre;
}

}  // namespace reedwright
