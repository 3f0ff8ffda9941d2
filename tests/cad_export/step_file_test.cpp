// The STEP file as text and as solids, read without the kernel that wrote it.
#include "cad_export/cad_loader.hpp"
#include "tests/cad_export/sample_blanks.hpp"
#include "tests/part21/part21.hpp"

#include <gmock/gmock.h>
#include <unistd.h>
#include <algorithm>
#include <array>
#include <cstdio>
#include <filesystem>
#include <memory>

namespace reedwright {
namespace {

using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::SizeIs;
using ::testing::StartsWith;

// The task's own limit; exact geometry in 15 digits comes far closer.
constexpr double relative_volume_tolerance = 1e-6;

const CadInterface& cad() {
    return load_cad({REEDWRIGHT_CAD_FOLDER});
}

std::string step_of(const ReedBlank& blank, StepSchema schema = StepSchema::ap242) {
    return cad().step_of_blank(blank, schema);
}

ReedBlank blank_named(const std::string& name) {
    for (const SampleBlank& sample : sample_blanks())
        if (sample.name == name) return sample.blank;
    throw std::invalid_argument(name);
}

std::vector<std::string> texts_of(const part21::Records& records, const std::string& type, std::size_t argument) {
    std::vector<std::string> texts;
    for (const std::size_t id : records.all(type)) texts.push_back(records.as(id, type).at(argument).text);
    return texts;
}

class StepFileOf : public ::testing::TestWithParam<SampleBlank> {};

TEST_P(StepFileOf, has_two_sound_solids_of_the_analytic_volumes) {
    const ReedBlank& blank = GetParam().blank;
    const part21::Records records = part21::read_records(step_of(blank));
    const std::vector<part21::Solid> solids = part21::read_solids(records);
    ASSERT_THAT(solids, SizeIs(2));
    EXPECT_EQ(solids[0].name, blank.plate.name);
    EXPECT_EQ(solids[1].name, blank.tongue.name);
    EXPECT_NEAR(solids[0].volume / (blank.plate.volume().value() * 1e9), 1.0, relative_volume_tolerance);
    EXPECT_NEAR(solids[1].volume / (blank.tongue.volume().value() * 1e9), 1.0, relative_volume_tolerance);
}

TEST_P(StepFileOf, has_a_hole_for_each_slot_and_rivet_and_no_other) {
    const ReedBlank& blank = GetParam().blank;
    const std::vector<part21::Solid> solids = part21::read_solids(part21::read_records(step_of(blank)));
    ASSERT_THAT(solids, SizeIs(2));
    EXPECT_EQ(solids[0].genus, static_cast<int>(blank.plate.slots.size() + blank.plate.holes.size()));
    EXPECT_EQ(solids[1].genus, static_cast<int>(blank.tongue.holes.size()));
    EXPECT_EQ(solids[1].cylinders, blank.tongue.holes.size());
}

TEST_P(StepFileOf, counts_in_millimetres_and_radians) {
    EXPECT_NO_THROW(part21::require_millimetres(part21::read_records(step_of(GetParam().blank))));
}

INSTANTIATE_TEST_SUITE_P(A, StepFileOf, ::testing::ValuesIn(sample_blanks()),
                         [](const auto& sample) { return "blank_" + sample.param.name; });

TEST(StepFile, a_straight_tongue_has_no_face_to_spare) {
    const auto planes = [](const std::string& name) {
        return part21::read_solids(part21::read_records(step_of(blank_named(name)))).at(1).planes;
    };
    EXPECT_EQ(planes("even"), 6U);
    // One more on top for the taper beside the pad.
    EXPECT_EQ(planes("tapered"), 7U);
    // Pad, ramp and step in the top; sides and underside stay whole.
    EXPECT_EQ(planes("stepped_down"), 8U);
    // Two sides more and two shoulders; the top is pad and taper.
    EXPECT_EQ(planes("shouldered"), 11U);
}

TEST(StepFile, names_products_occurrences_and_root_and_tells_the_alloys) {
    const ReedBlank blank = blank_named("two_rivets");
    const part21::Records records = part21::read_records(step_of(blank));
    EXPECT_THAT(texts_of(records, "PRODUCT", 1), ElementsAre("reed blank Fs4", "plate Fs4", "tongue Fs4"));
    EXPECT_THAT(texts_of(records, "PRODUCT", 2), ElementsAre("", "cuzn37-plate", "CuSn6"));
    EXPECT_THAT(texts_of(records, "NEXT_ASSEMBLY_USAGE_OCCURRENCE", 0), ElementsAre("1", "2"));
    EXPECT_THAT(texts_of(records, "NEXT_ASSEMBLY_USAGE_OCCURRENCE", 1), ElementsAre("plate", "tongue"));
    EXPECT_THAT(records.all("STYLED_ITEM"), SizeIs(2));
}

TEST(StepFile, is_plain_ascii_whatever_the_names) {
    ReedBlank blank = blank_named("even");
    blank.name = "stimmplatte \u00fc\u266f";
    blank.tongue.material = "l\u00e4t 'n' temper";
    const std::string text = step_of(blank);
    for (const char c : text) ASSERT_TRUE(c == '\n' || (c >= ' ' && c <= '~'));
    const part21::Records records = part21::read_records(text);
    EXPECT_EQ(texts_of(records, "PRODUCT", 1).at(0), "stimmplatte ??");
    EXPECT_EQ(texts_of(records, "PRODUCT", 2).at(2), "l?t 'n' temper");
}

TEST(StepFile, says_which_edition_it_is_of) {
    const ReedBlank blank = blank_named("tapered");
    const auto schema_of = [&](StepSchema schema) {
        return part21::read_records(step_of(blank, schema)).header.at("FILE_SCHEMA").at(0).items.at(0).text;
    };
    EXPECT_THAT(schema_of(StepSchema::ap242), StartsWith("AP242_MANAGED_MODEL_BASED_3D_ENGINEERING"));
    EXPECT_THAT(schema_of(StepSchema::ap214), StartsWith("AUTOMOTIVE_DESIGN"));
    // The edition asked for before leaves no trace.
    EXPECT_THAT(schema_of(StepSchema::ap242), StartsWith("AP242_MANAGED_MODEL_BASED_3D_ENGINEERING"));
}

TEST(StepFile, is_as_sound_in_the_older_edition) {
    const ReedBlank blank = blank_named("two_rivets");
    const part21::Records records = part21::read_records(step_of(blank, StepSchema::ap214));
    part21::require_millimetres(records);
    const std::vector<part21::Solid> solids = part21::read_solids(records);
    ASSERT_THAT(solids, SizeIs(2));
    EXPECT_NEAR(solids[1].volume / (blank.tongue.volume().value() * 1e9), 1.0, relative_volume_tolerance);
}

TEST(StepFile, records_no_time_and_no_person) {
    const auto header = part21::read_records(step_of(blank_named("two_rivets"))).header.at("FILE_NAME");
    EXPECT_EQ(header.at(0).text, "reed blank Fs4");
    EXPECT_EQ(header.at(1).text, "1970-01-01T00:00:00");
    EXPECT_EQ(header.at(2).items.at(0).text, "");
    EXPECT_EQ(header.at(3).items.at(0).text, "");
    EXPECT_THAT(header.at(5).text, StartsWith("reedwright "));
}

TEST(StepFile, is_the_same_when_written_again_after_others) {
    const ReedBlank blank = blank_named("two_rivets");
    const std::string first = step_of(blank);
    step_of(blank_named("shouldered"), StepSchema::ap214);
    EXPECT_EQ(step_of(blank), first);
}

// What a process prints, run in a folder that is also its place for temporary files.
std::string output_of(const std::string& arguments, const std::filesystem::path& folder) {
    const std::string command = "cd '" + folder.string() + "' && TMPDIR=. '" REEDWRIGHT_WRITE_SAMPLE "' " + arguments;
    const std::unique_ptr<FILE, int (*)(FILE*)> pipe(popen(command.c_str(), "r"), &pclose);
    std::string text;
    std::array<char, 4096> block{};
    while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe.get()))
        text.append(block.data(), got);
    return text;
}

