#include "core/plate/set_parts.hpp"

#include "core/input/diagnostic.hpp"
#include "core/plate/unique_names.hpp"
#include "tests/plate/sample_sets.hpp"

#include <gmock/gmock.h>
#include <algorithm>
#include <numbers>
#include <set>

namespace reedwright {
namespace {

using ::testing::ElementsAre;
using ::testing::IsEmpty;
using ::testing::SizeIs;
using ::testing::StartsWith;

constexpr double pi = std::numbers::pi;
// Sums and products of a few doubles.
constexpr double rounding = 1e-12;

double in_mm(Length length) {
    return in(length, millimetre);
}
double in_mm3(Volume volume) {
    return volume.value() * 1e9;
}

std::vector<std::string> names_of(const std::vector<SetPart>& parts) {
    std::vector<std::string> names;
    for (const SetPart& part : parts) names.push_back(part.name());
    return names;
}

const SetPart& part_named(const std::vector<SetPart>& parts, const std::string& name) {
    const auto found =
        std::find_if(parts.begin(), parts.end(), [&](const SetPart& part) { return part.name() == name; });
    if (found == parts.end()) throw std::invalid_argument(name);
    return *found;
}

TEST(RivetPart, fills_plate_and_pad_flush_on_both_sides) {
    const PlateSet set = cell_plates(1);
    const RivetPart rivet = rivet_of(set.plates[0].tongues[0], set.plates[0]);
    // 2 mm of plate and 0.3 mm of root.
    EXPECT_NEAR(in_mm(rivet.length), 2.3, rounding);
    EXPECT_NEAR(in_mm3(rivet.volume()), pi * 0.36 * 2.3, rounding);
    EXPECT_EQ(rivet.material, "aluminium");
    EXPECT_EQ(rivet.name, "rivet of tongue 1 press");
}

TEST(RivetPart, has_the_material_that_the_rules_state) {
    PlateRules rules = cell_rules();
    rules.rivet_material = "soft brass wire";
    const PlateSet set = lay_out_plates(cell_reeds(2), rules, std::nullopt);
    for (const Plate& plate : set.plates)
        for (const PlacedTongue& tongue : plate.tongues) {
            EXPECT_EQ(rivet_of(tongue, plate).material, "soft brass wire");
            EXPECT_EQ(plate.blank.material, "aluminium");
        }
}

TEST(RivetPart, has_the_thickness_of_the_root_not_that_beyond_a_step_at_the_root_line) {
    PlateSet set = cell_plates(1);
    PlacedTongue& tongue = set.plates[0].tongues[0];
    const auto mm = [](double value) { return value * millimetre; };
    tongue.part.thickness = Profile({{mm(0.0), mm(0.5)}, {mm(0.0), mm(0.2)}, {mm(30.0), mm(0.2)}});
    EXPECT_NEAR(in_mm(rivet_of(tongue, set.plates[0]).length), 2.5, rounding);
}

TEST(RivetPart, is_refused_for_a_welded_tongue_and_for_rivets_that_differ) {
    PlateSet set = cell_plates(1);
    PlacedTongue& tongue = set.plates[0].tongues[0];
    tongue.rivets[1].diameter *= 1.1;
    EXPECT_THROW(rivet_of(tongue, set.plates[0]), std::invalid_argument);
    tongue.rivets.clear();
    EXPECT_THROW(rivet_of(tongue, set.plates[0]), std::invalid_argument);
}

TEST(SetParts, are_each_plate_with_its_tongues_and_their_rivets_then_the_comb) {
    EXPECT_THAT(names_of(parts_of(cell_plates(1))), ElementsAre("plate 1", "tongue 1 press", "tongue 1 draw",
                                                                "rivet of tongue 1 press", "rivet of tongue 1 draw"));
    const std::vector<SetPart> organ = parts_of(mouth_organ(REEDWRIGHT_SOURCE_DIR));
    // Two plates, twenty tongues, their rivets, the comb.
    ASSERT_THAT(organ, SizeIs(43));
    EXPECT_EQ(organ[0].name(), "blow plate");
    EXPECT_EQ(organ[1].name(), "tongue 1 blow C4");
    EXPECT_EQ(organ[21].name(), "draw plate");
    EXPECT_EQ(organ[42].name(), "comb");
    EXPECT_EQ(organ[42].plate, 2U);
    EXPECT_EQ(organ[42].material(), "pear wood");
}

TEST(SetParts, of_welded_tongues_have_no_rivets) {
    for (const std::string& name : names_of(parts_of(two_pairs()))) EXPECT_FALSE(name.starts_with("rivet")) << name;
}

TEST(SetParts, fill_the_holes_and_no_more) {
    // The volume of each rivet is what the holes of plate and tongue take away.
    const PlateSet set = cell_plates(1);
    const std::vector<SetPart> parts = parts_of(set);
    PlateBlank plate = set.plates[0].blank;
    const Volume pierced = plate.volume();
    plate.holes.resize(0);
    TonguePart tongue = set.plates[0].tongues[1].part;
    const Volume punched = tongue.volume();
    tongue.holes.clear();
    const double fixing = pi * 0.75 * 0.75 * 2.0;
    double rivets = 0.0;
    for (const SetPart& part : parts)
        if (part.name().starts_with("rivet")) rivets += static_cast<double>(part.stands.size()) * in_mm3(part.volume());
    EXPECT_NEAR(in_mm3(plate.volume() - pierced) - fixing + 2.0 * in_mm3(tongue.volume() - punched), rivets, 1e-9);
}

TEST(SetParts, of_the_lower_face_are_turned_over_and_stand_on_it) {
    const std::vector<SetPart> parts = parts_of(cell_plates(1));
    const Stand& upper = part_named(parts, "tongue 1 press").stands.at(0);
    EXPECT_EQ(upper.turned, Turned::tip_forward);
    EXPECT_NEAR(in_mm(upper.x), 5.5, rounding);
    EXPECT_NEAR(in_mm(upper.y), 8.0, rounding);
    EXPECT_NEAR(in_mm(upper.z), 2.0, rounding);
    const Stand& lower = part_named(parts, "tongue 1 draw").stands.at(0);
    EXPECT_EQ(lower.turned, Turned::tip_forward_and_over);
    EXPECT_NEAR(in_mm(lower.x), 14.5, rounding);
    EXPECT_NEAR(in_mm(lower.z), 0.0, rounding);
    const std::vector<Stand>& rivets = part_named(parts, "rivet of tongue 1 draw").stands;
    ASSERT_THAT(rivets, SizeIs(2));
    EXPECT_EQ(rivets[0].name, "rivet of tongue 1 draw 1");
    EXPECT_NEAR(in_mm(rivets[0].y), 6.5, rounding);
    EXPECT_NEAR(in_mm(rivets[1].y), 3.5, rounding);
    EXPECT_NEAR(in_mm(rivets[1].z), -0.3, rounding);
}

TEST(SetParts, have_names_of_their_own_even_where_rows_are_alike_in_ascii) {
    std::vector<PlateReed> reeds = cell_reeds(1);
    reeds[0].row = "\u00e4";
    reeds[1].row = "\u00f6";
    const std::vector<SetPart> parts = parts_of(lay_out_plates(reeds, cell_rules(), std::nullopt));
    std::set<std::string> names;
    std::set<std::string> stands;
    std::size_t count = 0;
    for (const SetPart& part : parts) {
        names.insert(part.name());
        count += part.stands.size();
        for (const Stand& stand : part.stands) stands.insert(stand.name);
    }
    EXPECT_THAT(names, SizeIs(parts.size()));
    EXPECT_THAT(stands, SizeIs(count));
}

TEST(UniqueNames, number_what_is_taken_and_skip_numbers_that_are) {
    UniqueNames names;
    EXPECT_EQ(names.claim("plate (2)"), "plate (2)");
    EXPECT_EQ(names.claim("plate"), "plate");
    EXPECT_EQ(names.claim("plate"), "plate (3)");
    EXPECT_EQ(names.claim("pl\u00e4te\n"), "pl?te?");
}

struct Laid {
    std::vector<PlateReed> reeds;
    PlateRules rules;
    std::optional<CombRules> comb;
};

// Three cells of two rows over a comb: the plates are 26.5 mm long and 23.5 mm wide.
Laid three_cells() {
    Laid laid{{}, mouth_organ_rules(), pear_comb()};
    for (const std::string row : {"blow", "draw"})
        for (int cell = 1; cell <= 3; ++cell) laid.reeds.push_back({cell, row, sample_reed()});
    return laid;
}

std::vector<std::string> faults_of(const Laid& laid) {
    try {
        lay_out_plates(laid.reeds, laid.rules, laid.comb);
    } catch (const InputError& error) {
        std::vector<std::string> texts;
        for (const Diagnostic& diagnostic : error.diagnostics()) texts.push_back(to_text(diagnostic));
        return texts;
    }
    return {};
}

TEST(PlateClashes, are_none_where_lengths_widths_and_root_lines_are_left_out) {
    EXPECT_THAT(faults_of(three_cells()), IsEmpty());
    Laid laid = three_cells();
    laid.rules.fixing_inset.reset();
    EXPECT_THAT(faults_of(laid), IsEmpty());
}

TEST(PlateClashes, a_fixing_over_the_edge_is_refused_once_for_all_plates) {
    Laid laid = three_cells();
    laid.rules.fixing_inset = 1.0 * millimetre;
    EXPECT_THAT(faults_of(laid),
                ElementsAre(StartsWith("fixings: a hole of 2 mm at 1 mm, 1 mm cuts an edge of the plate"),
                            StartsWith("fixings: a hole of 2 mm at 25.5 mm, 1 mm cuts an edge"),
                            StartsWith("fixings: a hole of 2 mm at 25.5 mm, 22.5 mm cuts an edge"),
                            StartsWith("fixings: a hole of 2 mm at 1 mm, 22.5 mm cuts an edge")));
}

TEST(PlateClashes, a_fixing_in_a_slot_under_a_pad_in_a_cell_or_in_another_is_refused) {
    const auto at = [](double x, double y) { return PlanePoint{x * millimetre, y * millimetre}; };
    Laid laid = three_cells();
    laid.rules.fixing_inset.reset();
    laid.comb.reset();
    // The first root line stands 5.75 mm from the left, its slot 2.06 mm wide and its pad from 2 to 6 mm.
    laid.rules.fixings = {at(3.6, 10.0)};
    EXPECT_THAT(faults_of(laid), IsEmpty());
    laid.rules.fixings = {at(3.8, 10.0)};
    EXPECT_THAT(faults_of(laid),
                ElementsAre(StartsWith("fixings: a hole of 2 mm at 3.8 mm, 10 mm cuts the slot of cell 1 blow"),
                            StartsWith("fixings: a hole of 2 mm at 3.8 mm, 10 mm cuts the slot of cell 1 draw")));
    laid.rules.fixings = {at(5.75, 3.0)};
    EXPECT_THAT(faults_of(laid),
                ElementsAre(StartsWith("fixings: a hole of 2 mm at 5.75 mm, 3 mm lies under the pad of cell 1 blow"),
                            StartsWith("fixings: a hole of 2 mm at 5.75 mm, 3 mm lies under the pad of cell 1 draw")));
    laid.rules.fixings = {at(2.0, 10.0), at(2.0, 11.9)};
    EXPECT_THAT(faults_of(laid), ElementsAre(StartsWith("fixings: a hole of 2 mm at 2 mm, 11.9 mm meets another")));
    laid.rules.fixings = {at(2.5, 10.0)};
    laid.comb = pear_comb();
    EXPECT_THAT(faults_of(laid),
                ElementsAre(StartsWith("fixings: a hole of 2 mm at 2.5 mm, 10 mm cuts cell 1 of the comb, from 3 mm "
                                       "to 8.5 mm")));
    laid.rules.fixings = {at(1.9, 10.0)};
    EXPECT_THAT(faults_of(laid), IsEmpty());
    laid.rules.fixing_diameter = 0.0 * millimetre;
    EXPECT_THAT(faults_of(laid), ElementsAre(StartsWith("fixings: a hole of 0 mm at 1.9 mm, 10 mm is not a hole")));
}

TEST(PlateClashes, a_pad_over_the_plate_s_back_edge_is_refused) {
    Laid laid = three_cells();
    laid.comb.reset();
    laid.rules.fixing_inset.reset();
    laid.rules.root_line = 4.0 * millimetre;
    EXPECT_THAT(faults_of(laid), IsEmpty());
    laid.rules.root_line = 3.5 * millimetre;
    EXPECT_THAT(faults_of(laid).front(),
                StartsWith("cell 1 blow: its pad reaches 0.5 mm beyond the plate's back edge"));
}

TEST(PlateClashes, a_tongue_of_the_inner_face_that_stands_in_the_comb_is_refused_and_one_of_the_outer_is_not) {
    Laid laid = three_cells();
    laid.comb->cell_back = 2.1 * millimetre;
    const auto faults = faults_of(laid);
    ASSERT_THAT(faults, SizeIs(3));
    EXPECT_EQ(
        faults[0],
        "cell 1 blow: its pad reaches back to 2 mm, but its cell of the comb only to 2.1 mm; comb.cell_back of at "
        "most 1.8 mm, or plates.root_line of at least 6.3 mm; that leaves 0.2 mm behind the pad, which 'check' wants "
        "unless "
        "limits.cell says otherwise");
    laid.rules.inner.clear();
    EXPECT_THAT(faults_of(laid), IsEmpty());

    laid = three_cells();
    laid.comb->cell_width = 1.9 * millimetre;
    EXPECT_THAT(faults_of(laid).front(),
                StartsWith("cell 1 blow: 2 mm wide, it does not fit its cell of the comb, 1.9 mm wide; a wider cell"));
    laid = three_cells();
    laid.comb->height = 0.1 * millimetre;
    EXPECT_THAT(faults_of(laid).front(), StartsWith("cell 1 blow: 0.16 mm thick, it does not fit its cell"));
}

TEST(PlateClashes, a_comb_without_height_back_wall_or_cells_is_refused) {
    Laid laid = three_cells();
    laid.rules.inner.clear();
    laid.comb->height = 0.0 * millimetre;
    laid.comb->cell_back = 0.0 * millimetre;
    laid.comb->cell_width = -1.0 * millimetre;
    EXPECT_THAT(faults_of(laid), ElementsAre("comb.height: 0 mm is not more than 0 mm",
                                             "comb.cell_back: 0 mm leaves no wall behind the cells; more than 0 mm",
                                             "comb.cell_width: -1 mm is not more than 0 mm"));
}

TEST(PlateClashes, a_cell_without_a_reed_is_refused) {
    Laid laid{cell_reeds(1), cell_rules(), std::nullopt};
    for (PlateReed& one : laid.reeds) one.cell = 2;
    EXPECT_THAT(faults_of(laid), ElementsAre(StartsWith("cell 1: it has no reed, but cell 2 has")));
}

}  // namespace
}  // namespace reedwright
