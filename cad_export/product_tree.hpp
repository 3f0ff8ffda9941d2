// Products and how they are assembled, as they go into a STEP or glTF file; and the trees of what the program draws.
#pragma once

#include "core/plate/set_parts.hpp"

#include <TopoDS_Solid.hxx>
#include <gp_Trsf.hxx>
#include <string>
#include <vector>

namespace reedwright {

/// An occurrence of a product in the assembly above it.
struct Component {
    std::string name;
    gp_Trsf placement;
    /// Index of the product.
    std::size_t product;
};

/// A part with one solid, or an assembly of components.
struct Product {
    std::string name;
    /// Empty for an assembly.
    std::string material;
    TopoDS_Solid solid;
    std::vector<Component> components;

    bool is_part() const { return components.empty(); }
};

/// Every product stands before those that hold it; the last is the root.
using ProductTree = std::vector<Product>;

/// A plate with its tongue on its upper face. Throws as plate_solid() and tongue_solid() do.
ProductTree tree_of_blank(const ReedBlank& blank);

/// The set as assembled(): an assembly for each plate with its parts, and the comb. Its first products are the parts,
/// which are those of the set (parts_of()), in their order.
/// Throws as plate_solid(), tongue_solid() and rivet_solid() do; std::invalid_argument for a set without plates.
ProductTree tree_of_set(const PlateSet& set, const std::vector<SetPart>& parts, const std::string& name);

}  // namespace reedwright
