#include "tests/part21/part21.hpp"

#include <cmath>
#include <set>

namespace part21 {

namespace {

using Triple = std::array<double, 3>;

constexpr double tolerance = 1e-9;

void require(bool sound, std::size_t id, const std::string& what) {
    if (!sound) throw Fault("#" + std::to_string(id) + ": " + what);
}

double dot(const Triple& a, const Triple& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Triple cross(const Triple& a, const Triple& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

Place after(const Place& outer, const Place& inner) {
    Place result{{}, outer.of(inner.origin)};
    for (std::size_t i = 0; i < 3; ++i) {
        const Triple end = outer.of(inner.axes[i]);
        for (std::size_t k = 0; k < 3; ++k) result.axes[i][k] = end[k] - outer.origin[k];
    }
    return result;
}

Place inverse(const Place& place) {
    Place result{};
    for (std::size_t i = 0; i < 3; ++i) {
        for (std::size_t k = 0; k < 3; ++k) result.axes[i][k] = place.axes[k][i];
        result.origin[i] = -dot(place.axes[i], place.origin);
    }
    return result;
}

struct Link {
    std::string name;
    std::size_t child;
    Place place;
};

class AssemblyReader {
public:
    explicit AssemblyReader(const Records& records) : records_(records) {
        for (const std::size_t id : records.all("SHAPE_DEFINITION_REPRESENTATION")) {
            const auto& values = records.as(id, "SHAPE_DEFINITION_REPRESENTATION");
            const std::size_t defined = records.as(values.at(0).reference, "PRODUCT_DEFINITION_SHAPE").at(2).reference;
            if (records.is(defined, "PRODUCT_DEFINITION")) shapes_[defined] = values.at(1).reference;
        }
        for (const std::size_t id : records.all("CONTEXT_DEPENDENT_SHAPE_REPRESENTATION")) read_link(id);
        require(linked_.size() == records.all("NEXT_ASSEMBLY_USAGE_OCCURRENCE").size(), 0,
                "an occurrence has no place, or two");
    }

    std::vector<Occurrence> read() {
        std::vector<std::size_t> roots;
        for (const auto& [definition, shape] : shapes_)
            if (!children_.contains(definition)) roots.push_back(definition);
        require(roots.size() == 1, 0, "not one product is the root");
        walk(roots.front(), {{{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}}, {0, 0, 0}}, 0);
        return std::move(found_);
    }

private:
    Triple triple(std::size_t id, const std::string& type) const {
        const auto& items = records_.as(id, type).at(1).items;
        require(items.size() == 3, id, "not three coordinates");
        return {items[0].number, items[1].number, items[2].number};
    }

    Place place(std::size_t id) const {
        const auto& values = records_.as(id, "AXIS2_PLACEMENT_3D");
        const Triple z = triple(values.at(2).reference, "DIRECTION");
        const Triple x = triple(values.at(3).reference, "DIRECTION");
        require(std::abs(dot(z, z) - 1.0) < tolerance && std::abs(dot(x, x) - 1.0) < tolerance &&
                    std::abs(dot(x, z)) < tolerance,
                id, "its axes are not square");
        return {{x, cross(z, x), z}, triple(values.at(1).reference, "CARTESIAN_POINT")};
    }

    void read_link(std::size_t id) {
        const auto& values = records_.as(id, "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION");
        const std::size_t usage = records_.as(values.at(1).reference, "PRODUCT_DEFINITION_SHAPE").at(2).reference;
        const auto& usage_values = records_.as(usage, "NEXT_ASSEMBLY_USAGE_OCCURRENCE");
        const std::size_t parent = usage_values.at(3).reference;
        const std::size_t child = usage_values.at(4).reference;
        const std::size_t relation = values.at(0).reference;
        const auto& joined = records_.as(relation, "REPRESENTATION_RELATIONSHIP");
        require(joined.at(2).reference == shapes_.at(child) && joined.at(3).reference == shapes_.at(parent), relation,
                "a placement does not join its products");
        const auto& moved =
            records_.as(records_.as(relation, "REPRESENTATION_RELATIONSHIP_WITH_TRANSFORMATION").at(0).reference,
                        "ITEM_DEFINED_TRANSFORMATION");
        links_[parent].push_back({usage_values.at(1).text, child,
                                  after(place(moved.at(3).reference), inverse(place(moved.at(2).reference)))});
        children_.insert(child);
        linked_.insert(usage);
    }

    std::string name_of(std::size_t definition) const {
        const std::size_t formation = records_.as(definition, "PRODUCT_DEFINITION").at(2).reference;
        for (const char* type : {"PRODUCT_DEFINITION_FORMATION", "PRODUCT_DEFINITION_FORMATION_WITH_SPECIFIED_SOURCE"})
            if (records_.is(formation, type))
                return records_.as(records_.as(formation, type).at(2).reference, "PRODUCT").at(1).text;
        throw Fault("#" + std::to_string(definition) + ": no product");
    }

    void walk(std::size_t definition, const Place& here, int depth) {
        require(depth < 10, definition, "an assembly holds itself");
        for (const Link& link : links_[definition]) {
            const Place there = after(here, link.place);
            found_.push_back({link.name, name_of(link.child), name_of(definition), there});
            walk(link.child, there, depth + 1);
        }
    }

    const Records& records_;
    std::map<std::size_t, std::size_t> shapes_;
    std::map<std::size_t, std::vector<Link>> links_;
    std::set<std::size_t> children_;
    std::set<std::size_t> linked_;
    std::vector<Occurrence> found_;
};

}  // namespace

std::array<double, 3> Place::of(const std::array<double, 3>& point) const {
    Triple result = origin;
    for (std::size_t i = 0; i < 3; ++i)
        for (std::size_t k = 0; k < 3; ++k) result[k] += point[i] * axes[i][k];
    return result;
}

std::vector<Occurrence> read_assembly(const Records& records) {
    try {
        return AssemblyReader(records).read();
    } catch (const std::out_of_range&) {
        throw Fault("a record of the assembly is missing");
    }
}

}  // namespace part21
