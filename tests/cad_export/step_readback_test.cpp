// The STEP file as another CAD program sees it: read back through OpenCASCADE's own reader.
#include "cad_export/cad_loader.hpp"
#include "cad_export/palette.hpp"
#include "tests/cad_export/sample_blanks.hpp"

#include <gmock/gmock.h>
#include <BRepBndLib.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepGProp.hxx>
#include <Bnd_Box.hxx>
#include <GProp_GProps.hxx>
#include <Message.hxx>
#include <Message_Messenger.hxx>
#include <Message_PrinterOStream.hxx>
#include <Quantity_Color.hxx>
#include <STEPCAFControl_Reader.hxx>
#include <TColStd_SequenceOfAsciiString.hxx>
#include <TCollection_AsciiString.hxx>
#include <TDF_LabelSequence.hxx>
#include <TDataStd_Name.hxx>
#include <TDocStd_Document.hxx>
#include <TopExp_Explorer.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <sstream>

namespace reedwright {
namespace {

using ::testing::ElementsAre;

// The reader enlarges vertices' tolerances by up to the file's own accuracy, 1e-7 mm, and the exact
// box of a circle comes from an optimiser good to about as much.
constexpr double place_tolerance_mm = 1e-5;

struct Component {
    std::string occurrence;
    std::string product;
    TopoDS_Shape placed;
    Quantity_Color colour;

    GProp_GProps properties() const {
        GProp_GProps found;
        BRepGProp::VolumeProperties(placed, found);
        return found;
    }
};

std::string name_of(const TDF_Label& label) {
    Handle(TDataStd_Name) name;
    return label.FindAttribute(TDataStd_Name::GetID(), name) ? TCollection_AsciiString(name->Get()).ToCString() : "";
}

class ReadBack {
public:
    explicit ReadBack(const ReedBlank& blank, StepSchema schema = StepSchema::ap242) {
        Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_PrinterOStream));
        std::istringstream text(load_cad({REEDWRIGHT_CAD_FOLDER}).step_of_blank(blank, schema));
        XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document_);
        STEPCAFControl_Reader reader;
        reader.SetColorMode(true);
        reader.SetNameMode(true);
        if (reader.ChangeReader().ReadStream("blank", text) != IFSelect_RetDone)
            throw std::runtime_error("not readable");
        TColStd_SequenceOfAsciiString angles;
        TColStd_SequenceOfAsciiString solid_angles;
        TColStd_SequenceOfAsciiString lengths;
        reader.ChangeReader().FileUnits(lengths, angles, solid_angles);
        for (const TCollection_AsciiString& unit : lengths) length_units.emplace_back(unit.ToCString());
        if (!reader.Transfer(document_)) throw std::runtime_error("not transferable");

        const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document_->Main());
        const Handle(XCAFDoc_ColorTool) colours = XCAFDoc_DocumentTool::ColorTool(document_->Main());
        TDF_LabelSequence roots;
        shapes->GetFreeShapes(roots);
        for (const TDF_Label& root : roots) {
            root_names.push_back(name_of(root));
            TDF_LabelSequence parts;
            XCAFDoc_ShapeTool::GetComponents(root, parts);
            for (const TDF_Label& part : parts) {
                TDF_Label product;
                XCAFDoc_ShapeTool::GetReferredShape(part, product);
                Component component{name_of(part), name_of(product), XCAFDoc_ShapeTool::GetShape(part), {}};
                colours->GetColor(product, XCAFDoc_ColorSurf, component.colour);
                components.push_back(component);
            }
        }
    }
    ~ReadBack() { XCAFApp_Application::GetApplication()->Close(document_); }
    ReadBack(const ReadBack&) = delete;
    ReadBack& operator=(const ReadBack&) = delete;

    std::vector<std::string> length_units;
    std::vector<std::string> root_names;
    std::vector<Component> components;

private:
    Handle(TDocStd_Document) document_;
};

std::vector<double> box_of(const TopoDS_Shape& shape) {
    Bnd_Box box;
    BRepBndLib::AddOptimal(shape, box, false, false);
    std::vector<double> limits(6);
    box.Get(limits[0], limits[1], limits[2], limits[3], limits[4], limits[5]);
    return limits;
}

void expect_box(const TopoDS_Shape& shape, const std::vector<double>& expected) {
    const std::vector<double> limits = box_of(shape);
    for (std::size_t i = 0; i < 6; ++i) EXPECT_NEAR(limits[i], expected[i], place_tolerance_mm) << "limit " << i;
}

class ReadBackOf : public ::testing::TestWithParam<SampleBlank> {};

