#include "tests/part21/part21.hpp"

#include <cmath>
#include <numbers>
#include <set>

namespace part21 {

namespace {

// Files carry 15 digits; this is far above their rounding and far below a micrometre.
constexpr double tolerance = 1e-6;

struct Vector {
    double x, y, z;
};
Vector operator-(Vector a, Vector b) {
    return {a.x - b.x, a.y - b.y, a.z - b.z};
}
Vector operator*(double k, Vector a) {
    return {k * a.x, k * a.y, k * a.z};
}
double dot(Vector a, Vector b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}
Vector cross(Vector a, Vector b) {
    return {a.y * b.z - a.z * b.y, a.z * b.x - a.x * b.z, a.x * b.y - a.y * b.x};
}
double size(Vector a) {
    return std::sqrt(dot(a, a));
}

void require(bool sound, std::size_t id, const std::string& what) {
    if (!sound) throw Fault("#" + std::to_string(id) + ": " + what);
}

struct Axes {
    Vector origin, x, y, z;
    double angle_of(Vector point) const { return std::atan2(dot(point - origin, y), dot(point - origin, x)); }
};

// One use of an edge: from, to, and for a circle the angle swept about its axis.
struct Use {
    std::size_t edge;
    std::size_t start_vertex, end_vertex;
    Vector from, to;
    bool circle;
    Axes axes;
    double radius, sweep;
};

class ShellReader {
public:
    ShellReader(const Records& records, Solid& solid) : records_(records), solid_(solid) {}

    void read(std::size_t shell) {
        std::size_t loops = 0;
        const auto& faces = records_.as(shell, "CLOSED_SHELL").at(1).items;
        for (const Value& face : faces) loops += read_face(face.reference);
        for (const auto& [edge, senses] : uses_)
            require(senses == std::vector<bool>{false, true} || senses == std::vector<bool>{true, false}, edge,
                    "an edge is not used twice in opposite sense");
        solid_.edges = uses_.size();
        // Euler and Poincare: V - E + F - (L - F) = 2 (1 - genus), L loops.
        const auto count = [](std::size_t n) { return static_cast<int>(n); };
        const int euler = count(vertices_.size()) - count(uses_.size()) + 2 * count(faces.size()) - count(loops);
        require(euler % 2 == 0, shell, "the faces do not make a closed surface");
        solid_.genus = 1 - euler / 2;
        require(solid_.volume > 0.0, shell, "the solid is inside out");
    }

private:
    Vector coordinates(std::size_t id, const std::string& type) const {
        const auto& values = records_.as(id, type).at(1).items;
        require(values.size() == 3, id, "not three coordinates");
        return {values[0].number, values[1].number, values[2].number};
    }
    Vector direction(std::size_t id) const {
        const Vector given = coordinates(id, "DIRECTION");
        require(size(given) > tolerance, id, "a direction without length");
        return 1.0 / size(given) * given;
    }
    Axes axes(std::size_t id) const {
        const auto& values = records_.as(id, "AXIS2_PLACEMENT_3D");
        const Vector z = direction(values.at(2).reference);
        const Vector towards = direction(values.at(3).reference);
        const Vector square = towards - dot(towards, z) * z;
        require(size(square) > tolerance, id, "an axis without direction");
        const Vector x = 1.0 / size(square) * square;
        return {coordinates(values.at(1).reference, "CARTESIAN_POINT"), x, cross(z, x), z};
    }
    Vector place(std::size_t vertex) {
        vertices_.insert(vertex);
        return coordinates(records_.as(vertex, "VERTEX_POINT").at(1).reference, "CARTESIAN_POINT");
    }

    Use read_use(std::size_t oriented, bool loop_sense) {
        const auto& use_values = records_.as(oriented, "ORIENTED_EDGE");
        const std::size_t id = use_values.at(3).reference;
        const auto& values = records_.as(id, "EDGE_CURVE");
        const std::size_t curve = values.at(3).reference;
        const bool along = values.at(4).text == "T";
        Use use{id, values.at(1).reference, values.at(2).reference, {}, {}, records_.is(curve, "CIRCLE"), {}, 0.0, 0.0};
        use.from = place(use.start_vertex);
        use.to = place(use.end_vertex);
        if (use.circle) {
            const auto& circle = records_.as(curve, "CIRCLE");
            use.axes = axes(circle.at(1).reference);
            use.radius = circle.at(2).number;
            for (const Vector& end : {use.from, use.to}) {
                const Vector arm = end - use.axes.origin;
                require(std::abs(size(arm) - use.radius) < tolerance && std::abs(dot(arm, use.axes.z)) < tolerance, id,
                        "a vertex is off its circle");
            }
            use.sweep = use.axes.angle_of(use.to) - use.axes.angle_of(use.from);
            const double turn = 2.0 * std::numbers::pi;
            if (use.start_vertex == use.end_vertex)
                use.sweep = along ? turn : -turn;
            else if (along && use.sweep < 0.0)
                use.sweep += turn;
            else if (!along && use.sweep > 0.0)
                use.sweep -= turn;
        } else {
            const auto& line = records_.as(curve, "LINE");
            const Vector origin = coordinates(line.at(1).reference, "CARTESIAN_POINT");
            const Vector ahead =
                (along ? 1.0 : -1.0) * direction(records_.as(line.at(2).reference, "VECTOR").at(1).reference);
            for (const Vector& end : {use.from, use.to})
                require(size(cross(end - origin, ahead)) < tolerance, id, "a vertex is off its line");
            require(dot(use.to - use.from, ahead) > tolerance, id, "an edge runs against its line");
        }
        const bool forward = (use_values.at(4).text == "T") == loop_sense;
        uses_[id].push_back(forward);
        if (!forward) {
            std::swap(use.from, use.to);
            std::swap(use.start_vertex, use.end_vertex);
            use.sweep = -use.sweep;
        }
        return use;
    }

