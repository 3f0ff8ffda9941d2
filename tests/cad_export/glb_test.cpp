// The binary glTF of a set of plates, read by its own rules (glTF 2.0, ISO/IEC 12113): chunks, accessors, the tree of
// nodes, and the triangles as closed bodies in their places.
#include "cad_export/cad_loader.hpp"
#include "cad_export/palette.hpp"
#include "tests/cad_export/expected_places.hpp"
#include "tests/plate/sample_sets.hpp"

#include <gmock/gmock.h>
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <limits>
#include <map>
#include <nlohmann/json.hpp>
#include <numbers>
#include <set>

namespace reedwright {
namespace {

using nlohmann::json;
using ::testing::SizeIs;

// Single precision on some 0.1 m.
constexpr double place_tolerance_m = 2e-8;
// What DrawnSet::glb() promises.
constexpr double deflection_mm = 5e-3;

template <class T>
T read_at(const std::string& bytes, std::size_t at) {
    if (at + sizeof(T) > bytes.size()) throw std::out_of_range("beyond the end");
    T value;
    std::memcpy(&value, bytes.data() + at, sizeof(T));
    return value;
}

struct Glb {
    json tree;
    std::string binary;
};

// The header and the two chunks, whose lengths must be those of the file and multiples of four.
Glb read_glb(const std::string& bytes) {
    EXPECT_EQ(bytes.substr(0, 4), "glTF");
    EXPECT_EQ(read_at<std::uint32_t>(bytes, 4), 2U);
    EXPECT_EQ(read_at<std::uint32_t>(bytes, 8), bytes.size());
    const std::size_t json_length = read_at<std::uint32_t>(bytes, 12);
    EXPECT_EQ(bytes.substr(16, 4), "JSON");
    EXPECT_EQ(json_length % 4, 0U);
    const std::size_t binary_at = 20 + json_length;
    const std::size_t binary_length = read_at<std::uint32_t>(bytes, binary_at);
    EXPECT_EQ(bytes.substr(binary_at + 4, 4), std::string("BIN\0", 4));
    EXPECT_EQ(binary_length % 4, 0U);
    EXPECT_EQ(binary_at + 8 + binary_length, bytes.size());
    return {json::parse(bytes.substr(20, json_length)), bytes.substr(binary_at + 8)};
}

// Component types of glTF 2.0, section 3.6.2.2, table of sizes.
std::size_t size_of_component(int type) {
    switch (type) {
        case 5121:
            return 1;
        case 5123:
            return 2;
        case 5125:
        case 5126:
            return 4;
        default:
            throw std::invalid_argument("component type " + std::to_string(type));
    }
}

class Accessor {
public:
    Accessor(const Glb& file, std::size_t index) : file_(file), own_(file.tree.at("accessors").at(index)) {
        const json& view = file.tree.at("bufferViews").at(own_.at("bufferView").get<std::size_t>());
        component_ = own_.at("componentType").get<int>();
        width_ = own_.at("type") == "VEC3" ? 3 : 1;
        const std::size_t size = width_ * size_of_component(component_);
        stride_ = view.value("byteStride", size);
        const std::size_t offset = own_.value("byteOffset", std::size_t{0});
        start_ = view.value("byteOffset", std::size_t{0}) + offset;
        EXPECT_GT(count(), 0U);
        EXPECT_EQ(start_ % size_of_component(component_), 0U);
        EXPECT_LE(offset + stride_ * (count() - 1) + size, view.at("byteLength").get<std::size_t>());
        EXPECT_LE(view.value("byteOffset", std::size_t{0}) + view.at("byteLength").get<std::size_t>(),
                  file.tree.at("buffers").at(0).at("byteLength").get<std::size_t>());
    }

    std::size_t count() const { return own_.at("count").get<std::size_t>(); }
    const json& own() const { return own_; }

    Point triple(std::size_t i) const {
        EXPECT_EQ(component_, 5126);
        EXPECT_EQ(width_, 3U);
        Point value{};
        for (std::size_t k = 0; k < 3; ++k) value[k] = read_at<float>(file_.binary, start_ + i * stride_ + 4 * k);
        return value;
    }

