// The STEP file of a set of plates as another CAD program sees it: read back through OpenCASCADE's own reader, and its
// solids held against each other.
#include "cad_export/cad_loader.hpp"
#include "cad_export/palette.hpp"
#include "tests/cad_export/expected_places.hpp"
#include "tests/plate/sample_sets.hpp"

#include <gmock/gmock.h>
#include <BRepAdaptor_Curve.hxx>
#include <BRepAlgoAPI_Common.hxx>
#include <BRepBndLib.hxx>
#include <BRepCheck_Analyzer.hxx>
#include <BRepExtrema_DistShapeShape.hxx>
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
#include <TopExp.hxx>
#include <TopTools_IndexedMapOfShape.hxx>
#include <TopoDS.hxx>
#include <XCAFApp_Application.hxx>
#include <XCAFDoc_ColorTool.hxx>
#include <XCAFDoc_DocumentTool.hxx>
#include <XCAFDoc_ShapeTool.hxx>
#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <sstream>

namespace reedwright {
namespace {

using ::testing::Each;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::SizeIs;

// The reader enlarges vertices' tolerances by up to the file's own accuracy, 1e-7 mm, and the exact box of a circle
// comes from an optimiser good to about as much.
constexpr double place_tolerance_mm = 1e-5;
// Far below a tongue sunk by a nanometre (some 1e-5 mm^3), far above rounding.
constexpr double overlap_tolerance_mm3 = 1e-7;

double mm(Length length) {
    return in(length, millimetre);
}

std::string name_of(const TDF_Label& label) {
    Handle(TDataStd_Name) name;
    return label.FindAttribute(TDataStd_Name::GetID(), name) ? TCollection_AsciiString(name->Get()).ToCString() : "";
}

struct Placed {
    std::string occurrence;
    std::string product;
    std::string parent;
    TopoDS_Shape shape;
    Quantity_Color colour;
};

class ReadBackSet {
public:
    explicit ReadBackSet(const PlateSet& set, const std::string& name) {
        const auto drawn = load_cad({REEDWRIGHT_CAD_FOLDER}).draw_set(set, name);
        Message::DefaultMessenger()->RemovePrinters(STANDARD_TYPE(Message_PrinterOStream));
        std::istringstream text(drawn->step(StepSchema::ap242));
        XCAFApp_Application::GetApplication()->NewDocument("MDTV-XCAF", document_);
        STEPCAFControl_Reader reader;
        reader.SetColorMode(true);
        reader.SetNameMode(true);
        if (reader.ChangeReader().ReadStream("set", text) != IFSelect_RetDone) throw std::runtime_error("not readable");
        TColStd_SequenceOfAsciiString angles;
        TColStd_SequenceOfAsciiString solid_angles;
        TColStd_SequenceOfAsciiString lengths;
        reader.ChangeReader().FileUnits(lengths, angles, solid_angles);
        for (const TCollection_AsciiString& unit : lengths) length_units.emplace_back(unit.ToCString());
        if (!reader.Transfer(document_)) throw std::runtime_error("not transferable");
        const Handle(XCAFDoc_ShapeTool) shapes = XCAFDoc_DocumentTool::ShapeTool(document_->Main());
        TDF_LabelSequence roots;
        shapes->GetFreeShapes(roots);
        for (const TDF_Label& root : roots) {
            root_names.push_back(name_of(root));
            walk(root, TopLoc_Location());
        }
    }
    ~ReadBackSet() { XCAFApp_Application::GetApplication()->Close(document_); }
    ReadBackSet(const ReadBackSet&) = delete;
    ReadBackSet& operator=(const ReadBackSet&) = delete;

    const Placed& named(const std::string& occurrence) const {
        const auto found =
            std::find_if(parts.begin(), parts.end(), [&](const Placed& part) { return part.occurrence == occurrence; });
        if (found == parts.end()) throw std::invalid_argument(occurrence);
        return *found;
    }

