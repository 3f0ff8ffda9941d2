// A reader of STEP files (ISO 10303-21) that shares nothing with the kernel that wrote them, for
// solids bounded by planes and cylinders. Whatever it does not know or finds unsound it refuses.
#pragma once

#include <array>
#include <cstddef>
#include <map>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace part21 {

/// Why a file is refused.
class Fault : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// An argument of a record.
struct Value {
    enum class Kind { number, text, reference, word, list, nothing };
    Kind kind = Kind::nothing;
    double number = 0.0;
    /// A text, or a word between dots without them.
    std::string text;
    std::size_t reference = 0;
    std::vector<Value> items;
};

/// Record types of an instance (several for a complex one) with their arguments.
using Instance = std::map<std::string, std::vector<Value>>;

/// The text of a file as records. Every reference leads to a record.
struct Records {
    std::map<std::string, std::vector<Value>> header;
    std::map<std::size_t, Instance> data;

    /// The arguments of an instance as one type; throws Fault when it is of another.
    const std::vector<Value>& as(std::size_t id, const std::string& type) const;
    bool is(std::size_t id, const std::string& type) const;
    /// The numbers of all instances of a type, in file order.
    std::vector<std::size_t> all(const std::string& type) const;
};

/// Throws Fault for broken text, a repeated number, or a reference that leads nowhere.
Records read_records(const std::string& text);

/// A MANIFOLD_SOLID_BREP whose faces close: each edge used twice in opposite sense, loops without
/// gaps, every vertex on its curve and surface, every face turned outward.
struct Solid {
    std::string name;
    /// From the boundary alone, exact for planes and cylinders, in the file's cubic units.
    double volume = 0.0;
    std::size_t planes = 0;
    std::size_t cylinders = 0;
    std::size_t edges = 0;
    /// Holes through it, from Euler's formula.
    int genus = 0;
};

/// Throws Fault for a solid that is not sound, or not of planes, cylinders, lines and circles.
std::vector<Solid> read_solids(const Records& records);

/// Where a product stands: its axes and its origin in the frame of the file's root.
struct Place {
    std::array<std::array<double, 3>, 3> axes;
    std::array<double, 3> origin;

    std::array<double, 3> of(const std::array<double, 3>& point) const;
};

/// One occurrence of a product.
struct Occurrence {
    std::string name;
    std::string product;
    /// Name of the product that holds it.
    std::string parent;
    Place place;
};

/// All occurrences in the tree under the one product that nothing holds, from the top down; an occurrence in an
/// assembly that itself occurs twice is told twice. Throws Fault when there is no such tree, an axis is not square to
/// the others, or a placement does not join the shapes of its two products.
std::vector<Occurrence> read_assembly(const Records& records);

/// Throws Fault unless every geometric context counts length in millimetres and angles in radians.
void require_millimetres(const Records& records);

}  // namespace part21