    std::size_t index(std::size_t i) const {
        EXPECT_EQ(width_, 1U);
        const std::size_t at = start_ + i * stride_;
        if (component_ == 5123) return read_at<std::uint16_t>(file_.binary, at);
        EXPECT_EQ(component_, 5125);
        return read_at<std::uint32_t>(file_.binary, at);
    }

private:
    const Glb& file_;
    const json& own_;
    int component_ = 0;
    std::size_t width_ = 0;
    std::size_t stride_ = 0;
    std::size_t start_ = 0;
};

Point cross(const Point& a, const Point& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}
double dot(const Point& a, const Point& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

// A node's rotation (a unit quaternion x, y, z, w), then its translation.
Point moved(const json& node, const Point& point) {
    Point result = point;
    if (node.contains("rotation")) {
        const auto q = node.at("rotation").get<std::array<double, 4>>();
        const Point axis{q[0], q[1], q[2]};
        EXPECT_NEAR(dot(axis, axis) + q[3] * q[3], 1.0, 1e-6);
        Point twice = cross(axis, point);
        for (double& value : twice) value *= 2.0;
        const Point turned = cross(axis, twice);
        for (std::size_t k = 0; k < 3; ++k) result[k] += q[3] * twice[k] + turned[k];
    }
    EXPECT_FALSE(node.contains("matrix") || node.contains("scale"));
    if (node.contains("translation")) {
        const auto shift = node.at("translation").get<Point>();
        for (std::size_t k = 0; k < 3; ++k) result[k] += shift[k];
    }
    return result;
}

struct Body {
    std::string parent;
    std::string mesh;
    std::vector<Point> points;
    double volume_mm3 = 0.0;
    std::array<double, 4> colour{};
};

class Scene {
public:
    explicit Scene(const std::string& bytes) : file_(read_glb(bytes)) {
        const json& tree = file_.tree;
        EXPECT_EQ(tree.at("asset").at("version"), "2.0");
        EXPECT_EQ(tree.at("buffers").size(), 1U);
        EXPECT_LE(tree.at("buffers").at(0).at("byteLength").get<std::size_t>(), file_.binary.size());
        const json& roots = tree.at("scenes").at(tree.value("scene", std::size_t{0})).at("nodes");
        EXPECT_EQ(roots.size(), 1U);
        root = tree.at("nodes").at(roots.at(0).get<std::size_t>()).at("name");
        walk(roots.at(0).get<std::size_t>(), {});
        EXPECT_EQ(seen_.size(), tree.at("nodes").size());
    }

    std::string root;
    std::vector<std::string> assemblies;
    std::map<std::string, Body> bodies;
    const json& tree() const { return file_.tree; }

private:
    void walk(std::size_t index, std::vector<std::size_t> path) {
        EXPECT_TRUE(seen_.insert(index).second) << "node " << index << " twice";
        const json& node = file_.tree.at("nodes").at(index);
        const std::string parent =
            path.empty() ? std::string() : file_.tree.at("nodes").at(path.back()).at("name").get<std::string>();
        path.push_back(index);
        if (node.contains("mesh")) {
            EXPECT_FALSE(node.contains("children"));
            EXPECT_TRUE(bodies.emplace(node.at("name"), body(node, parent, path)).second) << node.at("name");
            return;
        }
        if (!parent.empty()) assemblies.push_back(node.at("name"));
        for (const json& child : node.at("children")) walk(child.get<std::size_t>(), path);
    }

    Body body(const json& node, const std::string& parent, const std::vector<std::size_t>& path) const {
        const json& mesh = file_.tree.at("meshes").at(node.at("mesh").get<std::size_t>());
        Body result;
        result.parent = parent;
        result.mesh = mesh.at("name");
        for (const json& primitive : mesh.at("primitives")) add(primitive, path, result);
        return result;
    }

    void add(const json& primitive, const std::vector<std::size_t>& path, Body& result) const {
        EXPECT_EQ(primitive.value("mode", 4), 4);
        const json& material = file_.tree.at("materials").at(primitive.at("material").get<std::size_t>());
        result.colour = material.at("pbrMetallicRoughness").at("baseColorFactor").get<std::array<double, 4>>();
        const Accessor places(file_, primitive.at("attributes").at("POSITION").get<std::size_t>());
        const Accessor normals(file_, primitive.at("attributes").at("NORMAL").get<std::size_t>());
        const Accessor indices(file_, primitive.at("indices").get<std::size_t>());
        EXPECT_EQ(places.count(), normals.count());
        EXPECT_EQ(indices.count() % 3, 0U);

        Point least;
        Point most;
        least.fill(std::numeric_limits<double>::infinity());
        most.fill(-std::numeric_limits<double>::infinity());
        std::vector<Point> points;
        for (std::size_t i = 0; i < places.count(); ++i) {
            Point point = places.triple(i);
            for (std::size_t k = 0; k < 3; ++k) {
                least[k] = std::min(least[k], point[k]);
                most[k] = std::max(most[k], point[k]);
            }
            EXPECT_NEAR(dot(normals.triple(i), normals.triple(i)), 1.0, 1e-5);
            for (auto node = path.rbegin(); node != path.rend(); ++node)
                point = moved(file_.tree.at("nodes").at(*node), point);
            points.push_back(point);
        }
        const auto said_least = places.own().at("min").get<Point>();
        const auto said_most = places.own().at("max").get<Point>();
        for (std::size_t k = 0; k < 3; ++k) {
            EXPECT_NEAR(said_least[k], least[k], place_tolerance_m);
            EXPECT_NEAR(said_most[k], most[k], place_tolerance_m);
        }
        for (std::size_t i = 0; i + 2 < indices.count(); i += 3) {
            std::array<Point, 3> corner{};
            for (std::size_t k = 0; k < 3; ++k) {
                const std::size_t at = indices.index(i + k);
                ASSERT_LT(at, points.size());
                corner[k] = points[at];
                // About the body's own first point, so that single precision far from the origin adds little.
                for (std::size_t c = 0; c < 3; ++c) corner[k][c] -= points[0][c];
            }
            result.volume_mm3 += dot(corner[0], cross(corner[1], corner[2])) / 6.0 * 1e9;
        }
        result.points.insert(result.points.end(), points.begin(), points.end());
    }

    Glb file_;
    std::set<std::size_t> seen_;
};

// The area of a part's round walls, on which triangles may lie beside the wall by the deflection.
struct RoundArea {
    double operator()(const PlateBlank& plate) const {
        double length_mm = 0.0;
        for (const Hole& hole : plate.holes) length_mm += std::numbers::pi * in(hole.diameter, millimetre);
        for (const Outline& slot : plate.slots)
            for (const OutlinePiece& piece : slot.pieces())
                length_mm += std::abs(piece.sweep) * in(piece.radius, millimetre);
        return length_mm * in(plate.thickness, millimetre);
    }
    double operator()(const TonguePart& tongue) const {
        double area_mm2 = 0.0;
        for (const Hole& hole : tongue.holes)
            area_mm2 += std::numbers::pi * in(hole.diameter, millimetre) * in(tongue.thickness.at_root(), millimetre);
        return area_mm2;
    }
    double operator()(const RivetPart& rivet) const {
        return std::numbers::pi * in(rivet.diameter, millimetre) * in(rivet.length, millimetre);
    }
};

class GlbOf : public ::testing::TestWithParam<SampleSet> {
protected:
    const PlateSet& set() const { return GetParam().set; }
    std::string bytes() const { return load_cad({REEDWRIGHT_CAD_FOLDER}).draw_set(set(), GetParam().name)->glb(); }
};

TEST_P(GlbOf, has_a_node_for_each_assembly_and_part_named_as_its_occurrence) {
    const Scene scene(bytes());
    const auto expected = expected_parts(set(), GetParam().name);
    EXPECT_EQ(scene.root, GetParam().name);
    EXPECT_THAT(scene.bodies, SizeIs(expected.size()));
    EXPECT_THAT(scene.assemblies, SizeIs(set().plates.size()));
    EXPECT_THAT(scene.tree().at("nodes"), SizeIs(1 + expected.size() + set().plates.size()));
    for (const ExpectedPart& part : expected) {
        ASSERT_TRUE(scene.bodies.contains(part.occurrence)) << part.occurrence;
        EXPECT_EQ(scene.bodies.at(part.occurrence).parent, part.parent);
    }
}

TEST_P(GlbOf, has_closed_bodies_of_nearly_the_analytic_volumes_turned_outward) {
    const Scene scene(bytes());
    std::map<std::string, SetPart> parts;
    for (const SetPart& part : parts_of(set())) parts.emplace(part.name(), part);
    for (const auto& [name, body] : scene.bodies) {
        const SetPart& part = parts.at(body.mesh);
        const double analytic = part.volume().value() * 1e9;
        const double beside = deflection_mm * std::visit(RoundArea(), part.shape);
        // Single precision of places adds some 1e-7 of the body's length over its thickness.
        EXPECT_NEAR(body.volume_mm3, analytic, beside + 2e-5 * analytic) << name;
    }
}

TEST_P(GlbOf, is_in_metres_with_y_up_and_each_part_where_the_assembly_says) {
    const Scene scene(bytes());
    std::map<std::string, SetPart> parts;
    for (const SetPart& part : parts_of(set())) parts.emplace(part.name(), part);
    for (const ExpectedPart& expected : expected_parts(set(), GetParam().name)) {
        const Body& body = scene.bodies.at(expected.occurrence);
        const auto* tongue = std::get_if<TonguePart>(&parts.at(body.mesh).shape);
        if (!tongue) continue;
        // The corners of pad and tip on the flat side; x, y, z of ours are x, -z, y of a viewer.
        const auto mm = [](Length length) { return in(length, millimetre); };
        for (const double side : {-0.5, 0.5})
            for (const Point& corner :
                 {Point{-mm(tongue->pad_length), side * mm(tongue->width.at_root()), 0.0},
                  Point{mm(tongue->width.length()), side * mm(tongue->width.before(tongue->width.length())), 0.0}}) {
                const Point ours = expected.place(corner);
                const Point theirs{1e-3 * ours[0], 1e-3 * ours[2], -1e-3 * ours[1]};
                double nearest = std::numeric_limits<double>::infinity();
                for (const Point& point : body.points)
                    nearest =
                        std::min(nearest, std::hypot(point[0] - theirs[0], point[1] - theirs[1], point[2] - theirs[2]));
                EXPECT_LT(nearest, place_tolerance_m) << expected.occurrence;
            }
    }
}

// The linear value of a screen's (IEC 61966-2-1).
double linear(double srgb) {
    return srgb <= 0.04045 ? srgb / 12.92 : std::pow((srgb + 0.055) / 1.055, 2.4);
}

TEST_P(GlbOf, shows_each_part_in_the_colour_of_its_alloy) {
    const Scene scene(bytes());
    std::map<std::string, SetPart> parts;
    for (const SetPart& part : parts_of(set())) parts.emplace(part.name(), part);
    for (const auto& [name, body] : scene.bodies) {
        const Colour colour = colour_of(alloy_class(parts.at(body.mesh).material()));
        // The kernel keeps colours in single precision.
        EXPECT_NEAR(body.colour[0], linear(colour.red), 1e-6) << name;
        EXPECT_NEAR(body.colour[1], linear(colour.green), 1e-6) << name;
        EXPECT_NEAR(body.colour[2], linear(colour.blue), 1e-6) << name;
        EXPECT_EQ(body.colour[3], 1.0);
    }
}

INSTANTIATE_TEST_SUITE_P(A, GlbOf, ::testing::ValuesIn(sample_sets(REEDWRIGHT_SOURCE_DIR)),
                         [](const auto& sample) { return "set_of_" + sample.param.name; });

}  // namespace
}  // namespace reedwright