    std::vector<std::string> length_units;
    std::vector<std::string> root_names;
    std::vector<std::string> assemblies;
    std::vector<Placed> parts;

private:
    void walk(const TDF_Label& assembly, const TopLoc_Location& here) {
        const Handle(XCAFDoc_ColorTool) colours = XCAFDoc_DocumentTool::ColorTool(document_->Main());
        TDF_LabelSequence components;
        XCAFDoc_ShapeTool::GetComponents(assembly, components);
        for (const TDF_Label& component : components) {
            TDF_Label product;
            XCAFDoc_ShapeTool::GetReferredShape(component, product);
            const TopLoc_Location there = here * XCAFDoc_ShapeTool::GetLocation(component);
            if (XCAFDoc_ShapeTool::IsAssembly(product)) {
                assemblies.push_back(name_of(component));
                walk(product, there);
                continue;
            }
            Placed placed{name_of(component),
                          name_of(product),
                          name_of(assembly),
                          XCAFDoc_ShapeTool::GetShape(product).Located(there),
                          {}};
            colours->GetColor(product, XCAFDoc_ColorSurf, placed.colour);
            parts.push_back(placed);
        }
    }

    Handle(TDocStd_Document) document_;
};

double volume_mm3(const TopoDS_Shape& shape) {
    GProp_GProps properties;
    BRepGProp::VolumeProperties(shape, properties);
    return properties.Mass();
}

Bnd_Box kernel_box(const TopoDS_Shape& shape) {
    Bnd_Box box;
    BRepBndLib::AddOptimal(shape, box, false, false);
    return box;
}

// The low and the high corner of a part in its own frame.
struct PartBox {
    std::pair<Point, Point> operator()(const PlateBlank& plate) const {
        const Box box = box_of(plate.outline);
        return {{mm(box.left), mm(box.back), 0.0}, {mm(box.right), mm(box.front), mm(plate.thickness)}};
    }
    std::pair<Point, Point> operator()(const TonguePart& tongue) const {
        const double half = 0.5 * mm(std::max(tongue.width.largest(), tongue.width.at_root()));
        return {{-mm(tongue.pad_length), -half, 0.0},
                {mm(tongue.thickness.length()), half,
                 mm(std::max(tongue.thickness.largest(), tongue.thickness.at_root()))}};
    }
    std::pair<Point, Point> operator()(const RivetPart& rivet) const {
        const double radius = 0.5 * mm(rivet.diameter);
        return {{-radius, -radius, 0.0}, {radius, radius, mm(rivet.length)}};
    }
};

class ReadBackSetOf : public ::testing::TestWithParam<SampleSet> {};

TEST_P(ReadBackSetOf, is_in_millimetres_under_one_root_with_an_assembly_for_each_plate) {
    const ReadBackSet file(GetParam().set, GetParam().name);
    EXPECT_THAT(file.root_names, ElementsAre(GetParam().name));
    ASSERT_FALSE(file.length_units.empty());
    EXPECT_THAT(file.length_units, Each(std::string("millimetre")));
    std::vector<std::string> plates;
    for (const Plate& plate : GetParam().set.plates) plates.push_back(plate.blank.name + " assembly");
    EXPECT_THAT(file.assemblies, ::testing::UnorderedElementsAreArray(plates));
}

TEST_P(ReadBackSetOf, has_each_part_where_it_belongs_sound_of_its_size_its_volume_and_its_alloy_s_colour) {
    const ReadBackSet file(GetParam().set, GetParam().name);
    std::map<std::string, SetPart> drawn;
    for (const SetPart& part : parts_of(GetParam().set)) drawn.emplace(part.name(), part);
    const auto expected = expected_parts(GetParam().set, GetParam().name);
    ASSERT_THAT(file.parts, SizeIs(expected.size()));
    for (const ExpectedPart& one : expected) {
        const Placed& found = file.named(one.occurrence);
        const SetPart& part = drawn.at(found.product);
        EXPECT_EQ(found.parent, one.parent);
        EXPECT_EQ(found.shape.ShapeType(), TopAbs_SOLID) << one.occurrence;
        EXPECT_TRUE(BRepCheck_Analyzer(found.shape).IsValid()) << one.occurrence;
        EXPECT_NEAR(volume_mm3(found.shape) / (part.volume().value() * 1e9), 1.0, 1e-6) << one.occurrence;

        const auto [low, high] = std::visit(PartBox(), part.shape);
        const Point a = one.place(low);
        const Point b = one.place(high);
        Point least{};
        Point most{};
        kernel_box(found.shape).Get(least[0], least[1], least[2], most[0], most[1], most[2]);
        for (std::size_t k = 0; k < 3; ++k) {
            EXPECT_NEAR(least[k], std::min(a[k], b[k]), place_tolerance_mm) << one.occurrence;
            EXPECT_NEAR(most[k], std::max(a[k], b[k]), place_tolerance_mm) << one.occurrence;
        }

        const Colour colour = colour_of(alloy_class(part.material()));
        Point shown{};
        found.colour.Values(shown[0], shown[1], shown[2], Quantity_TOC_sRGB);
        // The kernel keeps colours in single precision.
        EXPECT_NEAR(shown[0], colour.red, 1e-6);
        EXPECT_NEAR(shown[1], colour.green, 1e-6);
        EXPECT_NEAR(shown[2], colour.blue, 1e-6);
    }
}

std::vector<std::string> overlaps_in(const ReadBackSet& file) {
    std::vector<Bnd_Box> boxes;
    for (const Placed& part : file.parts) boxes.push_back(kernel_box(part.shape));
    std::vector<std::string> overlaps;
    for (std::size_t i = 0; i < boxes.size(); ++i)
        for (std::size_t j = i + 1; j < boxes.size(); ++j) {
            if (boxes[i].IsOut(boxes[j])) continue;
            BRepAlgoAPI_Common common(file.parts[i].shape, file.parts[j].shape);
            // A failure to answer is not an answer.
            if (!common.IsDone() || common.HasErrors() || volume_mm3(common.Shape()) > overlap_tolerance_mm3)
                overlaps.push_back(file.parts[i].occurrence + " and " + file.parts[j].occurrence);
        }
    return overlaps;
}

TEST_P(ReadBackSetOf, has_no_two_parts_in_one_place) {
    EXPECT_THAT(overlaps_in(ReadBackSet(GetParam().set, GetParam().name)), IsEmpty());
}

std::vector<TopoDS_Edge> edges_at(const TopoDS_Shape& shape, double z) {
    TopTools_IndexedMapOfShape edges;
    TopExp::MapShapes(shape, TopAbs_EDGE, edges);
    std::vector<TopoDS_Edge> found;
    for (int i = 1; i <= edges.Extent(); ++i) {
        const TopoDS_Edge edge = TopoDS::Edge(edges(i));
        const BRepAdaptor_Curve curve(edge);
        const double middle = 0.5 * (curve.FirstParameter() + curve.LastParameter());
        if (std::abs(curve.Value(curve.FirstParameter()).Z() - z) < place_tolerance_mm &&
            std::abs(curve.Value(middle).Z() - z) < place_tolerance_mm)
            found.push_back(edge);
    }
    return found;
}

double distance_mm(const TopoDS_Edge& edge, const std::vector<TopoDS_Edge>& others) {
    double nearest = std::numeric_limits<double>::infinity();
    for (const TopoDS_Edge& other : others)
        nearest = std::min(nearest, BRepExtrema_DistShapeShape(edge, other).Value());
    return nearest;
}

struct Clearances {
    std::vector<double> sides_mm;
    std::vector<double> tip_corners_mm;
};

// From a tongue's outline to its slot's, both in the face on which the tongue lies: to each straight edge but that of
// the root line, and to each rounded corner but those of the root line, which reach under the tongue.
Clearances clearances_of(const ReadBackSet& file, const PlacedTongue& tongue, const std::string& plate,
                         const ExpectedPart& place) {
    const double face = place.place({0, 0, 0})[2];
    const auto tongue_edges = edges_at(file.named(tongue.part.name).shape, face);
    const double length = mm(tongue.part.width.length());
    const double half = 0.5 * mm(tongue.part.width.largest()) + 0.5;
    const Point low = place.place({-0.001, -half, 0});
    const Point high = place.place({length + 0.5, half, 0});
    const double root_y = place.place({0, 0, 0})[1];
    Clearances found;
    for (const TopoDS_Edge& edge : edges_at(file.named(plate).shape, face)) {
        const BRepAdaptor_Curve curve(edge);
        const gp_Pnt from = curve.Value(curve.FirstParameter());
        const gp_Pnt to = curve.Value(curve.LastParameter());
        const auto in_slot = [&](const gp_Pnt& point) {
            return (point.X() - low[0]) * (point.X() - high[0]) < 0.0 &&
                   (point.Y() - low[1]) * (point.Y() - high[1]) < 0.0;
        };
        if (!in_slot(from) || !in_slot(to)) continue;
        const bool from_root = std::abs(from.Y() - root_y) < place_tolerance_mm;
        const bool to_root = std::abs(to.Y() - root_y) < place_tolerance_mm;
        if (curve.GetType() == GeomAbs_Line) {
            if (!(from_root && to_root)) found.sides_mm.push_back(distance_mm(edge, tongue_edges));
        } else if (!from_root && !to_root) {
            found.tip_corners_mm.push_back(distance_mm(edge, tongue_edges));
        }
    }
    return found;
}

TEST_P(ReadBackSetOf, keeps_the_clearance_between_every_tongue_and_the_sides_and_tip_of_its_slot) {
    // Of all samples: 0.03 mm.
    const double clearance = 0.03;
    const ReadBackSet file(GetParam().set, GetParam().name);
    const auto expected = expected_parts(GetParam().set, GetParam().name);
    for (const Plate& plate : GetParam().set.plates)
        for (const PlacedTongue& tongue : plate.tongues) {
            const auto place = std::find_if(expected.begin(), expected.end(), [&](const ExpectedPart& part) {
                return part.occurrence == tongue.part.name;
            });
            const Clearances found = clearances_of(file, tongue, plate.blank.name, *place);
            ASSERT_THAT(found.sides_mm, SizeIs(3)) << tongue.part.name;
            for (const double side : found.sides_mm) EXPECT_NEAR(side, clearance, 1e-7) << tongue.part.name;
            ASSERT_THAT(found.tip_corners_mm, SizeIs(2)) << tongue.part.name;
            // Tongue corner, arc centre and slot corner stand in line where the tip is square, so what is left is
            // r - sqrt(2) (r - c); a narrowing tongue turns by less there and keeps more.
            const double radius = mm(tongue.slot.corner_radius);
            const double square = radius - std::sqrt(2.0) * (radius - clearance);
            const bool narrows = tongue.part.width.largest() > tongue.part.width.smallest();
            for (const double corner : found.tip_corners_mm) {
                EXPECT_GE(corner, square - 1e-7) << tongue.part.name;
                EXPECT_LE(corner, narrows ? clearance : square + 1e-7) << tongue.part.name;
            }
        }
}

INSTANTIATE_TEST_SUITE_P(A, ReadBackSetOf, ::testing::ValuesIn(sample_sets(REEDWRIGHT_SOURCE_DIR)),
                         [](const auto& sample) { return "set_of_" + sample.param.name; });

TEST(Overlaps, of_a_rivet_a_thousandth_of_a_millimetre_too_wide_are_found) {
    PlateSet set = cell_plates(1);
    for (Hole& hole : set.plates[0].tongues[0].rivets) hole.diameter += 0.002 * millimetre;
    const auto overlaps = overlaps_in(ReadBackSet(set, "set"));
    // Each of the two rivets with the plate and with the tongue.
    EXPECT_THAT(overlaps, SizeIs(4));
    EXPECT_THAT(overlaps, Each(HasSubstr("rivet of tongue 1 press")));
}

TEST(Overlaps, of_pads_with_the_comb_s_back_wall_are_found) {
    PlateSet set = two_pairs();
    for (PlanePoint& corner : set.comb->blank.outline.corners)
        if (std::abs(mm(corner.y) - 1.5) < 1e-9) corner.y = 2.001 * millimetre;
    // Those of the plate over the comb; the second inner plate lies beside it.
    EXPECT_THAT(overlaps_in(ReadBackSet(set, "set")),
                ElementsAre("comb and tongue 1 blow Fs4", "comb and tongue 2 blow Fs4", "comb and tongue 3 blow Fs4"));
}

}  // namespace
}  // namespace reedwright