TEST(StepFile, is_the_same_from_any_process_with_no_banner_before_it_and_no_file_left_behind) {
    const std::filesystem::path folder =
        std::filesystem::path(::testing::TempDir()) / ("step_file_test." + std::to_string(getpid()));
    std::filesystem::create_directory(folder);
    const std::string alone = output_of("two_rivets", folder);
    const std::string later = output_of("shouldered even two_rivets", folder);
    EXPECT_TRUE(std::filesystem::is_empty(folder));
    std::filesystem::remove_all(folder);
    EXPECT_THAT(alone, StartsWith("ISO-10303-21;"));
    EXPECT_EQ(alone, later);
    EXPECT_EQ(alone, step_of(blank_named("two_rivets")));
}

TEST(StepFile, is_refused_for_a_plate_whose_rivet_breaks_into_the_slot) {
    ReedBlank blank = blank_named("even");
    blank.plate.holes[0].centre.x = 0.2 * millimetre;
    try {
        step_of(blank);
        FAIL() << "written";
    } catch (const KernelFailure& failure) {
        EXPECT_EQ(failure.part(), "plate");
        EXPECT_THAT(failure.what(), HasSubstr("\"plate\""));
    }
}

TEST(StepFile, is_refused_when_a_valid_solid_has_not_the_analytic_volume) {
    // Drawn clockwise, the outline's area counts negative while the kernel's solid is sound.
    ReedBlank blank = blank_named("even");
    std::reverse(blank.plate.outline.corners.begin(), blank.plate.outline.corners.end());
    try {
        step_of(blank);
        FAIL() << "written";
    } catch (const KernelFailure& failure) {
        EXPECT_THAT(failure.what(), HasSubstr("its solid has 161.77"));
    }
}

