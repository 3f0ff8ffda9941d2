// Requests that cannot be met: what the program says on standard error, and the code it exits with.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>
#include <algorithm>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>
#include <vector>

namespace reedwright {
namespace {

namespace fs = std::filesystem;

using Words = std::vector<std::string>;

const std::string help = "Run with --help for more information.\n";
const std::string brass = "requests/brass.yaml";
const std::string zone_hint =
    "write tip, root, outer, inner, middle, or two distances from the root such as 12mm..15mm\n";

// Each test starts the program in the folder of the mistakes, so that names in messages are the same everywhere.
class BadRequest : public testing::Test {
protected:
    void SetUp() override {
        if (!program_is_built()) GTEST_SKIP() << "the program is not part of this build";
        before_ = fs::current_path();
        fs::current_path(fs::path(REEDWRIGHT_SOURCE_DIR) / "tests" / "bad_inputs");
    }
    void TearDown() override {
        if (!before_.empty()) fs::current_path(before_);
    }

    static void refused(const Words& arguments, int code, const std::string& message) {
        SCOPED_TRACE(testing::PrintToString(arguments));
        const Outcome outcome = run_program(arguments);
        EXPECT_EQ(outcome.code, code);
        EXPECT_EQ(outcome.out, "");
        EXPECT_EQ(outcome.err, message);
    }
    static void refused_cut(Words options, const std::string& message) {
        options.insert(options.begin(), {"cut", brass});
        refused(options, 1, message);
    }

private:
    fs::path before_;
};

TEST_F(BadRequest, TheTonguesOfTheseTestsAreSoundThemselves) {
    EXPECT_EQ(run_program({"pitch", brass}).code, 0);
    EXPECT_EQ(run_program({"pitch", "requests/no_note.yaml"}).code, 0);
    EXPECT_EQ(run_program({"cut", brass, "--zone", "12mm..15mm", "--depth", "5um", "--ramp", "0mm"}).code, 0);
}

TEST_F(BadRequest, AZoneMustLieOnTheTongue) {
    refused_cut({"--zone", "12mm..18mm", "--depth", "5um"},
                "zone '12mm..18mm' reaches outside the tongue, 0 mm to 15 mm\n");
    refused_cut({"--zone=-1mm..5mm", "--depth", "5um"}, "zone '-1mm..5mm' reaches outside the tongue, 0 mm to 15 mm\n");
}

TEST_F(BadRequest, AZoneRunsFromRootToTipAndHasALength) {
    refused_cut({"--zone", "12mm..9mm", "--depth", "5um"},
                "zone '12mm..9mm' runs from the tip to the root; did you mean 9mm..12mm?\n");
    refused_cut({"--zone", "12mm..12mm", "--depth", "5um"},
                "zone '12mm..12mm' has no length; write two distances from the root\n");
}

TEST_F(BadRequest, AZoneIsWrittenInOneOfItsForms) {
    refused_cut({"--zone", "belly", "--depth", "5um"}, "zone 'belly' is not a stretch of the tongue; " + zone_hint);
    refused_cut({"--zone", "12..15", "--depth", "5um"},
                "zone '12..15': '12' has no unit, and a length needs one; " + zone_hint);
    refused_cut({"--zone", "12mm..", "--depth", "5um"},
                "zone '12mm..': nothing is written where a length is due; " + zone_hint);
}

TEST_F(BadRequest, ATargetThatNoZoneReachesNamesTheBestOfAllZones) {
    const Words words{"cut", brass, "--read", "-12c", "--want", "A4+800c"};
    Words as_json = words;
    as_json.emplace_back("--json");
    const Outcome outcome = run_program(as_json);
    EXPECT_EQ(outcome.code, 1);
    const auto best = nlohmann::json::parse(outcome.out);
    EXPECT_FALSE(best.at("reachable").get<bool>());
    EXPECT_EQ(best.at("zone"), "outer");
    // No named zone for the same wish comes nearer.
    for (const char* zone : {"tip", "outer"}) {
        Words in_zone = as_json;
        in_zone.insert(in_zone.end(), {"--zone", zone});
        // Named zones are measured on the stated tongue, the best on the one that the reading makes likely: they differ
        // by some micrometres of length, and so by tenths of a cent.
        EXPECT_LE(nlohmann::json::parse(run_program(in_zone).out).at("shift_cents").get<double>(),
                  best.at("shift_cents").get<double>() + 1.0)
            << zone;
    }
    EXPECT_THAT(
        run_program(words).err,
        testing::MatchesRegex("no safe depth in any zone brings \\+812\\.00 cents; the best is outer, [0-9.]+ to "
                              "15 mm from the root: \\+[0-9.]+ cents at [0-9.]+ um, [0-9.]+ Hz, with at most "
                              "[0-9.]+ um to take \\(half of the thickness and 20 um stay\\)\n"
                              "what is left: replace the tongue\n"));
}

TEST_F(BadRequest, AZoneHoldsItsRamps) {
    refused_cut(
        {"--zone", "12mm..12.1mm", "--depth", "5um"},
        "the zone 12 mm .. 12.1 mm is shorter than its ramps of 0.1 mm; choose a longer zone or a shorter --ramp\n");
}

TEST_F(BadRequest, ARampIsALengthThatIsNotNegative) {
    refused_cut({"--zone", "12mm..15mm", "--depth", "5um", "--ramp", "-0.1mm"}, "a ramp of -0.1 mm is negative\n");
    refused_cut({"--zone", "12mm..15mm", "--depth", "5um", "--ramp", "0.1"},
                "--ramp: '0.1' has no unit, and a length needs one; it takes um, mm, cm, m or in\n");
}

TEST_F(BadRequest, ADepthTakesSomethingAndLeavesATongue) {
    refused_cut({"--zone", "tip", "--depth", "0um"}, "a depth of 0 mm takes nothing\n");
    refused_cut({"--zone", "tip", "--depth=-5um"}, "a depth of -0.005 mm takes nothing\n");
    refused_cut(
        {"--zone", "tip", "--depth", "85um"},
        "a depth of 0.085 mm leaves 0.004 mm, less than 0.01 mm; the tongue is 0.089 mm thick there before the cut\n");
    refused_cut(
        {"--zone", "tip", "--depth", "200um"},
        "a depth of 0.2 mm leaves 0 mm, less than 0.01 mm; the tongue is 0.089 mm thick there before the cut\n");
}

TEST_F(BadRequest, ADepthCarriesAUnitOfLength) {
    refused_cut({"--zone", "tip", "--depth", "5"},
                "--depth: '5' has no unit, and a length needs one; it takes um, mm, cm, m or in\n");
    refused_cut({"--zone", "tip", "--depth", "5mg"},
                "--depth: '5mg' is a mass, not a length; it takes um, mm, cm, m or in\n");
    refused_cut({"--zone", "tip", "--depth", "nan mm"}, "--depth: 'nan mm' is not a finite number\n");
}

TEST_F(BadRequest, ATargetOutOfReachExitsWithOneAndTellsTheBestInJson) {
    const Outcome outcome = run_program({"cut", brass, "--zone", "tip", "--read", "-12c", "--want", "A5", "--json"});
    EXPECT_EQ(outcome.code, 1);
    const auto json = nlohmann::json::parse(outcome.out);
    EXPECT_FALSE(json.at("reachable").get<bool>());
    EXPECT_TRUE(json.at("first_pass_um").is_null());
    // An octave and the twelve cents of the reading.
    EXPECT_NEAR(json.at("wanted_cents").get<double>(), 1212.0, 1e-6);
    EXPECT_GT(json.at("shift_cents").get<double>(), 0.0);
    EXPECT_LT(json.at("shift_cents").get<double>(), 1212.0);
    EXPECT_GE(json.at("thinnest_mm").get<double>(), 0.02);
    // The numbers follow the model, the words stand.
    EXPECT_THAT(
        outcome.err,
        testing::MatchesRegex(
            "no safe depth there brings \\+1212\\.00 cents; the best is \\+[0-9.]+ cents at [0-9.]+ um, [0-9.]+ Hz, "
            "with at most [0-9.]+ um to take \\(half of the thickness and 20 um stay\\)\n"
            "choose a longer zone, or replace the tongue\n"));
}

TEST_F(BadRequest, AZoneThatMovesThePitchTheOtherWayIsToldSo) {
    const Outcome outcome = run_program({"cut", brass, "--zone", "tip", "--read", "+12c", "--want", "A4"});
    EXPECT_EQ(outcome.code, 1);
    EXPECT_THAT(outcome.err, testing::EndsWith("metal taken there raises the pitch: choose a zone nearer to the root, "
                                               "or lower it with a load at the tip\n"));
}

TEST_F(BadRequest, CentsAloneNeedANoteInTheFile) {
    const std::string message =
        " stands against the file's note, and the file has none; add note: A4 to the file, or write A4-12c\n";
    refused({"cut", "requests/no_note.yaml", "--zone", "tip", "--read", "-12c", "--want", "A4"}, 1,
            "--read: '-12c'" + message);
    refused({"cut", "requests/no_note.yaml", "--zone", "tip", "--read", "430Hz", "--want", "+3c"}, 1,
            "--want: '+3c'" + message);
    refused({"load", "requests/no_note.yaml", "--read", "+9c", "--want", "A4"}, 1, "--read: '+9c'" + message);
}

TEST_F(BadRequest, AReadingIsAPitch) {
    refused_cut({"--zone", "tip", "--read", "A4-12mm", "--want", "A4"},
                "--read: '-12mm' is a length, not an interval; write 437.2Hz, A4, A4-12c or -12c\n");
    refused_cut({"--zone", "tip", "--read", "3Hz", "--want", "A4"}, "--read: 3 Hz is outside 10 Hz to 20000 Hz\n");
    refused_cut(
        {"--zone", "tip", "--read", "A", "--want", "A4"},
        "--read: 'A' has no octave; write a note with its octave, as in A4, F#3 or Bb5; in a file a sharp after a "
        "blank starts a comment and is lost\n");
}

TEST_F(BadRequest, AReadingWithoutItsUnitIsToldWhichWasMeant) {
    refused_cut({"--zone", "tip", "--read", "437", "--want", "A4"}, "--read: '437' has no unit; did you mean 437Hz?\n");
    refused_cut({"--zone", "tip", "--read", "-12", "--want", "A4"},
                "--read: '-12' has no unit; did you mean -12c, cents from its note?\n");
    refused_cut({"--zone", "tip", "--read", "428hz", "--want", "A4"},
                "--read: unknown unit 'hz' in '428hz'; did you mean Hz?\n");
}

TEST_F(BadRequest, ALogTakesNoOptionThatItWouldNotLookAt) {
    for (const char* option : {"--shape", "--share", "--swing"}) {
        const Outcome outcome =
            run_program({"cut", brass, "--zone", "tip", "--read", "-12c", "--want", "A4", "--log", "/nowhere/a4.log",
                         option, option == std::string("--shape") ? "lines" : "1mm"});
        EXPECT_EQ(outcome.code, 2) << option;
        EXPECT_THAT(outcome.err, testing::HasSubstr("excludes")) << option;
    }
    refused({"cut", brass, "--zone", "tip", "--read", "-12c", "--want", "A4", "--again"}, 2,
            "--again requires --log\n" + help);
}

TEST_F(BadRequest, AnOptionThatWouldNotBeLookedAtIsRefused) {
    const auto code_2 = [&](std::vector<std::string> arguments, const char* words) {
        const Outcome outcome = run_program(arguments);
        EXPECT_EQ(outcome.code, 2) << words;
        EXPECT_THAT(outcome.err, testing::HasSubstr(words));
    };
    code_2({"cut", brass, "--zone", "tip", "--depth", "5um", "--overshoot", "5%"}, "excludes");
    code_2({"cut", brass, "--zone", "tip", "--depth", "5um", "--trust", "dimensions"}, "excludes");
    code_2({"cut", brass, "--zone", "tip", "--depth", "5um", "--share", "50%"}, "goes with --shape lines alone");
    code_2({"cut", brass, "--read", "-12c", "--want", "A4", "--share", "50%"}, "goes with --shape lines alone");
    refused_cut({"--read", "-12c", "--want", "A4", "--ramp", "banana"},
                "--ramp: 'banana' is not a length; it takes um, mm, cm, m or in\n");
    refused_cut({"--zone", "root", "--shape", "round-tip", "--depth", "0.2mm"},
                "--zone: root does not go with round-tip, which is at the tip; leave --zone out\n");
    const std::string ten_hole = REEDWRIGHT_SOURCE_DIR "/designs/03_ten_hole_brass/equal.yaml";
    const std::string nowhere = "/nowhere/out";
    refused({"shop", brass, "--out", nowhere, "--cut-width", "banana"}, 1,
            "--cut-width: goes with a design, and this is a tongue; leave it out\n");
    for (const auto& command : {std::vector<std::string>{"shop", "--out", nowhere},
                                {"sheet", "--out", testing::TempDir() + "no_sheet.html"},
                                {"scatter"},
                                {"plan"},
                                {"check"}}) {
        std::vector<std::string> arguments = command;
        arguments.insert(arguments.end(), {ten_hole, "--lot", "nosuch.yaml"});
        refused(arguments, 1, "nosuch.yaml: there is no such file\n");
    }
}

TEST_F(BadRequest, SamplesAreAWholeNumber) {
    refused({"scatter", brass, "--samples", "2500.5"}, 2, "--samples: 2500.5 is not a whole number\n" + help);
}

TEST_F(BadRequest, TheChanceToOvershootIsBelowOneHalf) {
    refused_cut({"--zone", "tip", "--read", "-12c", "--want", "A4", "--overshoot", "60%"},
                "--overshoot: 60% is outside 0 % to 50 %\n");
}

TEST_F(BadRequest, ALoadOnlyLowers) {
    refused({"load", brass, "--read", "-9c", "--want", "A4"}, 1,
            "a load only lowers the pitch; +9.00 cents are wanted; take metal from the tip instead\n");
}

TEST_F(BadRequest, ALoadAtTheRootBringsNothing) {
    const Outcome outcome = run_program({"load", brass, "--read", "+9c", "--want", "A4", "--at", "0mm", "--json"});
    EXPECT_EQ(outcome.code, 1);
    EXPECT_FALSE(nlohmann::json::parse(outcome.out).at("reachable").get<bool>());
    EXPECT_THAT(
        outcome.err,
        testing::MatchesRegex(
            "no load up to the tongue's own mass there brings -9\\.00 cents; [0-9.]+ mg bring [-+]0\\.00 cents\n"));
}

TEST_F(BadRequest, AFileIsThereAndIsARegularOne) {
    refused({"pitch", "nowhere.yaml"}, 1, "nowhere.yaml: there is no such file\n");
    refused({"pitch", "requests"}, 1, "requests: is a folder, not a file\n");
    refused({"pitch", "/dev/zero"}, 1, "/dev/zero: is a device or a pipe, not a regular file\n");
}

TEST_F(BadRequest, APipeIsRefusedWithoutWaitingForIt) {
    const Scratch scratch;
    const std::string pipe = (scratch.path() / "pipe.yaml").string();
    // Opening it would wait for a writer for ever.
    ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
    refused({"pitch", pipe}, 1, pipe + ": is a device or a pipe, not a regular file\n");
}

TEST_F(BadRequest, AFolderToWriteIntoIsThereAndTakesFiles) {
    refused({"pitch", brass, "--svg", "nowhere/a4.svg"}, 1,
            "nowhere/a4.svg: there is no folder nowhere to write into\n");
    refused({"where", brass, "--svg", "requests"}, 1, "requests: is a folder, not a file\n");
    refused({"shop", brass, "--out", "nowhere/a4"}, 1, "nowhere/a4: there is no folder nowhere to write into\n");
    // A folder in which nobody may make a file, not even who may do everything.
    refused({"pitch", brass, "--svg", "/proc/a4.svg"}, 1,
            "/proc/a4.svg: cannot be written: No such file or directory\n");
    refused({"shop", brass, "--out", "/proc/a4"}, 1, "/proc/a4: cannot be written: No such file or directory\n");
}

TEST_F(BadRequest, AFileThatStandsIsKept) {
    const Scratch scratch;
    const std::string picture = (scratch.path() / "a4.svg").string();
    std::ofstream(picture) << "mine";
    refused({"pitch", brass, "--svg", picture}, 1,
            picture + ": stands already; say --replace to write over it, or choose another name\n");
    refused({"where", brass, "--svg", picture}, 1,
            picture + ": stands already; say --replace to write over it, or choose another name\n");
    EXPECT_EQ(fs::file_size(picture), 4U);
    EXPECT_EQ(run_program({"pitch", brass, "--svg", picture, "--replace"}).code, 0);
    EXPECT_GT(fs::file_size(picture), 4U);
}

TEST_F(BadRequest, SomebodysOwnFolderIsKeptWhateverIsSaid) {
    const Scratch scratch;
    const std::string own = (scratch.path() / "own").string();
    fs::create_directory(own);
    std::ofstream(own + "/letter") << "mine";
    refused({"shop", brass, "--out", own}, 1,
            own + ": stands already; say --replace to write it anew, or choose another name\n");
    refused({"shop", brass, "--out", own, "--replace"}, 1,
            own + ": was not written by this program (it holds no contents.json); choose another name\n");
    EXPECT_TRUE(fs::exists(own + "/letter"));
    // No temporary one is left beside it.
    EXPECT_EQ(std::distance(fs::directory_iterator(scratch.path()), fs::directory_iterator()), 1);
}

TEST_F(BadRequest, AnUnknownMaterialIsToldWithWhatIsNearOrKnown) {
    refused({"materials", "cuzn37-r63"}, 1, "there is no material 'cuzn37-r63'; did you mean cuzn37-r630?\n");
    refused({"materials", "cuzn37"}, 1, "there is no material 'cuzn37'; did you mean cuzn37-plate or cuzn37-r630?\n");
    refused({"materials", "oak"}, 1, "there is no material 'oak'; 'materials' lists them\n");
    const Words dimensions{"--length", "15mm", "--width", "2mm", "--thickness", "0.12mm"};
    Words near{"pitch", "--material", "cuzn37-r63"};
    near.insert(near.end(), dimensions.begin(), dimensions.end());
    refused(near, 1, "--material: tongue.material: there is no material 'cuzn37-r63'; did you mean cuzn37-r630?\n");
    Words word{"pitch", "--material", "bronze"};
    word.insert(word.end(), dimensions.begin(), dimensions.end());
    refused(word, 1,
            "--material: tongue.material: there is no material 'bronze'; did you mean cusn5-h08, cusn6-r620 or "
            "cusn8-r700?\n");
    Words names;
    for (const auto& entry : fs::directory_iterator(REEDWRIGHT_SOURCE_DIR "/materials"))
        if (entry.path().extension() == ".yaml") names.push_back(entry.path().stem().string());
    std::sort(names.begin(), names.end());
    std::string known;
    for (const std::string& name : names) known += (known.empty() ? "" : ", ") + name;
    Words far{"pitch", "--material", "oak"};
    far.insert(far.end(), dimensions.begin(), dimensions.end());
    refused(far, 1, "--material: tongue.material: there is no material 'oak'; known: " + known + "\n");
}

TEST_F(BadRequest, DimensionsOnTheCommandLineAreCheckedLikeAFile) {
    refused({"pitch", "--material", "cuzn37-r630", "--length", "15", "--width", "2mm", "--thickness", "12mm"}, 1,
            "--length: tongue.length: '15' has no unit, and a length needs one; it takes um, mm, cm, m or in, from 1 "
            "mm to 200 mm\n"
            "--thickness: tongue.thickness: 12 mm is outside 0.01 mm to 1.5 mm; did you mean 0.12 mm?\n");
    refused({"pitch", "--length", "15mm", "--width", "2mm", "--thickness", "0.12mm"}, 1,
            "command line: tongue.material is missing\n");
    refused({"pitch", "--material", "cuzn37-r630", "--length", "15mm", "--width", "2mm", "--tip-thickness", "0.1mm"}, 1,
            "--tip-thickness: needs --thickness, the thickness at the root\n");
}

TEST_F(BadRequest, AFileOfTheOtherKindIsToldApartOnce) {
    const std::string of_a_tongue =
        "requests/brass.yaml:3:1: this file is of one tongue, where a design is wanted\n"
        "    tongue:\n"
        "    ^\n"
        "    a design has 'layout' or 'reeds', with as many notes as you like\n";
    for (const char* command : {"plan", "check", "bends", "leak"}) refused({command, brass}, 1, of_a_tongue);
    refused({"retune", brass, "readings.csv"}, 1, of_a_tongue);
    const std::string of_a_design =
        "requests/two_reeds.yaml:1:1: this file is a design, of many reeds, where the file of one tongue is wanted\n"
        "    reeds:\n"
        "    ^\n"
        "    a tongue file has 'tongue' with its material, length, width and thickness\n";
    for (const char* command : {"pitch", "where", "blow"})
        refused({command, "requests/two_reeds.yaml"}, 1, of_a_design);
    refused({"cut", "requests/two_reeds.yaml", "--zone", "tip", "--depth", "3um"}, 1, of_a_design);
}

TEST_F(BadRequest, BendsTellsWhatKeepsItFromBlowing) {
    const std::string reeds = "requests/two_reeds.yaml";
    refused({"bends", reeds, "--pressure", "6kPa"}, 1,
            "--pressure: a pressure of 6000 Pa is beyond the model, which holds to 5000 Pa: faster jets compress the "
            "air; a breath has 100 Pa to 1500 Pa, a bellows up to 3000 Pa\n");
    refused({"bends", reeds, "--pressure", "500"}, 1,
            "--pressure: '500' has no unit, and a pressure or modulus needs one; it takes Pa, hPa, kPa, MPa or GPa\n");
    refused({"bends", reeds, "--pressure", "0Pa"}, 1,
            "--pressure: a pressure of 0 Pa does not blow; a breath has 100 Pa to 1500 Pa\n");
    refused({"bends", "requests/inside_its_slot.yaml"}, 1,
            "requests/inside_its_slot.yaml:2:5: 1 blow and 1 more: slot.rest_gap: -0.15 mm lies inside the slot: a "
            "closing reed is choked there from the start, the wind only drives it deeper\n"
            "      - {cell: 1, row: blow, note: C5, length: 13.4 mm, width: 2 mm, thickness: 0.13 mm}\n"
            "        ^\n"
            "    set the tongue about its own thickness above the plate's face, 0.1 mm to 0.3 mm\n");
}

TEST_F(BadRequest, WrongUsageExitsWithTwo) {
    refused({"cut", brass, "--zone", "tip", "--read", "-12c"}, 2, "--read requires --want\n" + help);
    refused({"cut", brass, "--zone", "tip", "--want", "A4"}, 2, "--want requires --read\n" + help);
    refused({"cut", brass, "--zone", "tip", "--depth", "5um", "--read", "-12c", "--want", "A4"}, 2,
            "--depth excludes --read\n" + help);
    refused({"cut", brass, "--zone", "tip"}, 2, "--depth, or --read and --want is required\n" + help);
    refused({"cut", brass, "--depth", "5um"}, 2, "--zone is required\n" + help);
    refused({"cut", brass, "--zone", "tip", "--read", "-12c", "--want", "A4", "--trust", "me"}, 2,
            "--trust: me not in {dimensions}\n" + help);
    refused({"load", brass, "--read", "+9c"}, 2, "--want is required\n" + help);
    refused({"pitch"}, 2, "FILE, or --material, --length, --width and --thickness is required\n" + help);
    refused({"pitch", brass, "--length", "15mm"}, 2,
            "FILE and dimensions on the command line exclude each other\n" + help);
    refused({"pitch", brass, "--tier", "plate"}, 2, "--tier: plate not in {strip,beam}\n" + help);
    refused({"pitch", brass, "--colour"}, 2, "The following argument was not expected: --colour\n" + help);
    refused({"shop", brass}, 2, "--out is required\n" + help);
    refused({"shop", brass, "--out", "nowhere", "--schema", "AP203"}, 2,
            "--schema: AP203 not in {AP242,AP214}\n" + help);
}

TEST_F(BadRequest, NoCommandOrAnUnknownOneExitsWithTwo) {
    refused({}, 2, "A subcommand is required\n" + help);
    refused({"frobnicate", brass}, 2, "there is no command 'frobnicate'; 'reedwright --help' lists them\n");
    refused({"pich", brass}, 2, "there is no command 'pich'; did you mean pitch?\n");
}

}  // namespace
}  // namespace reedwright
