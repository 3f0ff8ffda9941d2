#include "cad_export/xcaf_document.hpp"

#include "core/plate/unique_names.hpp"

#include <TDataStd_Name.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>

namespace reedwright {

namespace {

void set_name(const TDF_Label& label, const std::string& name) {
    TDataStd_Name::Set(label, TCollection_ExtendedString(ascii_text(name).c_str()));
}

}  // namespace

XcafDocument::XcafDocument(const ProductTree& tree) {
    XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document_);
    XCAFDoc_DocumentTool::SetLengthUnit(document_, 1e-3);
    const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document_->Main());
    for (const Product& product : tree) {
        const TDF_Label label = product.is_part() ? shapes->AddShape(product.solid, false) : shapes->NewShape();
        set_name(label, product.name);
        for (const Component& component : product.components)
            set_name(shapes->AddComponent(label, products_.at(component.product), TopLoc_Location(component.placement)),
                     component.name);
        products_.push_back(label);
    }
    shapes->UpdateAssemblies();
}

XcafDocument::~XcafDocument() {
    XCAFApp_Application::GetApplication()->Close(document_);
}

}  // namespace reedwright
