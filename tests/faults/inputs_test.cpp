// Inputs that are no files, too large, too deep, of other bytes or another language's numbers.
#include "app/command_line.hpp"
#include "tests/support/program.hpp"

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/sysmacros.h>
#include <clocale>
#include <cmath>
#include <locale>
#include <map>
#include <regex>
#include <sstream>

namespace reedwright {
namespace {

namespace fs = std::filesystem;
using testing::HasSubstr;
using Words = std::vector<std::string>;

const std::string designs = REEDWRIGHT_SOURCE_DIR "/designs";
const std::string brass = designs + "/01_three_tongues/brass_a4.yaml";
const std::string club = designs + "/02_club_mouth_organ/";

std::string content_of(const fs::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

// Every way in which a file comes in.
std::vector<Words> readers_of(const std::string& file) {
    return {{"pitch", file},
            {"plan", file},
            {"shop", file, "--out", "never"},
            {"calibrate", file},
            {"retune", club + "instrument.yaml", file},
            {"donors", club + "instrument.yaml", file, "--cell", "4", "--row", "draw"},
            {"cut", brass, "--read", "-9c", "--want", "A4", "--zone", "tip", "--log", file},
            {"pitch", brass, "--lot", file},
            {"listen", file}};
}

// A program that waits for ever is ended, and one that takes in what it should refuse has not the memory for it.
void in_bounds() {
    ::alarm(addresses_are_checked ? 600 : 60);
    if (addresses_are_checked) return;
    const rlimit half_a_gigabyte{1U << 29U, 1U << 29U};
    ::setrlimit(RLIMIT_AS, &half_a_gigabyte);
}

// Two runs never take the same time.
std::string without_clock(const std::string& text) {
    return std::regex_replace(text, std::regex("[^,]* s, [^,]* tongues a second"), " clocked");
}

TEST(Input, that_is_a_pipe_a_device_or_a_link_to_itself_is_refused_without_waiting) {
    const Scratch scratch;
    const std::string pipe = (scratch.path() / "pipe").string();
    const std::string loop = (scratch.path() / "loop").string();
    // As endless as the system's own: a node of the test, in its own folder.
    const std::string zeros = (scratch.path() / "zeros").string();
    ASSERT_EQ(::mkfifo(pipe.c_str(), 0600), 0);
    fs::create_symlink("loop", loop);
    const bool device = ::mknod(zeros.c_str(), S_IFCHR | 0600, makedev(1, 5)) == 0;
    for (const Words& command : readers_of(pipe)) {
        const Outcome outcome = run_program(command, in_bounds);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_EQ(outcome.err, pipe + ": is a device or a pipe, not a regular file\n") << command.front();
    }
    for (const Words& command : readers_of(loop)) {
        const Outcome outcome = run_program(command, in_bounds);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_THAT(outcome.err, HasSubstr(loop + ": ")) << command.front();
        EXPECT_TRUE(fs::is_symlink(loop));
    }
    if (!device) GTEST_SKIP() << "no device node may be made here; pipes and links were tried";
    for (const Words& command : readers_of(zeros)) {
        const Outcome outcome = run_program(command, in_bounds);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_EQ(outcome.err, zeros + ": is a device or a pipe, not a regular file\n") << command.front();
    }
}

TEST(Input, of_a_gigabyte_is_refused_by_its_size_without_taking_it_in) {
    const Scratch scratch;
    const std::string large = (scratch.path() / "large").string();
    std::ofstream(large) << "tongue:\n";
    fs::resize_file(large, std::uintmax_t{1} << 30U);
    for (const Words& command : readers_of(large)) {
        // Sounds are as long as they are; theirs is a limit on seconds.
        if (command.front() == "listen") continue;
        const Outcome outcome = run_program(command, in_bounds);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_EQ(outcome.err,
                  fmt::format("{}: is larger than the {} MiB allowed\n", large, command.size() > 8 ? 1 : 4));
    }
}

std::string put_u32(std::uint32_t value) {
    std::string bytes;
    for (int i = 0; i < 4; ++i) bytes += static_cast<char>(value >> (8 * i));
    return bytes;
}

TEST(Input, that_claims_more_sound_than_it_holds_or_anyone_needs_is_refused) {
    const Scratch scratch;
    const std::string file = (scratch.path() / "a.wav").string();
    struct Claim {
        std::uint32_t rate;
        std::uint16_t channels;
        std::uint32_t bytes;
        std::string told;
    };
    // Hours in a sparse file; more channels than a recorder has; samples beyond what is taken at once.
    for (const Claim& claim : {Claim{8000, 1, 40'000'000, "s are more than the 600 s allowed"},
                               Claim{48000, 200, 1'000'000, "200 channels, more than the 16 taken"},
                               Claim{1'000'000, 1, 200'000'000, "more than the 57600000 taken at once"}}) {
        std::ofstream(file, std::ios::binary)
            << "RIFF" << put_u32(36 + claim.bytes) << "WAVEfmt " << put_u32(16) << '\x01' << '\0'
            << static_cast<char>(claim.channels) << '\0' << put_u32(claim.rate)
            << put_u32(2 * claim.rate * claim.channels) << static_cast<char>(2 * claim.channels % 256)
            << static_cast<char>(2 * claim.channels / 256) << '\x10' << '\0' << "data" << put_u32(claim.bytes);
        fs::resize_file(file, 44 + claim.bytes);
        const Outcome outcome = run_program({"listen", file}, in_bounds);
        EXPECT_EQ(outcome.code, 1) << outcome.out;
        EXPECT_THAT(outcome.err, HasSubstr(claim.told));
    }
}

TEST(Input, nested_or_aliased_without_end_is_refused_at_once) {
    const Scratch scratch;
    const std::string file = (scratch.path() / "deep.yaml").string();
    std::ofstream(file) << "tongue: " << std::string(1'000'000, '[') << std::string(1'000'000, ']') << '\n';
    const Outcome deep = run_program({"pitch", file}, in_bounds);
    EXPECT_EQ(deep.code, 1);
    EXPECT_THAT(deep.err, HasSubstr("nested deeper than 12 levels"));
    std::ofstream bomb(file);
    bomb << "a: &a [lol, lol, lol, lol]\n";
    for (char letter = 'b'; letter <= 'z'; ++letter)
        bomb << fmt::format("{0}: &{0} [*{1}, *{1}, *{1}, *{1}]\n", letter, static_cast<char>(letter - 1));
    bomb.close();
    const Outcome aliased = run_program({"pitch", file}, in_bounds);
    EXPECT_EQ(aliased.code, 1);
    EXPECT_THAT(aliased.err, HasSubstr("anchors and aliases are not taken"));
}

std::string tongue_of(int stations) {
    std::string text = "note: A4\ntongue:\n  material: cuzn37-r630\n  length: 15 mm\n  width: 2 mm\n  thickness:\n";
    for (int i = 0; i < stations; ++i) {
        const double share = static_cast<double>(i) / (stations - 1);
        text += fmt::format("    - [{:.9g} mm, {:.9g} mm]\n", 15.0 * share, 0.16 - 0.08 * share);
    }
    return text + "air: none\n";
}

TEST(Input, of_ten_thousand_stations_sounds_as_the_two_that_say_the_same) {
    const Scratch scratch;
    const auto pitch_of = [&](int stations) {
        const fs::path file = scratch.path() / "many.yaml";
        std::ofstream(file) << tongue_of(stations);
        const Outcome outcome = run_program({"pitch", file.string(), "--json"}, in_bounds);
        EXPECT_EQ(outcome.code, 0) << outcome.err.substr(0, 300);
        std::smatch found;
        const std::regex key(R"re("flap_hz": \[\s*([0-9.]+))re");
        return std::regex_search(outcome.out, found, key) ? std::stod(found[1]) : 0.0;
    };
    const double few = pitch_of(2);
    EXPECT_GT(few, 300.0);
    // More stations make more elements, and what they may bend to as well can only lower the pitch (Ritz); by 0.01 cent
    // at most, which two stations' elements are fine enough for.
    const double hundredth_cent = std::exp2(0.01 / 1200.0) - 1.0;
    const double more = pitch_of(300);
    EXPECT_LT(more, few);
    EXPECT_NEAR(more / few, 1.0, hundredth_cent);
    // From a thousand elements on digits are lost (strip_solver.cpp): no more than that either way.
    EXPECT_NEAR(pitch_of(10'000) / more, 1.0, hundredth_cent);
    // And it can be cut and drawn.
    const std::string many = (scratch.path() / "many.yaml").string();
    EXPECT_EQ(run_program({"cut", many, "--zone", "tip", "--depth", "3um"}, in_bounds).code, 0);
    EXPECT_EQ(run_program({"where", many, "--svg", (scratch.path() / "a.svg").string()}, in_bounds).code, 0);
}

TEST(Input, with_a_mark_at_its_start_or_other_line_ends_reads_the_same) {
    const Scratch scratch;
    const Outcome plain = run_program({"pitch", brass, "--json"});
    ASSERT_EQ(plain.code, 0);
    std::string text = content_of(brass);
    const fs::path file = scratch.path() / "brass_a4.yaml";
    std::ofstream(file, std::ios::binary) << "\xEF\xBB\xBF" << std::regex_replace(text, std::regex("\n"), "\r\n");
    const Outcome other = run_program({"pitch", file.string(), "--json"});
    EXPECT_EQ(other.code, 0) << other.err;
    EXPECT_EQ(without_clock(other.out), without_clock(plain.out));
    const std::string table = content_of(club + "readings.csv");
    const fs::path readings = scratch.path() / "readings.csv";
    std::ofstream(readings, std::ios::binary) << "\xEF\xBB\xBF" << std::regex_replace(table, std::regex("\n"), "\r\n");
    EXPECT_EQ(run_program({"retune", club + "instrument.yaml", readings.string()}).out,
              run_program({"retune", club + "instrument.yaml", club + "readings.csv"}).out);
}

TEST(Input, of_bytes_that_are_no_text_is_refused_with_its_line) {
    const Scratch scratch;
    const std::string file = (scratch.path() / "latin").string();
    std::ofstream(file, std::ios::binary) << "# plain\n# gr\xFC\xDF"
                                             "e\n";
    for (const Words& command : readers_of(file)) {
        if (command.front() == "listen") continue;
        const Outcome outcome = run_program(command, in_bounds);
        EXPECT_EQ(outcome.code, 1) << command.front();
        EXPECT_THAT(outcome.err, HasSubstr(file + ": line 2 is not UTF-8 text (byte 0xfc)")) << command.front();
    }
}

// Numbers as German is written: 1.234,5.
class CommaNumbers : public std::numpunct<char> {
    char do_decimal_point() const override { return ','; }
    char do_thousands_sep() const override { return '.'; }
    std::string do_grouping() const override { return "\3"; }
};

struct Told {
    int code;
    std::string out;
    std::string err;
};

Told run_here(Words words) {
    words.insert(words.begin(), "reedwright");
    std::vector<char*> pointers;
    for (std::string& word : words) pointers.push_back(word.data());
    pointers.push_back(nullptr);
    std::ostringstream out;
    std::ostringstream err;
    const int code = app::run(static_cast<int>(words.size()), pointers.data(), {out, err});
    return {code, out.str(), err.str()};
}

const std::vector<Words>& told_commands() {
    static const std::vector<Words> all{
        {"pitch", brass},
        {"pitch", brass, "--json"},
        {"where", brass, "--json"},
        {"cut", brass, "--read", "-12c", "--want", "A4"},
        {"cut", brass, "--read", "-12c", "--want", "A4", "--json"},
        {"retune", club + "instrument.yaml", club + "readings.csv", "--json"},
        {"calibrate", designs + "/01_three_tongues/measured_brass.yaml"},
        {"scatter", brass, "--samples", "2000"},
        {"plan", designs + "/03_ten_hole_brass/equal.yaml"},
        {"materials", "cuzn37-r630"},
        {"pitch", "--material", "cuzn37-r630", "--length", "15,5mm", "--width", "2mm", "--thickness", "0.1mm"}};
    return all;
}

TEST(DecimalComma, of_the_process_changes_no_word_of_what_is_told_or_written) {
    ::setenv("REEDWRIGHT_MATERIALS", REEDWRIGHT_SOURCE_DIR "/materials", 1);
    const Scratch scratch;
    const auto all_here = [&](const std::string& folder) {
        std::string all;
        for (const Words& command : told_commands()) {
            const Told told = run_here(command);
            all += fmt::format("exit {}\n{}{}", told.code, without_clock(told.out), told.err);
        }
        const std::string path = (scratch.path() / folder).string();
        EXPECT_EQ(run_here({"where", brass, "--svg", path + ".svg"}).code, 0);
        EXPECT_EQ(run_here({"retune", club + "instrument.yaml", club + "readings.csv", "--html", path + ".html",
                            "--csv", path + ".csv"})
                      .code,
                  0);
        for (const char* const ending : {".svg", ".html", ".csv"}) all += content_of(path + ending);
        return all;
    };
    const std::string with_point = all_here("point");
    const std::locale before = std::locale::global(std::locale(std::locale::classic(), new CommaNumbers));
    const std::string with_comma = all_here("comma");
    std::locale::global(before);
    EXPECT_THAT(with_point, HasSubstr("exit 0"));
    EXPECT_EQ(with_comma, with_point);
}

TEST(DecimalComma, of_the_users_language_changes_no_word_and_no_file) {
    // A German locale made for this test, where the machine has none and holds the sources.
    const Scratch scratch;
    const std::string folder = scratch.path().string();
    const std::string make = "localedef --no-archive -i de_DE -f UTF-8 " + folder + "/de_DE.UTF-8 >/dev/null 2>&1";
    const int made = std::system(make.c_str());
    const auto german = [&] {
        ::setenv("LOCPATH", folder.c_str(), 1);
        ::setenv("LC_ALL", "de_DE.UTF-8", 1);
        ::setenv("LANG", "de_DE.UTF-8", 1);
    };
    if (made != 0) GTEST_SKIP() << "localedef makes no de_DE.UTF-8 here";
    for (const Words& command : told_commands()) {
        const Outcome plain = run_program(command);
        const Outcome other = run_program(command, german);
        EXPECT_EQ(other.code, plain.code);
        EXPECT_EQ(without_clock(other.out), without_clock(plain.out));
        EXPECT_EQ(other.err, plain.err);
    }
    const auto shop = [&](const std::string& name, const std::function<void()>& before) {
        const std::string path = (scratch.path() / name).string();
        EXPECT_EQ(run_program({"shop", designs + "/03_ten_hole_brass/equal.yaml", "--out", path}, before).code, 0);
        std::map<std::string, std::string> files;
        for (const auto& entry : fs::directory_iterator(path))
            files[entry.path().filename().string()] = content_of(entry.path());
        return files;
    };
    const auto plain = shop("plain", {});
    const auto other = shop("german", german);
    EXPECT_GT(plain.size(), 20U);
    EXPECT_TRUE(plain == other);
    // And where the C library's numbers are German inside the process itself, as a host program may set them.
    ::setenv("LOCPATH", folder.c_str(), 1);
    ASSERT_NE(std::setlocale(LC_ALL, "de_DE.UTF-8"), nullptr);
    ASSERT_STREQ(std::localeconv()->decimal_point, ",");
    std::vector<Told> with_comma;
    for (const Words& command : told_commands()) with_comma.push_back(run_here(command));
    std::setlocale(LC_ALL, "C");
    for (std::size_t i = 0; i < with_comma.size(); ++i) {
        const Told with_point = run_here(told_commands()[i]);
        EXPECT_EQ(with_comma[i].code, with_point.code);
        EXPECT_EQ(without_clock(with_comma[i].out), without_clock(with_point.out));
        EXPECT_EQ(with_comma[i].err, with_point.err);
    }
}

}  // namespace
}  // namespace reedwright