    std::vector<Use> read_loop(std::size_t bound) {
        const auto& values = records_.as(bound, records_.is(bound, "FACE_BOUND") ? "FACE_BOUND" : "FACE_OUTER_BOUND");
        const bool sense = values.at(2).text == "T";
        const auto& edges = records_.as(values.at(1).reference, "EDGE_LOOP").at(1).items;
        std::vector<Use> loop;
        for (const Value& edge : edges) loop.insert(sense ? loop.end() : loop.begin(), read_use(edge.reference, sense));
        for (std::size_t i = 0; i < loop.size(); ++i)
            require(loop[i].end_vertex == loop[(i + 1) % loop.size()].start_vertex, bound, "a loop has a gap");
        return loop;
    }

    // Each face adds a third of the flux of the position vector through it (Gauss).
    std::size_t read_face(std::size_t face) {
        const auto& values = records_.as(face, "ADVANCED_FACE");
        const std::size_t surface = values.at(2).reference;
        const double side = values.at(3).text == "T" ? 1.0 : -1.0;
        const bool plane = records_.is(surface, "PLANE");
        const auto& shape = records_.as(surface, plane ? "PLANE" : "CYLINDRICAL_SURFACE");
        const Axes own = axes(shape.at(1).reference);
        double area = 0.0;
        for (const Value& bound : values.at(1).items)
            for (const Use& use : read_loop(bound.reference))
                area += plane ? plane_area(use, own) : cylinder_area(use, own, shape.at(2).number);
        require(side * area > 0.0, face, "a face is turned inside out");
        if (plane) solid_.volume += area * dot(own.origin, own.z) / 3.0;
        ++(plane ? solid_.planes : solid_.cylinders);
        return values.at(1).items.size();
    }

    // Area to the left of an edge about the plane's axis: a triangle to the origin, and for an arc
    // the segment between it and its chord.
    double plane_area(const Use& use, const Axes& plane) const {
        for (const Vector& end : {use.from, use.to})
            require(std::abs(dot(end - plane.origin, plane.z)) < tolerance, use.edge, "a vertex is off its plane");
        const double triangle = 0.5 * dot(plane.z, cross(use.from - plane.origin, use.to - plane.origin));
        if (!use.circle) return triangle;
        const double facing = dot(use.axes.z, plane.z);
        require(std::abs(std::abs(facing) - 1.0) < tolerance, use.edge, "a circle is not in its plane");
        return triangle + 0.5 * use.radius * use.radius * facing * (use.sweep - std::sin(use.sweep));
    }

    // On a cylinder the loop's integral of height gives the area (Green): dA = radius dangle dheight.
    // Straight edges along the axis add nothing. The flux of the position vector is
    // (centre . radial + radius) dA, integrated the same way and added to the volume here.
    double cylinder_area(const Use& use, const Axes& cylinder, double radius) {
        for (const Vector& end : {use.from, use.to}) {
            const Vector arm = end - cylinder.origin;
            require(std::abs(size(arm - dot(arm, cylinder.z) * cylinder.z) - radius) < tolerance, use.edge,
                    "a vertex is off its cylinder");
        }
        if (!use.circle) {
            require(size(cross(use.to - use.from, cylinder.z)) < tolerance, use.edge,
                    "a line is not along its cylinder");
            return 0.0;
        }
        const double facing = dot(use.axes.z, cylinder.z);
        const Vector offset = use.axes.origin - cylinder.origin;
        const double height = dot(offset, cylinder.z);
        require(std::abs(std::abs(facing) - 1.0) < tolerance && std::abs(use.radius - radius) < tolerance &&
                    size(offset - height * cylinder.z) < tolerance,
                use.edge, "a circle is not round its cylinder");
        const double sweep = facing * use.sweep;
        const double start = cylinder.angle_of(use.from);
        const double radial_x = std::sin(start + sweep) - std::sin(start);
        const double radial_y = std::cos(start) - std::cos(start + sweep);
        const double flux =
            dot(cylinder.origin, cylinder.x) * radial_x + dot(cylinder.origin, cylinder.y) * radial_y + radius * sweep;
        solid_.volume -= radius * height * flux / 3.0;
        return -radius * height * sweep;
    }

    const Records& records_;
    Solid& solid_;
    std::map<std::size_t, std::vector<bool>> uses_;
    std::set<std::size_t> vertices_;
};

}  // namespace

std::vector<Solid> read_solids(const Records& records) {
    std::vector<Solid> solids;
    for (const std::size_t id : records.all("MANIFOLD_SOLID_BREP")) {
        const auto& values = records.as(id, "MANIFOLD_SOLID_BREP");
        Solid solid;
        solid.name = values.at(0).text;
        try {
            ShellReader(records, solid).read(values.at(1).reference);
        } catch (const std::out_of_range&) {
            throw Fault("#" + std::to_string(id) + ": a record has too few arguments");
        }
        solids.push_back(solid);
    }
    return solids;
}

}  // namespace part21
