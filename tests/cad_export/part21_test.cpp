// The reader of STEP text itself: it must refuse what is damaged, or its agreement proves nothing.
#include "tests/part21/part21.hpp"

#include "cad_export/cad_loader.hpp"
#include "tests/cad_export/sample_blanks.hpp"

#include <gmock/gmock.h>
#include <cmath>

namespace reedwright {
namespace {

using ::testing::HasSubstr;

std::string sound_text() {
    const CadInterface& cad = load_cad({REEDWRIGHT_CAD_FOLDER});
    for (const SampleBlank& sample : sample_blanks())
        if (sample.name == "two_rivets") return cad.step_of_blank(sample.blank, StepSchema::ap242);
    return {};
}

std::string fault_of(const std::string& text) {
    try {
        const part21::Records records = part21::read_records(text);
        part21::require_millimetres(records);
        part21::read_solids(records);
        part21::read_assembly(records);
    } catch (const part21::Fault& fault) {
        return fault.what();
    }
    return "none";
}

// The text with the first occurrence after a mark replaced; fails when there is none.
std::string changed(std::string text, const std::string& mark, const std::string& from, const std::string& to) {
    const std::size_t after = text.find(mark);
    const std::size_t at = after == std::string::npos ? after : text.find(from, after);
    if (at == std::string::npos) throw std::invalid_argument("nothing to change: " + mark + " " + from);
    return text.replace(at, from.size(), to);
}

TEST(Part21Reader, accepts_the_sound_file) {
    EXPECT_EQ(fault_of(sound_text()), "none");
}

TEST(Part21Reader, finds_an_edge_dropped_from_a_loop) {
    const std::string text = sound_text();
    const std::size_t loop = text.find("EDGE_LOOP('',(");
    const std::size_t first = loop + std::string("EDGE_LOOP('',(").size();
    const std::size_t second = text.find('#', first + 1);
    EXPECT_THAT(fault_of(std::string(text).erase(first, second - first)), HasSubstr("a loop has a gap"));
}

TEST(Part21Reader, finds_a_face_dropped_from_a_shell) {
    const std::string text = sound_text();
    const std::size_t shell = text.find("CLOSED_SHELL('',(");
    const std::size_t first = shell + std::string("CLOSED_SHELL('',(").size();
    const std::size_t second = text.find('#', first + 1);
    EXPECT_THAT(fault_of(std::string(text).erase(first, second - first)), HasSubstr("not used twice"));
}

TEST(Part21Reader, finds_a_record_that_is_missing_or_stands_twice) {
    EXPECT_THAT(fault_of(changed(sound_text(), "EDGE_CURVE", ",#", ",#99")), HasSubstr("missing"));
    const std::string text = sound_text();
    const std::size_t record = text.find("#12 = ");
    const std::string line = text.substr(record, text.find(';', record) + 1 - record);
    EXPECT_EQ(fault_of(std::string(text).insert(record, line)), "#12 stands twice");
}

TEST(Part21Reader, finds_any_vertex_moved_by_a_hundredth_of_a_millimetre) {
    const std::string text = sound_text();
    const part21::Records records = part21::read_records(text);
    for (const std::size_t vertex : records.all("VERTEX_POINT")) {
        const std::size_t point = records.as(vertex, "VERTEX_POINT").at(1).reference;
        const std::string mark = "\n#" + std::to_string(point) + " = CARTESIAN_POINT('',(";
        const std::size_t begin = text.find(mark) + mark.size();
        const std::size_t end = text.find(',', begin);
        const double moved = std::stod(text.substr(begin, end - begin)) + 0.01;
        EXPECT_THAT(fault_of(std::string(text).replace(begin, end - begin, std::to_string(moved))),
                    HasSubstr("is off its"));
    }
}

TEST(Part21Reader, finds_a_changed_radius) {
    EXPECT_THAT(fault_of(changed(sound_text(), "CYLINDRICAL_SURFACE", ",0.1)", ",0.2)")),
                HasSubstr("off its cylinder"));
    EXPECT_THAT(fault_of(changed(sound_text(), "CIRCLE", ",0.1)", ",0.2)")), HasSubstr("off its circle"));
}

TEST(Part21Reader, finds_any_face_turned_inside_out) {
    const std::string text = sound_text();
    std::size_t faces = 0;
    for (std::size_t at = text.find("ADVANCED_FACE"); at != std::string::npos;
         at = text.find("ADVANCED_FACE", at + 1)) {
        const std::size_t flag = text.rfind('.', text.find(';', at)) - 1;
        std::string turned = text;
        turned[flag] = text[flag] == 'T' ? 'F' : 'T';
        EXPECT_THAT(fault_of(turned), HasSubstr("inside out"));
        ++faces;
    }
    EXPECT_GT(faces, 20U);
}

TEST(Part21Reader, finds_an_edge_run_twice_the_same_way) {
    EXPECT_NE(fault_of(changed(sound_text(), "ORIENTED_EDGE", ".T.", ".F.")), "none");
}

TEST(Part21Reader, finds_a_file_in_another_unit_or_without_one) {
    EXPECT_EQ(fault_of(changed(sound_text(), "LENGTH_UNIT()", ".MILLI.", "$")), "lengths are not in millimetres");
    EXPECT_EQ(fault_of(changed(sound_text(), "GLOBAL_UNIT_ASSIGNED_CONTEXT", "(#24,", "(")),
              "a context needs one unit of length and one of angle");
}

TEST(Part21Reader, finds_an_occurrence_without_a_place_or_with_that_of_other_products) {
    EXPECT_THAT(fault_of(changed(sound_text(), "", "CONTEXT_DEPENDENT_SHAPE_REPRESENTATION", "SOMETHING_ELSE")),
                HasSubstr("an occurrence has no place"));
    const std::string text = sound_text();
    const std::size_t first = text.find("REPRESENTATION_RELATIONSHIP('','',#") + 35;
    const std::string child = text.substr(first, text.find(',', first) - first);
    const std::string parent = text.substr(first + child.size() + 2, text.find(')', first) - first - child.size() - 2);
    EXPECT_THAT(fault_of(changed(text, "", "'','',#" + child + ",#" + parent, "'','',#" + parent + ",#" + child)),
                HasSubstr("a placement does not join its products"));
}

TEST(Part21Reader, finds_an_axis_that_is_not_square) {
    // The tongue's place: the plate's, lifted by its thickness.
    EXPECT_THAT(fault_of(changed(sound_text(), "CARTESIAN_POINT('',(0.,0.,0.95))", "(1.,0.,-0.)", "(0.6,0.,0.8)")),
                HasSubstr("its axes are not square"));
}

TEST(Part21Reader, finds_text_that_ends_too_early) {
    const std::string text = sound_text();
    for (const std::size_t length : {text.size() / 3, text.size() / 2, text.size() - 20})
        EXPECT_NE(fault_of(text.substr(0, length)), "none");
}

TEST(Part21Reader, measures_a_half_cylinder_exactly) {
    // Radius 2, height 3, its flat side in the plane y = 0, away from the origin; by hand.
    const std::string text = R"(ISO-10303-21; HEADER; ENDSEC; DATA;
#1=MANIFOLD_SOLID_BREP('half',#2); #2=CLOSED_SHELL('',(#3,#4,#5,#6));
#3=ADVANCED_FACE('',(#31),#32,.F.); #31=FACE_OUTER_BOUND('',#33,.T.); #32=PLANE('',#91); #33=EDGE_LOOP('',(#71,#72));
#4=ADVANCED_FACE('',(#41),#42,.T.); #41=FACE_OUTER_BOUND('',#43,.T.); #42=PLANE('',#92); #43=EDGE_LOOP('',(#73,#74));
#5=ADVANCED_FACE('',(#51),#52,.F.); #51=FACE_OUTER_BOUND('',#53,.T.); #52=PLANE('',#93);
#53=EDGE_LOOP('',(#75,#76,#77,#78));
#6=ADVANCED_FACE('',(#61),#62,.T.); #61=FACE_OUTER_BOUND('',#63,.T.); #62=CYLINDRICAL_SURFACE('',#91,2.);
#63=EDGE_LOOP('',(#79,#80,#81,#82));
#71=ORIENTED_EDGE('',*,*,#101,.F.); #72=ORIENTED_EDGE('',*,*,#102,.F.);
#73=ORIENTED_EDGE('',*,*,#103,.T.); #74=ORIENTED_EDGE('',*,*,#104,.T.);
#75=ORIENTED_EDGE('',*,*,#102,.T.); #76=ORIENTED_EDGE('',*,*,#106,.T.); #77=ORIENTED_EDGE('',*,*,#104,.F.);
#78=ORIENTED_EDGE('',*,*,#105,.F.);
#79=ORIENTED_EDGE('',*,*,#101,.T.); #80=ORIENTED_EDGE('',*,*,#105,.T.); #81=ORIENTED_EDGE('',*,*,#103,.F.);
#82=ORIENTED_EDGE('',*,*,#106,.F.);
#91=AXIS2_PLACEMENT_3D('',#111,#121,#122); #92=AXIS2_PLACEMENT_3D('',#112,#121,#122);
#93=AXIS2_PLACEMENT_3D('',#111,#123,#122);
#101=EDGE_CURVE('',#131,#132,#141,.T.); #102=EDGE_CURVE('',#132,#131,#142,.T.);
#103=EDGE_CURVE('',#133,#134,#143,.T.);
#104=EDGE_CURVE('',#134,#133,#144,.T.); #105=EDGE_CURVE('',#132,#134,#145,.T.);
#106=EDGE_CURVE('',#131,#133,#146,.T.);
#111=CARTESIAN_POINT('',(10.,5.,1.)); #112=CARTESIAN_POINT('',(10.,5.,4.));
#113=CARTESIAN_POINT('',(12.,5.,1.)); #114=CARTESIAN_POINT('',(8.,5.,1.)); #115=CARTESIAN_POINT('',(12.,5.,4.));
#116=CARTESIAN_POINT('',(8.,5.,4.));
#121=DIRECTION('',(0.,0.,1.)); #122=DIRECTION('',(1.,0.,0.)); #123=DIRECTION('',(0.,1.,0.));
#131=VERTEX_POINT('',#113); #132=VERTEX_POINT('',#114); #133=VERTEX_POINT('',#115); #134=VERTEX_POINT('',#116);
#141=CIRCLE('',#91,2.); #142=LINE('',#111,#152); #143=CIRCLE('',#92,2.); #144=LINE('',#112,#152);
#145=LINE('',#114,#151); #146=LINE('',#113,#151);
#151=VECTOR('',#121,1.); #152=VECTOR('',#122,1.);
ENDSEC; END-ISO-10303-21;)";
    const std::vector<part21::Solid> solids = part21::read_solids(part21::read_records(text));
    ASSERT_EQ(solids.size(), 1U);
    EXPECT_NEAR(solids[0].volume, 6.0 * std::acos(-1.0), 1e-12);
    EXPECT_EQ(solids[0].genus, 0);
}

}  // namespace
}  // namespace reedwright
