// The STEP files of a set of plates as text, solids and places, read without the kernel that wrote them.
#include "cad_export/cad_loader.hpp"
#include "tests/cad_export/expected_places.hpp"
#include "tests/part21/part21.hpp"
#include "tests/plate/sample_sets.hpp"

#include <gmock/gmock.h>
#include <unistd.h>
#include <algorithm>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>

namespace reedwright {
namespace {

using ::testing::ElementsAre;
using ::testing::SizeIs;
using ::testing::StartsWith;

// The limit that check_solid() keeps; exact geometry in 15 digits comes far closer.
constexpr double relative_volume_tolerance = 1e-6;
// Coordinates are written with 13 digits.
constexpr double place_tolerance_mm = 1e-9;

std::unique_ptr<const DrawnSet> drawn(const PlateSet& set, const std::string& name) {
    return load_cad({REEDWRIGHT_CAD_FOLDER}).draw_set(set, name);
}

std::vector<std::string> texts_of(const part21::Records& records, const std::string& type, std::size_t argument) {
    std::vector<std::string> texts;
    for (const std::size_t id : records.all(type)) texts.push_back(records.as(id, type).at(argument).text);
    return texts;
}

bool all_different(const std::vector<std::string>& texts) {
    return std::set<std::string>(texts.begin(), texts.end()).size() == texts.size();
}

struct Form {
    std::size_t holes;
    std::size_t cylinders;
};

std::size_t arcs_of(const Outline& outline) {
    const auto pieces = outline.pieces();
    return static_cast<std::size_t>(std::count_if(
        pieces.begin(), pieces.end(), [](const OutlinePiece& piece) { return piece.radius.value() > 0.0; }));
}

struct FormOf {
    Form operator()(const PlateBlank& plate) const {
        Form form{plate.slots.size() + plate.holes.size(), plate.holes.size()};
        for (const Outline& slot : plate.slots) form.cylinders += arcs_of(slot);
        return form;
    }
    Form operator()(const TonguePart& tongue) const { return {tongue.holes.size(), tongue.holes.size()}; }
    Form operator()(const RivetPart&) const { return {0, 1}; }
};

void expect_solid(const part21::Solid& solid, const SetPart& part) {
    EXPECT_NEAR(solid.volume / (part.volume().value() * 1e9), 1.0, relative_volume_tolerance) << part.name();
    const Form form = std::visit(FormOf(), part.shape);
    EXPECT_EQ(solid.genus, static_cast<int>(form.holes)) << part.name();
    EXPECT_EQ(solid.cylinders, form.cylinders) << part.name();
}

class SetFileOf : public ::testing::TestWithParam<SampleSet> {};

TEST_P(SetFileOf, has_a_sound_solid_of_the_analytic_volume_for_each_part_with_its_holes) {
    const auto set = drawn(GetParam().set, GetParam().name);
    for (const StepSchema schema : {StepSchema::ap242, StepSchema::ap214}) {
        const part21::Records records = part21::read_records(set->step(schema));
        part21::require_millimetres(records);
        std::map<std::string, part21::Solid> solids;
        for (const part21::Solid& solid : part21::read_solids(records)) solids[solid.name] = solid;
        ASSERT_THAT(solids, SizeIs(set->parts().size()));
        for (const SetPart& part : set->parts()) {
            ASSERT_TRUE(solids.contains(part.name())) << part.name();
            expect_solid(solids[part.name()], part);
        }
    }
}

TEST_P(SetFileOf, puts_every_part_where_its_plate_and_the_assembly_say) {
    const auto set = drawn(GetParam().set, GetParam().name);
    const part21::Records records = part21::read_records(set->step(StepSchema::ap242));
    std::map<std::string, part21::Occurrence> found;
    for (const part21::Occurrence& occurrence : part21::read_assembly(records))
        EXPECT_TRUE(found.emplace(occurrence.name, occurrence).second) << occurrence.name << " twice";
    const auto expected = expected_parts(GetParam().set, GetParam().name);
    EXPECT_THAT(found, SizeIs(expected.size() + GetParam().set.plates.size()));
    for (const ExpectedPart& part : expected) {
        ASSERT_TRUE(found.contains(part.occurrence)) << part.occurrence;
        const part21::Occurrence& one = found[part.occurrence];
        EXPECT_EQ(one.parent, part.parent);
        for (const Point& point : {Point{0, 0, 0}, Point{1, 0, 0}, Point{0, 1, 0}, Point{0, 0, 1}})
            for (std::size_t k = 0; k < 3; ++k)
                EXPECT_NEAR(one.place.of(point)[k], part.place(point)[k], place_tolerance_mm) << part.occurrence;
    }
}

TEST_P(SetFileOf, names_each_product_and_occurrence_once_in_ascii_and_numbers_the_occurrences) {
    const auto set = drawn(GetParam().set, GetParam().name);
    const std::string text = set->step(StepSchema::ap242);
    EXPECT_TRUE(std::all_of(text.begin(), text.end(), [](char c) { return c == '\n' || (c >= ' ' && c <= '~'); }));
    const part21::Records records = part21::read_records(text);
    const auto products = texts_of(records, "PRODUCT", 1);
    EXPECT_TRUE(all_different(products));
    EXPECT_EQ(products, texts_of(records, "PRODUCT", 0));
    // The root, and an assembly for each plate.
    EXPECT_THAT(products, SizeIs(set->parts().size() + 1 + GetParam().set.plates.size()));
    EXPECT_EQ(products.front(), GetParam().name);
    const auto numbers = texts_of(records, "NEXT_ASSEMBLY_USAGE_OCCURRENCE", 0);
    for (std::size_t i = 0; i < numbers.size(); ++i) EXPECT_EQ(numbers[i], std::to_string(i + 1));
    EXPECT_THAT(records.all("STYLED_ITEM"), SizeIs(set->parts().size()));
}

TEST_P(SetFileOf, has_a_file_for_each_part_alone_with_that_one_product_and_solid) {
    const auto set = drawn(GetParam().set, GetParam().name);
    for (std::size_t i = 0; i < set->parts().size(); ++i) {
        const SetPart& part = set->parts()[i];
        const part21::Records records = part21::read_records(set->step_of_part(i, StepSchema::ap242));
        part21::require_millimetres(records);
        EXPECT_THAT(texts_of(records, "PRODUCT", 1), ElementsAre(part.name()));
        EXPECT_THAT(texts_of(records, "PRODUCT", 2), ElementsAre(part.material()));
        EXPECT_EQ(records.header.at("FILE_NAME").at(0).text, part.name());
        const auto solids = part21::read_solids(records);
        ASSERT_THAT(solids, SizeIs(1));
        EXPECT_EQ(solids[0].name, part.name());
        expect_solid(solids[0], part);
    }
}

TEST_P(SetFileOf, are_the_same_whatever_was_asked_before) {
    const auto set = drawn(GetParam().set, GetParam().name);
    const std::string step = set->step(StepSchema::ap242);
    const std::string part = set->step_of_part(1, StepSchema::ap242);
    const std::string glb = set->glb();
    set->step(StepSchema::ap214);
    // The triangles of the glTF stay on the solids and must not show.
    EXPECT_EQ(set->step(StepSchema::ap242), step);
    EXPECT_EQ(set->step_of_part(1, StepSchema::ap242), part);
    EXPECT_EQ(set->glb(), glb);
    const auto again = drawn(GetParam().set, GetParam().name);
    EXPECT_EQ(again->glb(), glb);
    EXPECT_EQ(again->step_of_part(1, StepSchema::ap242), part);
    EXPECT_EQ(again->step(StepSchema::ap242), step);
}

INSTANTIATE_TEST_SUITE_P(A, SetFileOf, ::testing::ValuesIn(sample_sets(REEDWRIGHT_SOURCE_DIR)),
                         [](const auto& sample) { return "set_of_" + sample.param.name; });

std::map<std::string, std::string> files_of(const std::filesystem::path& folder) {
    std::map<std::string, std::string> files;
    for (const auto& entry : std::filesystem::directory_iterator(folder)) {
        std::ifstream stream(entry.path(), std::ios::binary);
        files[entry.path().filename()] =
            std::string(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
    }
    return files;
}

TEST(SetFile, is_the_same_from_two_processes_which_leave_nothing_among_the_temporary_files) {
    const std::filesystem::path folder =
        std::filesystem::path(::testing::TempDir()) / ("set_file_test." + std::to_string(getpid()));
    std::filesystem::create_directories(folder / "temporary");
    const auto run = [&](const std::string& arguments) {
        const std::string command = "TMPDIR='" + (folder / "temporary").string() + "' '" REEDWRIGHT_WRITE_SET "' " +
                                    arguments + " > '" + (folder / "said").string() + "' 2>&1";
        return std::system(command.c_str());
    };
    ASSERT_EQ(run("organ '" + (folder / "one").string() + "'"), 0);
    // More solids before, and another folder: addresses and counters differ.
    ASSERT_EQ(run("cells '" + (folder / "cells").string() + "' 3 organ '" + (folder / "two").string() + "'"), 0);
    const auto one = files_of(folder / "one");
    const auto two = files_of(folder / "two");
    EXPECT_TRUE(std::filesystem::is_empty(folder / "temporary"));
    std::filesystem::remove_all(folder);
    // 43 parts, the assembly, the glTF.
    EXPECT_THAT(one, SizeIs(45));
    ASSERT_EQ(one.size(), two.size());
    for (const auto& [name, content] : one) EXPECT_TRUE(two.contains(name) && two.at(name) == content) << name;
    EXPECT_THAT(one.at("set.step"), StartsWith("ISO-10303-21;"));
}

TEST(SetFile, of_the_mouth_organ_has_all_tongues_hanging_down_those_of_the_blow_plate_inside_the_comb) {
    const PlateSet plates = mouth_organ(REEDWRIGHT_SOURCE_DIR);
    const auto records = part21::read_records(drawn(plates, "organ")->step(StepSchema::ap242));
    std::size_t tongues = 0;
    for (const part21::Occurrence& one : part21::read_assembly(records)) {
        if (!one.name.starts_with("tongue")) continue;
        ++tongues;
        // The flat side touches the plate at z = 6 mm above the comb, or at -0.95 mm below it.
        EXPECT_THAT(one.place.axes[2], ElementsAre(0.0, 0.0, -1.0)) << one.name;
        EXPECT_NEAR(one.place.origin[2], one.parent == "blow plate assembly" ? 6.0 : -0.95, place_tolerance_mm);
        // Turned over about x, tips point to smaller y.
        EXPECT_NEAR(one.place.of({1, 0, 0})[1] - one.place.origin[1], -1.0, place_tolerance_mm);
    }
    EXPECT_EQ(tongues, 20U);
}

TEST(SetFile, of_cell_plates_has_the_second_tongue_of_each_under_its_plate_with_its_profile_down) {
    const auto records = part21::read_records(drawn(cell_plates(2), "cells")->step(StepSchema::ap242));
    std::map<std::string, part21::Place> places;
    for (const part21::Occurrence& one : part21::read_assembly(records)) places[one.name] = one.place;
    const auto expect_at = [&](const std::string& name, const Point& point, const Point& expected) {
        const Point found = places.at(name).of(point);
        for (std::size_t k = 0; k < 3; ++k) EXPECT_NEAR(found[k], expected[k], place_tolerance_mm) << name;
    };
    expect_at("tongue 1 press", {0, 0, 1}, {5.5, 8.0, 3.0});
    expect_at("tongue 1 draw", {0, 0, 1}, {14.5, 8.0, -1.0});
    // The second plate stands a millimetre beside the first, 20 mm long.
    expect_at("tongue 2 draw", {0, 0, 1}, {35.5, 8.0, -1.0});
    // Rivets from the pad's lower face, 0.3 mm below the plate, to the plate's upper one.
    expect_at("rivet of tongue 1 draw 2", {0, 0, 0}, {14.5, 3.5, -0.3});
    expect_at("rivet of tongue 1 draw 2", {0, 0, 2.3}, {14.5, 3.5, 2.0});
}

TEST(SetFile, tells_names_apart_that_are_alike_in_ascii) {
    std::vector<PlateReed> reeds = cell_reeds(1);
    reeds[0].row = "\u00e4";
    reeds[1].row = "\u00f6";
    const auto set = drawn(lay_out_plates(reeds, cell_rules(), std::nullopt), "plate 1");
    const auto products = texts_of(part21::read_records(set->step(StepSchema::ap242)), "PRODUCT", 1);
    EXPECT_TRUE(all_different(products));
    EXPECT_EQ(products.front(), "plate 1 (2)");
}

TEST(SetFile, is_refused_with_the_part_s_name_when_a_hole_breaks_into_a_slot) {
    PlateSet set = cell_plates(1);
    set.plates[0].blank.holes.back().centre = set.plates[0].tongues[0].root;
    try {
        drawn(set, "set");
        FAIL() << "drawn";
    } catch (const KernelFailure& failure) {
        EXPECT_EQ(failure.part(), "plate 1");
    }
}

TEST(SetFile, is_refused_for_a_rivet_without_length_and_for_a_set_without_plates) {
    PlateSet set = cell_plates(1);
    set.plates[0].tongues[0].rivets[0].diameter = 0.0 * millimetre;
    set.plates[0].tongues[0].rivets[1].diameter = 0.0 * millimetre;
    const std::string rivet = rivet_of(set.plates[0].tongues[0], set.plates[0]).name;
    try {
        drawn(set, "set");
        FAIL() << "drawn";
    } catch (const KernelFailure& failure) {
        EXPECT_EQ(failure.part(), rivet);
        // The kernel's own word for it.
        EXPECT_THAT(failure.what(), testing::ContainsRegex("St[A-Za-z]+_[A-Za-z]+"));
    }
    set.plates[0].tongues[0].rivets[1].diameter = 1.0 * millimetre;
    EXPECT_THROW(drawn(set, "set"), std::invalid_argument);
    EXPECT_THROW(drawn(PlateSet(), "set"), std::invalid_argument);
    EXPECT_THROW(drawn(cell_plates(1), "set")->step_of_part(99, StepSchema::ap242), std::out_of_range);
}

}  // namespace
}  // namespace reedwright
