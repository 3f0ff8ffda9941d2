// Binary glTF of an assembly, for viewers.
#pragma once

#include "cad_export/product_tree.hpp"

#include <string>

namespace reedwright {

/// A binary glTF 2.0 file of the tree's root: metres, y up, nodes named as occurrences, meshes as products, coloured by
/// alloy. Leaves its triangles on the solids. To be called within a KernelSession.
/// Throws KernelFailure, and std::runtime_error when there is no place for temporary files.
std::string glb_of_tree(const ProductTree& tree);

}  // namespace reedwright