TEST_P(ReadBackOf, is_one_assembly_of_a_plate_and_a_tongue_each_one_valid_solid) {
    const ReedBlank& blank = GetParam().blank;
    const ReadBack file(blank);
    EXPECT_THAT(file.root_names, ElementsAre(blank.name));
    ASSERT_EQ(file.components.size(), 2U);
    EXPECT_EQ(file.components[0].occurrence, "plate");
    EXPECT_EQ(file.components[0].product, blank.plate.name);
    EXPECT_EQ(file.components[1].occurrence, "tongue");
    EXPECT_EQ(file.components[1].product, blank.tongue.name);
    EXPECT_NEAR(file.components[0].properties().Mass() / (blank.plate.volume().value() * 1e9), 1.0, 1e-6);
    EXPECT_NEAR(file.components[1].properties().Mass() / (blank.tongue.volume().value() * 1e9), 1.0, 1e-6);
    for (const Component& component : file.components) {
        std::size_t solids = 0;
        for (TopExp_Explorer solid(component.placed, TopAbs_SOLID); solid.More(); solid.Next()) ++solids;
        EXPECT_EQ(solids, 1U);
        EXPECT_TRUE(BRepCheck_Analyzer(component.placed).IsValid());
    }
}

TEST_P(ReadBackOf, lies_where_it_should_with_the_tongue_on_the_plate_s_upper_face) {
    const ReedBlank& blank = GetParam().blank;
    const ReadBack file(blank);
    ASSERT_EQ(file.components.size(), 2U);
    const auto mm = [](Length length) { return in(length, millimetre); };
    const double top = mm(blank.plate.thickness);
    const auto& corners = blank.plate.outline.corners;
    expect_box(file.components[0].placed,
               {mm(corners[0].x), mm(corners[0].y), 0.0, mm(corners[2].x), mm(corners[2].y), top});
    const double half = 0.5 * mm(blank.tongue.width.largest());
    expect_box(file.components[1].placed, {-mm(blank.tongue.pad_length), -half, top, mm(blank.tongue.width.length()),
                                           half, top + mm(blank.tongue.thickness.largest())});
    // Nothing leans to a side.
    for (const Component& component : file.components)
        EXPECT_NEAR(component.properties().CentreOfMass().Y(), 0.0, 1e-9);
}

INSTANTIATE_TEST_SUITE_P(A, ReadBackOf, ::testing::ValuesIn(sample_blanks()),
                         [](const auto& sample) { return "blank_" + sample.param.name; });

TEST(ReadBack, is_in_millimetres) {
    const ReadBack file(sample_blanks()[0].blank);
    ASSERT_FALSE(file.length_units.empty());
    for (const std::string& unit : file.length_units) EXPECT_EQ(unit, "millimetre");
}

TEST(ReadBack, of_the_older_edition_holds_the_same_parts) {
    const ReedBlank blank = sample_blanks()[1].blank;
    const ReadBack file(blank, StepSchema::ap214);
    EXPECT_THAT(file.root_names, ElementsAre(blank.name));
    ASSERT_EQ(file.components.size(), 2U);
    EXPECT_EQ(file.components[1].product, blank.tongue.name);
    EXPECT_NEAR(file.components[1].properties().Mass() / (blank.tongue.volume().value() * 1e9), 1.0, 1e-6);
}

TEST(ReadBack, a_tapered_tongue_is_heavier_toward_its_root) {
    // First moment of thickness over pad and taper, by hand, without a rivet.
    Reed reed = sample_reed();
    reed.pad.rivets = 0;
    const ReadBack file(lay_out_blank(reed));
    ASSERT_EQ(file.components.size(), 2U);
    const double area = 4.0 * 0.16 + 15.0 * 0.12;
    const double moment = -2.0 * 4.0 * 0.16 + 15.0 * 15.0 * (0.16 / 6.0 + 0.08 / 3.0);
    EXPECT_NEAR(file.components[1].properties().CentreOfMass().X(), moment / area, 1e-9);
}

TEST(ReadBack, each_part_has_the_colour_of_its_alloy) {
    const ReadBack file(sample_blanks()[0].blank);
    ASSERT_EQ(file.components.size(), 2U);
    const std::vector<AlloyClass> alloys{AlloyClass::brass, AlloyClass::bronze};
    for (std::size_t i = 0; i < 2; ++i) {
        const Colour expected = colour_of(alloys[i]);
        double red = 0.0, green = 0.0, blue = 0.0;
        file.components[i].colour.Values(red, green, blue, Quantity_TOC_sRGB);
        // The kernel keeps colours in single precision.
        EXPECT_NEAR(red, expected.red, 1e-6);
        EXPECT_NEAR(green, expected.green, 1e-6);
        EXPECT_NEAR(blue, expected.blue, 1e-6);
    }
}

}  // namespace
}  // namespace reedwright
