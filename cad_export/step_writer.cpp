#include "cad_export/step_writer.hpp"

#include "cad_export/kernel_reason.hpp"
#include "cad_export/palette.hpp"
#include "cad_export/xcaf_document.hpp"
#include "core/plate/unique_names.hpp"

#include <APIHeaderSection_MakeHeader.hxx>
#include <Interface_HArray1OfHAsciiString.hxx>
#include <Interface_Static.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Writer.hxx>
#include <STEPConstruct.hxx>
#include <STEPConstruct_Styles.hxx>
#include <StepBasic_Product.hxx>
#include <StepData_Protocol.hxx>
#include <StepData_StepModel.hxx>
#include <StepData_StepWriter.hxx>
#include <StepRepr_NextAssemblyUsageOccurrence.hxx>
#include <StepRepr_RepresentationContext.hxx>
#include <StepRepr_RepresentationItem.hxx>
#include <StepVisual_Colour.hxx>
#include <StepVisual_MechanicalDesignGeometricPresentationRepresentation.hxx>
#include <StepVisual_PresentationStyleAssignment.hxx>
#include <StepVisual_StyledItem.hxx>
#include <Transfer_FinderProcess.hxx>
#include <XSControl_TransferWriter.hxx>
#include <XSControl_WorkSession.hxx>
#include <map>
#include <sstream>

namespace reedwright {

namespace {

// A date in the file would make every run differ; this one says that none was recorded.
constexpr const char* pinned_time = "1970-01-01T00:00:00";

Handle(TCollection_HAsciiString) kernel_text(const std::string& text) {
    return new TCollection_HAsciiString(ascii_text(text).c_str());
}

// The kernel's settings are global and a refused value leaves the old one.
void set_option(const char* option, const char* value) {
    if (!Interface_Static::SetCVal(option, value))
        throw Standard_Failure((std::string("it refuses ") + option + " = " + value).c_str());
}

Handle(StepRepr_RepresentationItem) item_of(const Product& part, const Handle(XSControl_WorkSession) & session) {
    Handle(StepRepr_RepresentationItem) item =
        STEPConstruct::FindEntity(session->TransferWriter()->FinderProcess(), part.solid);
    if (item.IsNull()) throw KernelFailure(part.name, "it was not transferred");
    return item;
}

// The kernel's own colour writer orders styles by memory address.
void add_colours(const ProductTree& tree, const Handle(XSControl_WorkSession) & session,
                 const Handle(StepData_StepModel) & model) {
    for (const Product& part : tree) {
        if (!part.is_part()) continue;
        STEPConstruct_Styles styles(session);
        const Colour colour = colour_of(alloy_class(part.material));
        const Quantity_Color srgb(colour.red, colour.green, colour.blue, Quantity_TOC_sRGB);
        const Handle(StepVisual_Colour) encoded = STEPConstruct_Styles::EncodeColor(srgb);
        const Handle(StepRepr_RepresentationItem) item = item_of(part, session);
        const Handle(StepVisual_PresentationStyleAssignment) style =
            styles.MakeColorPSA(item, encoded, encoded, nullptr, 0.0);
        styles.AddStyle(item, style, nullptr);
        Handle(StepVisual_MechanicalDesignGeometricPresentationRepresentation) presentation;
        if (!styles.CreateMDGPR(styles.FindContext(part.solid), presentation))
            throw KernelFailure(part.name, "it takes no colour");
        model->AddWithRefs(presentation);
    }
}

// Names that the kernel leaves out, and the occurrences' numbers, which it counts on through the
// life of the process.
void complete_names(const ProductTree& tree, const Handle(XSControl_WorkSession) & session,
                    const Handle(StepData_StepModel) & model) {
    std::map<std::string, std::string> materials;
    for (const Product& product : tree) {
        if (product.is_part()) item_of(product, session)->SetName(kernel_text(product.name));
        materials[ascii_text(product.name)] = product.material;
    }
    int occurrences = 0;
    for (int i = 1; i <= model->NbEntities(); ++i) {
        const auto occurrence = Handle(StepRepr_NextAssemblyUsageOccurrence)::DownCast(model->Value(i));
        if (!occurrence.IsNull()) occurrence->SetId(kernel_text(std::to_string(++occurrences)));
        const auto product = Handle(StepBasic_Product)::DownCast(model->Value(i));
        if (!product.IsNull()) product->SetDescription(kernel_text(materials[product->Name()->ToCString()]));
    }
}

Handle(Interface_HArray1OfHAsciiString) one_line(const std::string& text) {
    Handle(Interface_HArray1OfHAsciiString) lines = new Interface_HArray1OfHAsciiString(1, 1);
    lines->SetValue(1, kernel_text(text));
    return lines;
}

void pin_header(const std::string& name, const Handle(StepData_StepModel) & model) {
    APIHeaderSection_MakeHeader header(model);
    header.SetName(kernel_text(name));
    header.SetTimeStamp(kernel_text(pinned_time));
    header.SetAuthor(one_line(""));
    header.SetOrganization(one_line(""));
    header.SetPreprocessorVersion(kernel_text("OpenCASCADE"));
    header.SetOriginatingSystem(kernel_text("reedwright " REEDWRIGHT_VERSION));
    header.SetAuthorisation(kernel_text(""));
    header.SetDescription(one_line(name));
    header.Apply(model);
}

std::string text_of(const ProductTree& tree, StepSchema schema) {
    STEPCAFControl_Writer writer;
    set_option("write.step.schema", schema == StepSchema::ap242 ? "AP242DIS" : "AP214IS");
    set_option("write.step.unit", "MM");
    set_option("xstep.cascade.unit", "MM");
    // Edges on planes and cylinders need no second copy of their curve on each surface.
    if (!Interface_Static::SetIVal("write.surfacecurve.mode", 0))
        throw Standard_Failure("it refuses write.surfacecurve.mode = 0");
    writer.ChangeWriter().Model(true);
    writer.SetColorMode(false);

    const std::string& name = tree.back().name;
    const XcafDocument document(tree);
    if (!writer.Transfer(document.handle())) throw KernelFailure(name, "the assembly was not transferred");

    const Handle(XSControl_WorkSession) session = writer.Writer().WS();
    const Handle(StepData_StepModel) model = writer.ChangeWriter().Model();
    add_colours(tree, session, model);
    complete_names(tree, session, model);
    pin_header(name, model);

    // Not through the kernel's file writer: a stream leaves no file behind.
    StepData_StepWriter text(model);
    text.SendModel(Handle(StepData_Protocol)::DownCast(session->Protocol()));
    std::ostringstream stream;
    stream.imbue(std::locale::classic());
    if (!text.Print(stream)) throw KernelFailure(name, "the text was not written");
    return stream.str();
}

}  // namespace

std::string step_of_tree(const ProductTree& tree, StepSchema schema) {
    try {
        return text_of(tree, schema);
    } catch (const Standard_Failure& failure) {
        throw KernelFailure(tree.back().name, kernel_reason(failure));
    }
}

}  // namespace reedwright
