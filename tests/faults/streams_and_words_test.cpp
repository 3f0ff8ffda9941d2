// Standard streams that are closed, full or cut off; arguments that are empty, huge or very long.
#include "tests/support/program.hpp"

#include <fcntl.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <csignal>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using testing::AnyOf;
using testing::HasSubstr;
using testing::StartsWith;
using Words = std::vector<std::string>;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs";
const std::string brass = designs + "/01_three_tongues/brass_a4.yaml";
const std::string club = designs + "/02_club_mouth_organ/instrument.yaml";

std::string content_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

TEST(StandardOutput, that_is_full_loses_results_and_says_so) {
    for (const Words& command : {Words{"pitch", brass}, Words{"pitch", brass, "--json"}, Words{"materials"},
                                 Words{"plan", designs + "/03_ten_hole_brass/equal.yaml"}, Words{"--help"}}) {
        const Outcome outcome = run_program(command, [] { ::dup2(::open("/dev/full", O_WRONLY), STDOUT_FILENO); });
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_THAT(outcome.err, HasSubstr("the results are lost, standard output cannot be written"));
    }
}

TEST(StandardOutput, that_is_closed_loses_results_and_no_file_gets_them) {
    const Scratch scratch;
    const fs::path picture = scratch.path() / "a.svg";
    ASSERT_EQ(run_program({"where", brass, "--svg", picture.string()}).code, 0);
    const std::string whole = content_of(picture);
    // The first file that is opened would take the number of the closed stream.
    const auto all_closed = [] {
        for (const int stream : {STDIN_FILENO, STDOUT_FILENO}) ::close(stream);
    };
    const Outcome outcome = run_program({"where", brass, "--svg", picture.string(), "--replace"}, all_closed);
    EXPECT_EQ(outcome.code, 1);
    EXPECT_THAT(outcome.err, HasSubstr("the results are lost, standard output cannot be written"));
    EXPECT_EQ(content_of(picture), whole);
    const fs::path log = scratch.path() / "a4.log";
    EXPECT_EQ(run_program({"cut", brass, "--read", "-9c", "--want", "A4", "--zone", "tip", "--log", log.string()},
                          [] {
                              for (int stream = 0; stream <= STDERR_FILENO; ++stream) ::close(stream);
                          })
                  .code,
              1);
    const std::string pass = content_of(log);
    EXPECT_THAT(pass, StartsWith("# Readings of one reed"));
    EXPECT_EQ(std::count(pass.begin(), pass.end(), '\n'), 2);
}

TEST(StandardInput, that_is_closed_changes_nothing) {
    const Outcome open = run_program({"pitch", brass});
    const Outcome closed = run_program({"pitch", brass}, [] { ::close(STDIN_FILENO); });
    EXPECT_EQ(closed.code, 0);
    EXPECT_EQ(closed.out, open.out);
}

TEST(StandardOutput, that_nobody_reads_ends_the_program_without_a_word_and_after_its_files) {
    const Scratch scratch;
    const fs::path sheet = scratch.path() / "sheet.html";
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    ::close(ends[0]);
    const Outcome outcome =
        run_program({"retune", club, designs + "/02_club_mouth_organ/readings.csv", "--html", sheet.string()}, [&] {
            std::signal(SIGPIPE, SIG_DFL);
            ::dup2(ends[1], STDOUT_FILENO);
        });
    ::close(ends[1]);
    // Ended by the signal, as a shell expects of what stands before 'head'.
    EXPECT_EQ(outcome.code, 128 + SIGPIPE);
    EXPECT_THAT(outcome.err, AnyOf("", HasSubstr("wrote ")));
    EXPECT_THAT(content_of(sheet), HasSubstr("</html>"));
    EXPECT_EQ(std::distance(fs::directory_iterator(scratch.path()), fs::directory_iterator()), 1);
}

struct Refused {
    Words command;
    int code;
    std::string told;
};

