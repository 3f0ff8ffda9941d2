// The STEP file of an assembly: names, colours, and the same bytes every time.
#pragma once

#include "cad_export/cad_interface.hpp"
#include "cad_export/product_tree.hpp"

#include <string>

namespace reedwright {

/// The text of a STEP file of the tree's root, in millimetres: products, occurrences and solids named in ASCII, parts
/// coloured by their alloy, which is the product's description. The same tree gives the same bytes in any process.
/// To be called within a KernelSession. Throws KernelFailure.
std::string step_of_tree(const ProductTree& tree, StepSchema schema);

}  // namespace reedwright
