#include "core/plate/reed_blank.hpp"

#include "core/input/diagnostic.hpp"
#include "core/quantity/quantity_text.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <limits>
#include <numbers>
#include <stdexcept>

namespace reedwright {

namespace {

constexpr double flattest_rounded_turn = std::numbers::pi / 6.0;
// Lengths closer than this are equal: far below what a shop can set, far above rounding.
constexpr double same_length_m = 1e-9;
// What is left of an edge whose corners take it all, but for rounding.
constexpr double rounding_m = 1e-11;

struct Vector {
    double x_m;
    double y_m;
};

Vector operator+(Vector a, Vector b) {
    return {a.x_m + b.x_m, a.y_m + b.y_m};
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
Vector left_of(Vector a) {
    return {-a.y_m, a.x_m};
}
double size(Vector a) {
    return std::hypot(a.x_m, a.y_m);
}
Vector vector_of(const PlanePoint& point) {
    return {point.x.value(), point.y.value()};
}
PlanePoint point_of(Vector a) {
    return {a.x_m * metre, a.y_m * metre};
}
double turn_between(Vector direction_in, Vector direction_out) {
    return std::atan2(cross(direction_in, direction_out), dot(direction_in, direction_out));
}

// The edges of a closed outline; edge i leads from corner i to the next.
struct Edges {
    std::vector<Vector> direction;
    std::vector<double> length_m;
    /// Turn at corner i, and the length that a radius of one takes of both its edges (0: stays sharp).
    std::vector<double> turn;
    std::vector<double> setback_per_radius;
};

Edges edges_of(const std::vector<PlanePoint>& corners) {
    const std::size_t count = corners.size();
    if (count < 3) throw std::invalid_argument("an outline needs three corners");
    Edges edges;
    for (std::size_t i = 0; i < count; ++i) {
        const Vector along = vector_of(corners[(i + 1) % count]) + -1.0 * vector_of(corners[i]);
        edges.length_m.push_back(size(along));
        if (!(edges.length_m.back() > same_length_m))
            throw std::invalid_argument("an edge of the outline has no length");
        edges.direction.push_back(1.0 / edges.length_m.back() * along);
    }
    for (std::size_t i = 0; i < count; ++i) {
        edges.turn.push_back(turn_between(edges.direction[(i + count - 1) % count], edges.direction[i]));
        const double turn = std::abs(edges.turn.back());
        edges.setback_per_radius.push_back(turn < flattest_rounded_turn ? 0.0 : std::tan(turn / 2.0));
    }
    return edges;
}

// The largest radius that fits an edge, whose rounded corners share its length.
double radius_of_edge_m(const Edges& edges, std::size_t edge) {
    const double taken = edges.setback_per_radius[edge] + edges.setback_per_radius[(edge + 1) % edges.length_m.size()];
    return taken > 0.0 ? edges.length_m[edge] / taken : std::numeric_limits<double>::infinity();
}

std::size_t tightest_edge(const Edges& edges) {
    std::size_t tightest = 0;
    for (std::size_t i = 1; i < edges.length_m.size(); ++i)
        if (radius_of_edge_m(edges, i) < radius_of_edge_m(edges, tightest)) tightest = i;
    return tightest;
}

Area hole_area(const Hole& hole) {
    return std::numbers::pi / 4.0 * hole.diameter * hole.diameter;
}

}  // namespace

std::vector<OutlinePiece> Outline::pieces() const {
    const Edges edges = edges_of(corners);
    const double largest_m = radius_of_edge_m(edges, tightest_edge(edges));
    if (corner_radius.value() < 0.0 || corner_radius.value() > largest_m + rounding_m)
        throw std::invalid_argument("the corner radius does not fit the outline");

    const std::size_t count = corners.size();
    std::vector<OutlinePiece> drawn;
    for (std::size_t i = 0; i < count; ++i) {
        const Vector before = edges.direction[(i + count - 1) % count];
        const Vector here = vector_of(corners[i]);
        const double setback_m = corner_radius.value() * edges.setback_per_radius[i];
        Vector edge_start = here;
        if (setback_m > 0.0) {
            const Vector arc_start = here + -setback_m * before;
            edge_start = here + setback_m * edges.direction[i];
            const double side = edges.turn[i] > 0.0 ? 1.0 : -1.0;
            const Vector centre = arc_start + side * corner_radius.value() * left_of(before);
            drawn.push_back(
                {point_of(arc_start), point_of(edge_start), corner_radius, point_of(centre), edges.turn[i]});
        }
        const std::size_t next = (i + 1) % count;
        const double next_setback_m = corner_radius.value() * edges.setback_per_radius[next];
        if (edges.length_m[i] - setback_m - next_setback_m > rounding_m) {
            const Vector edge_end = vector_of(corners[next]) + -next_setback_m * edges.direction[i];
            drawn.push_back({point_of(edge_start), point_of(edge_end), 0.0 * metre, point_of({0.0, 0.0}), 0.0});
        }
    }
    // A radius that takes a whole edge leaves two arcs whose ends differ by rounding.
    for (std::size_t i = 0; i < drawn.size(); ++i) drawn[(i + 1) % drawn.size()].from = drawn[i].to;
    return drawn;
}

Area Outline::area() const {
    double doubled_m2 = 0.0;
    for (const OutlinePiece& piece : pieces()) {
        const double radius_m = piece.radius.value();
        doubled_m2 += cross(vector_of(piece.from), vector_of(piece.to));
        doubled_m2 += radius_m * radius_m * (piece.sweep - std::sin(piece.sweep));
    }
    return 0.5 * doubled_m2 * metre * metre;
}

Volume PlateBlank::volume() const {
    Area face = outline.area();
    for (const Outline& slot : slots) face -= slot.area();
    for (const Hole& hole : holes) face -= hole_area(hole);
    return face * thickness;
}

Volume TonguePart::volume() const {
    Volume sum = integral_of_product(thickness, width);
    sum += pad_length * width.at_root() * thickness.at_root();
    for (const Hole& hole : holes) sum -= hole_area(hole) * thickness.at_root();
    return sum;
}

namespace {

// The tongue's upper edge in plan from the root line to the tip and across to the middle line, and
// the slot's corners that belong to its own.
struct SlotEdge {
    std::vector<Vector> tongue;
    std::vector<Vector> slot;
};

std::vector<Vector> upper_edge(const Profile& width) {
    const double length_m = width.length().value();
    std::vector<Vector> edge{{0.0, 0.5 * width.beyond(0.0 * metre).value()}};
    double last_m = 0.0;
    const Profile simple = width.simplified();
    for (const Station& station : simple.stations()) {
        const double at_m = station.at.value();
        if (at_m <= last_m + same_length_m || at_m >= length_m - same_length_m) continue;
        last_m = at_m;
        const double before_m = 0.5 * width.before(station.at).value();
        const double beyond_m = 0.5 * width.beyond(station.at).value();
        if (std::abs(beyond_m - before_m) > same_length_m) edge.push_back({at_m, before_m});
        edge.push_back({at_m, beyond_m});
    }
    edge.push_back({length_m, 0.5 * width.before(width.length()).value()});
    edge.push_back({length_m, 0.0});
    return edge;
}

Vector unit(Vector from, Vector to) {
    const Vector along = to + -1.0 * from;
    return 1.0 / size(along) * along;
}

SlotEdge slot_edge(const Reed& reed) {
    const double clearance_m = reed.slot.clearance.value();
    SlotEdge edge{upper_edge(reed.tongue.width), {}};
    const Vector first = unit(edge.tongue[0], edge.tongue[1]);
    edge.slot.push_back({0.0, edge.tongue[0].y_m + clearance_m / first.x_m});
    for (std::size_t i = 1; i + 1 < edge.tongue.size(); ++i) {
        const Vector normal_in = left_of(unit(edge.tongue[i - 1], edge.tongue[i]));
        const Vector normal_out = left_of(unit(edge.tongue[i], edge.tongue[i + 1]));
        const double share = clearance_m / (1.0 + dot(normal_in, normal_out));
        edge.slot.push_back(edge.tongue[i] + share * (normal_in + normal_out));
    }
    return edge;
}

Outline slot_outline(const SlotEdge& edge, Length corner_radius) {
    Outline outline{{}, corner_radius};
    for (const Vector& corner : edge.slot) outline.corners.push_back(point_of({corner.x_m, -corner.y_m}));
    for (auto corner = edge.slot.rbegin(); corner != edge.slot.rend(); ++corner)
        outline.corners.push_back(point_of(*corner));
    return outline;
}

using Faults = std::vector<Diagnostic>;

void add_fault(Faults& faults, const std::string& message, const std::string& hint) {
    Diagnostic fault;
    fault.message = message;
    fault.hint = hint;
    faults.push_back(fault);
}

// To the micrometre, on the safe side: a limit that is repeated as a value must be accepted.
std::string millimetres(double length_m, double (*rounding)(double)) {
    const double length_um = std::round(length_m * 1e9) / 1e3;
    return fmt::format("{:.6g} mm", rounding(length_um) / 1e3);
}

// An edge of the slot that runs against the tongue's own has swallowed the notch that it follows.
void check_notches(const SlotEdge& edge, Length clearance, Faults& faults) {
    for (std::size_t i = 1; i < edge.slot.size(); ++i) {
        const Vector tongue = edge.tongue[i] + -1.0 * edge.tongue[i - 1];
        const Vector slot = edge.slot[i] + -1.0 * edge.slot[i - 1];
        if (dot(tongue, slot) > same_length_m * size(tongue)) continue;
        const Length from = edge.tongue[i - 1].x_m * metre;
        const Length to = edge.tongue[i].x_m * metre;
        add_fault(faults,
                  fmt::format("slot.clearance: {} does not fit between the tongue's width stations at {} and {}",
                              to_text(clearance), to_text(from), to_text(to)),
                  "a smaller clearance, or width stations farther apart");
    }
}

void check_corner_radius(const Outline& slot, Faults& faults) {
    const Length radius = slot.corner_radius;
    if (radius.value() < 0.0)
        add_fault(faults, fmt::format("slot.corner_radius: {} is negative", to_text(radius)), "0 mm for sharp corners");
    const Edges edges = edges_of(slot.corners);
    const std::size_t edge = tightest_edge(edges);
    const double largest_m = radius_of_edge_m(edges, edge);
    if (radius.value() <= largest_m + rounding_m) return;
    const Vector middle = vector_of(slot.corners[edge]) + 0.5 * edges.length_m[edge] * edges.direction[edge];
    const std::string fits = millimetres(largest_m, std::floor);
    add_fault(faults,
              fmt::format("slot.corner_radius: {} does not fit the slot, whose edge of {} at {} from the root takes at "
                          "most {}",
                          to_text(radius), to_text(edges.length_m[edge] * metre), to_text(middle.x_m * metre), fits),
              fmt::format("a radius of at most {}", fits));
}

// A hole keeps half its diameter of metal to the pad's edge: its middle one diameter from it.
void check_rivets(const Reed& reed, Faults& faults) {
    const Pad& pad = reed.pad;
    if (pad.rivets < 0)
        add_fault(faults, fmt::format("pad.rivets: {} is not a number of rivets", pad.rivets),
                  "0 for a pad that is welded or soldered");
    if (pad.rivets <= 0) return;
    const double diameter_m = pad.rivet_diameter.value();
    if (!(diameter_m > 0.0)) {
        add_fault(faults, fmt::format("pad.rivet_diameter: {} is not a hole", to_text(pad.rivet_diameter)),
                  "rivets: 0 for none");
        return;
    }
    const auto check_middle = [&](double middle_m, std::string_view edge, const std::string& hint) {
        if (middle_m >= diameter_m - same_length_m) return;
        const Length metal = (middle_m - 0.5 * diameter_m) * metre;
        const std::string left = metal.value() > 0.0 ? fmt::format("leaves {} of metal to", to_text(metal)) : "cuts";
        add_fault(faults,
                  fmt::format("pad.rivet_diameter: a hole of {} {} the pad's {}; half its diameter is the least "
                              "(common practice, no source)",
                              to_text(pad.rivet_diameter), left, edge),
                  hint);
    };
    const double across_m = 0.5 * reed.tongue.width.at_root().value();
    const double along_m = 0.5 * pad.length.value() / pad.rivets;
    check_middle(across_m, "sides", fmt::format("a rivet of at most {}", millimetres(across_m, std::floor)));
    check_middle(
        along_m, "ends",
        fmt::format("a rivet of at most {}, a pad of at least {}{}", millimetres(along_m, std::floor),
                    millimetres(2.0 * diameter_m * pad.rivets, std::ceil), pad.rivets > 1 ? ", or fewer rivets" : ""));
}

void check_positive(Length length, std::string_view key, const std::string& hint, Faults& faults) {
    if (!(length.value() > same_length_m))
        add_fault(faults, fmt::format("{}: {} is not more than 0 mm", key, to_text(length)), hint);
}

std::string material_text(const Material& material) {
    if (material.name.empty()) return material.id.empty() ? "unnamed alloy" : material.id;
    return material.condition.empty() ? material.name : material.name + ", " + material.condition;
}

// "A4", "Fs4": the number sign of a sharp means something else in CAD files and file names.
std::string note_suffix(const Reed& reed) {
    if (!reed.note) return {};
    std::string name = fmt::format(" {}", reed.note->name());
    std::replace(name.begin(), name.end(), '#', 's');
    return name;
}

void warn_of_corners(const Reed& reed, const SlotEdge& edge, std::vector<std::string>& warnings) {
    const double radius_m = reed.slot.corner_radius.value();
    const double clearance_m = reed.slot.clearance.value();
    if (radius_m <= clearance_m) return;
    for (std::size_t i = 1; i < edge.slot.size(); ++i) {
        const double turn =
            turn_between(unit(edge.tongue[i - 1], edge.tongue[i]), unit(edge.tongue[i], edge.tongue[i + 1]));
        // Inward corners of the tongue gain room from the rounding of the plate's corner.
        if (turn > -flattest_rounded_turn) continue;
        // Slot corner, arc centre and tongue corner stand in line, 1 / cos(turn / 2) as far apart as
        // radius and clearance are wide.
        const double stretch = 1.0 / std::cos(turn / 2.0);
        const double gap_m = radius_m - stretch * (radius_m - clearance_m);
        if (gap_m >= 0.5 * clearance_m) continue;
        const bool tip = i + 1 == edge.slot.size();
        const std::string corner =
            tip ? "tip corners" : fmt::format("corners at {}", to_text(edge.tongue[i].x_m * metre));
        const std::string left = gap_m > 0.0 ? fmt::format("leaves the tongue's {} {} of the {} clearance", corner,
                                                           millimetres(gap_m, std::round), to_text(reed.slot.clearance))
                                             : fmt::format("puts the tongue's {} {} into the plate", corner,
                                                           millimetres(-gap_m, std::round));
        warnings.push_back(fmt::format(
            "slot.corner_radius: {} {}; a radius of at most {}, a clearance of at least {}, or the tongue's corners "
            "broken to a radius of {} frees them",
            to_text(reed.slot.corner_radius), left,
            millimetres(clearance_m * (stretch - 0.5) / (stretch - 1.0), std::floor),
            millimetres(radius_m * (stretch - 1.0) / (stretch - 0.5), std::ceil),
            millimetres(radius_m - clearance_m, std::ceil)));
    }
}

// The rounded root corners of the slot reach under the tongue's edges and shorten its free length
// there. Were the mean of that shortening lost over the whole width, the pitch of an even tongue
// (f ~ 1 / L^2) would rise by 2 dL / L: an upper estimate, since the tongue bears on them only when
// it swings into the slot.
void warn_of_root_corners(const Reed& reed, std::vector<std::string>& warnings) {
    const double radius_m = reed.slot.corner_radius.value();
    const double over_m = radius_m - reed.slot.clearance.value();
    if (over_m <= 0.0) return;
    const double chord_m = std::sqrt(radius_m * radius_m - over_m * over_m);
    const double overlap_m2 =
        radius_m * over_m - 0.5 * (over_m * chord_m + radius_m * radius_m * std::asin(over_m / radius_m));
    const double shorter_m = 2.0 * overlap_m2 / reed.tongue.width.beyond(0.0 * metre).value();
    const double cents = 1200.0 * std::numbers::log2e * 2.0 * shorter_m / reed.tongue.length().value();
    if (cents < 1.0) return;
    warnings.push_back(fmt::format(
        "slot.corner_radius: {} reaches {} under the tongue's edges at the root and may raise the pitch by up to "
        "{:.1f} cents; a smaller radius, or root corners cut square, frees them",
        to_text(reed.slot.corner_radius), millimetres(radius_m - chord_m, std::ceil), cents));
}

}  // namespace

ReedBlank lay_out_blank(const Reed& reed) {
    const Pad& pad = reed.pad;
    Faults faults;
    check_positive(pad.length, "pad.length", "the tongue is fastened by its pad", faults);
    check_positive(pad.plate_margin, "pad.plate_margin", "the slot would be open at the plate's edge", faults);
    check_positive(reed.slot.plate_thickness, "slot.plate_thickness", "", faults);
    check_positive(reed.slot.clearance, "slot.clearance", "the tongue would rub in its slot", faults);
    check_rivets(reed, faults);
    const SlotEdge edge = slot_edge(reed);
    const Outline slot = slot_outline(edge, reed.slot.corner_radius);
    const std::size_t before_notches = faults.size();
    check_notches(edge, reed.slot.clearance, faults);
    if (faults.size() == before_notches) check_corner_radius(slot, faults);
    if (!faults.empty()) throw InputError(std::move(faults));

    std::vector<Hole> rivets;
    for (int i = 0; i < pad.rivets; ++i)
        rivets.push_back({{-pad.length * ((i + 0.5) / pad.rivets), 0.0 * metre}, pad.rivet_diameter});

    Length half_width = 0.5 * reed.tongue.width.at_root();
    for (const PlanePoint& corner : slot.corners) half_width = std::max(half_width, corner.y);
    half_width += pad.plate_margin;
    const Length behind = -pad.length - pad.plate_margin;
    const Length ahead = reed.tongue.length() + reed.slot.clearance + pad.plate_margin;
    const Outline outline{{{behind, -half_width}, {ahead, -half_width}, {ahead, half_width}, {behind, half_width}},
                          0.0 * metre};

    const std::string suffix = note_suffix(reed);
    return {
        "reed blank" + suffix,
        {"plate" + suffix, material_text(reed.slot.plate_material), reed.slot.plate_thickness, outline, {slot}, rivets},
        {"tongue" + suffix, material_text(reed.tongue.material), reed.tongue.thickness, reed.tongue.width, pad.length,
         rivets}};
}

std::vector<std::string> blank_warnings(const Reed& reed) {
    lay_out_blank(reed);
    std::vector<std::string> warnings;
    warn_of_corners(reed, slot_edge(reed), warnings);
    warn_of_root_corners(reed, warnings);
    return warnings;
}

}  // namespace reedwright