TEST(Words, that_are_empty_huge_or_no_numbers_are_refused_by_name) {
    const std::string readings = designs + "/02_club_mouth_organ/readings.csv";
    const auto quick = [](const std::string& thickness) {
        return Words{"pitch",   "--material", "cuzn37-r630", "--length", "15mm",
                     "--width", "2mm",        "--thickness", thickness};
    };
    const std::vector<Refused> all{
        {quick("1e400mm"), 1, "--thickness: tongue.thickness: '1e400mm' is too large or too small a number"},
        {quick("99999999999999999999999999mm"), 1, "is outside 0.01 mm to 1.5 mm"},
        {quick("-0.1mm"), 1, "is outside 0.01 mm to 1.5 mm"},
        {quick("nanmm"), 1, "'nanmm' is not a length"},
        {quick("infmm"), 1, "'infmm' is not a length"},
        {quick(""), 1, "tongue.thickness is missing"},
        {{"pitch", ""}, 2, "FILE, or --material"},
        {{""}, 2, "there is no command ''"},
        {{"where", brass, "--svg", ""}, 2, "--svg: is empty"},
        {{"shop", brass, "--out", ""}, 2, "--out: is empty"},
        {{"cut", brass, "--read", "-12c", "--want", "A4", "--log", ""}, 2, "--log: is empty"},
        {{"cut", brass, "--read", "", "--want", "A4"}, 2, "--depth, or --read and --want is required"},
        {{"cut", brass, "--read", "-12c", "--want", ""}, 1, "--want: no pitch is written"},
        {{"cut", brass, "--read", "1e308Hz", "--want", "A4"}, 1, "--read: 1e+308 Hz is outside 10 Hz to 20000 Hz"},
        {{"cut", brass, "--read", "1e308c", "--want", "A4"}, 1, "--read: "},
        {{"cut", brass, "--read", "-12c", "--want", "A4", "--zone", "0mm..1e300mm"}, 1, "reaches outside the tongue"},
        {{"load", brass, "--read", "+9c", "--want", "A4", "--at", "1e300mm"}, 1, "--at: "},
        {{"blow", brass, "--pressure", "1e300Pa"}, 1, "--pressure: "},
        {{"scatter", brass, "--samples", "1e400"}, 2, "--samples: "},
        {{"scatter", brass, "--samples", ""}, 2, "--samples: "},
        {{"scatter", brass, "--seed", "99999999999999999999999999"}, 2, "a seed is a whole number from 0 to "},
        {{"scatter", brass, "--seed", "-1"}, 2, "a seed is a whole number from 0 to "},
        {{"scatter", brass, "--threads", "99999999999999999999"}, 2, "--threads: "},
        {{"donors", club, designs + "/02_club_mouth_organ/stock.yaml", "--cell", "99999999999999999999", "--row",
          "draw"},
         1,
         "is not the number of a cell"},
        {{"retune", club, readings, "--a4", "1e300Hz"}, 1, "--a4: "},
        {{"retune", club, ""}, 1, "the name of a file is empty"},
        {{"calibrate", ""}, 1, "the name of a file is empty"},
        {{"listen", ""}, 1, "the name of a file is empty"}};
    for (const Refused& one : all) {
        const Outcome outcome = run_program(one.command, [] { ::alarm(60); });
        EXPECT_EQ(outcome.code, one.code) << testing::PrintToString(one.command) << outcome.err;
        EXPECT_THAT(outcome.err, HasSubstr(one.told)) << testing::PrintToString(one.command);
        EXPECT_EQ(outcome.out, "");
    }
}

TEST(Words, of_a_hundred_thousand_letters_are_refused_and_end_nothing) {
    const std::string readings = designs + "/02_club_mouth_organ/readings.csv";
    const std::string letters(100'000, 'x');
    const std::string digits(100'000, '9');
    const std::vector<Refused> all{
        {{letters}, 2, "there is no command"},
        {{"pitch", letters}, 1, "File name too long"},
        {{"pitch", brass, "--" + letters}, 2, "not expected"},
        {{"where", brass, "--svg", letters}, 1, "File name too long"},
        {{"shop", brass, "--out", letters}, 1, "File name too long"},
        {{"materials", letters}, 1, "there is no material"},
        {{"listen", letters}, 1, "there is no such file"},
        {{"retune", club, letters}, 1, "File name too long"},
        {{"retune", club, readings, "--html", letters}, 1, "File name too long"},
        {{"cut", brass, "--read", letters, "--want", "A4"}, 1, "--read: "},
        {{"cut", brass, "--read", digits + "Hz", "--want", "A4"}, 1, "--read: "},
        {{"cut", brass, "--read", "-12c", "--want", "A4", "--zone", letters}, 1, "zone "},
        {{"cut", brass, "--read", "-12c", "--want", "A4", "--zone", "tip", "--log", letters}, 1, "File name too long"},
        {{"pitch", "--material", letters, "--length", "15mm", "--width", "2mm", "--thickness", "0.1mm"},
         1,
         "there is no material"},
        {{"scatter", brass, "--samples", digits}, 2, "--samples: "}};
    for (const Refused& one : all) {
        const Outcome outcome = run_program(one.command, [] { ::alarm(60); });
        const std::string which = one.command.front().substr(0, 20) + " " + std::to_string(one.command.size());
        EXPECT_EQ(outcome.code, one.code) << which << outcome.err.substr(0, 300);
        EXPECT_NE(outcome.err.find(one.told), std::string::npos) << which << outcome.err.substr(0, 300);
        EXPECT_EQ(outcome.out, "");
    }
}

}  // namespace
}  // namespace reedwright