TEST(StepFile, is_refused_for_a_tongue_whose_rivet_leaves_the_pad) {
    ReedBlank blank = blank_named("even");
    blank.tongue.holes[0].centre.y = 0.8 * millimetre;
    try {
        step_of(blank);
        FAIL() << "written";
    } catch (const KernelFailure& failure) {
        EXPECT_EQ(failure.part(), "tongue");
    }
}

TEST(StepFile, is_refused_for_a_tongue_whose_profiles_differ_in_length) {
    ReedBlank blank = blank_named("even");
    blank.tongue.width = Profile::constant(14.0 * millimetre, 2.0 * millimetre);
    EXPECT_THROW(step_of(blank), std::invalid_argument);
}

TEST(CadLoader, refuses_a_module_of_another_version_and_tells_both) {
    try {
        load_cad({REEDWRIGHT_STALE_FOLDER});
        FAIL() << "loaded";
    } catch (const CadUnavailable& error) {
        EXPECT_THAT(error.what(), HasSubstr("has interface version " + std::to_string(cad_interface_version + 1) +
                                            ", this program needs version " + std::to_string(cad_interface_version)));
    }
}

TEST(CadLoader, says_where_it_looked) {
    try {
        load_cad({"/nowhere/near", "/nor/here"});
        FAIL() << "loaded";
    } catch (const CadUnavailable& error) {
        EXPECT_THAT(error.what(), HasSubstr("/nowhere/near/libreedwright_cad.so"));
        EXPECT_THAT(error.what(), HasSubstr("/nor/here/libreedwright_cad.so"));
    }
    EXPECT_EQ(load_cad({"/nowhere/near", REEDWRIGHT_CAD_FOLDER}).version, cad_interface_version);
}

}  // namespace
}  // namespace reedwright
