#include "cad_export/glb_writer.hpp"

#include "cad_export/cad_interface.hpp"
#include "cad_export/kernel_reason.hpp"
#include "cad_export/palette.hpp"
#include "cad_export/xcaf_document.hpp"
#include "core/output/temporary_folder.hpp"
#include "core/output/whole_file.hpp"

#include <BRepMesh_IncrementalMesh.hxx>
#include <Message_ProgressRange.hxx>
#include <Quantity_Color.hxx>
#include <RWGltf_CafWriter.hxx>
#include <TColStd_IndexedDataMapOfStringString.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <filesystem>
#include <fstream>
#include <iterator>

namespace reedwright {

namespace {

// How far triangles may lie from a round wall, and how far neighbours may turn: a rivet of 0.8 mm takes 20 sides, a
// rounded corner of a slot four.
constexpr double deflection_mm = 5e-3;
constexpr double turn_rad = 0.4;

void add_colours(const ProductTree& tree, const XcafDocument& document) {
    const Handle(XCAFDoc_ColorTool) colours = XCAFDoc_DocumentTool::ColorTool(document.handle()->Main());
    for (std::size_t i = 0; i < tree.size(); ++i) {
        if (!tree[i].is_part()) continue;
        const Colour colour = colour_of(alloy_class(tree[i].material));
        colours->SetColor(document.products()[i],
                          Quantity_Color(colour.red, colour.green, colour.blue, Quantity_TOC_sRGB), XCAFDoc_ColorGen);
    }
}

std::string written(const ProductTree& tree) {
    for (const Product& product : tree)
        if (product.is_part()) BRepMesh_IncrementalMesh(product.solid, deflection_mm, false, turn_rad, false);
    const XcafDocument document(tree);
    add_colours(tree, document);

    // The kernel writes glTF to files only.
    const TemporaryFolder folder("gltf");
    const std::filesystem::path file = folder.path() / "set.glb";
    RWGltf_CafWriter writer(file.c_str(), true);
    // One mesh for a part, not for each of its faces.
    writer.SetMergeFaces(true);
    writer.SetNodeNameFormat(RWMesh_NameFormat_Instance);
    writer.SetMeshNameFormat(RWMesh_NameFormat_Product);
    // The document says that it counts in millimetres, but not which way is up.
    writer.ChangeCoordinateSystemConverter().SetInputCoordinateSystem(RWMesh_CoordinateSystem_Zup);
    if (!writer.Perform(document.handle(), TColStd_IndexedDataMapOfStringString(), Message_ProgressRange())) {
        // The kernel gives no reason. Where nobody can write there, this tells why, and the fault is not the kernel's.
        write_whole_file(folder.path() / "set", std::string(std::size_t{1} << 20U, ' '), Existing::keep);
        throw KernelFailure(tree.back().name, "its glTF was not written");
    }
    std::ifstream stream(file, std::ios::binary);
    std::string bytes{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
    if (bytes.empty()) throw KernelFailure(tree.back().name, "its glTF is empty");
    return bytes;
}

}  // namespace

std::string glb_of_tree(const ProductTree& tree) {
    try {
        return written(tree);
    } catch (const Standard_Failure& failure) {
        throw KernelFailure(tree.back().name, kernel_reason(failure));
    }
}

}  // namespace reedwright
