// The log of a reed: what it keeps, and what a killed process may do to it.
#include "core/retune/pass_log.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <csignal>
#include <nlohmann/json.hpp>

namespace reedwright {
namespace {

PassRecord record(double hertz_read, double proposed_um) {
    return {hertz_read * hertz,      440.0 * hertz, {12.0 * millimetre, 15.0 * millimetre}, {}, {},
            proposed_um * micrometre};
}

TEST(PassLog, Keeps_what_was_appended) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    EXPECT_TRUE(read_pass_log(file).records.empty());
    append_pass(file, record(437.0, 2.0));
    PassRecord second = record(438.9, 0.9);
    second.taken = 1.8 * micrometre;
    second.strokes = 6.0;
    append_pass(file, second);
    const PassLog log = read_pass_log(file);
    ASSERT_EQ(log.records.size(), 2U);
    EXPECT_FALSE(log.cut_short);
    EXPECT_DOUBLE_EQ(log.records[0].reading.value(), 437.0);
    EXPECT_FALSE(log.records[0].taken);
    EXPECT_NEAR(in(*log.records[1].taken, micrometre), 1.8, 1e-9);
    EXPECT_DOUBLE_EQ(*log.records[1].strokes, 6.0);
    EXPECT_NEAR(in(log.records[1].proposed, micrometre), 0.9, 1e-9);
}

TEST(PassLog, A_line_cut_short_is_left_out_and_makes_room) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    append_pass(file, record(437.0, 2.0));
    std::ofstream(file, std::ios::app) << "- {reading: 438.9 Hz, wa";
    PassLog log = read_pass_log(file);
    EXPECT_EQ(log.records.size(), 1U);
    EXPECT_TRUE(log.cut_short);
    append_pass(file, record(439.0, 0.5));
    log = read_pass_log(file);
    ASSERT_EQ(log.records.size(), 2U);
    EXPECT_FALSE(log.cut_short);
    EXPECT_DOUBLE_EQ(log.records[1].reading.value(), 439.0);
}

std::string text_of(const std::filesystem::path& file) {
    std::ifstream in(file);
    return {std::istreambuf_iterator<char>(in), {}};
}

TEST(PassLog, A_file_that_is_no_log_is_refused_and_left_as_it_is) {
    const Scratch scratch;
    const auto file = scratch.path() / "mine";
    const std::vector<std::string> files{"one line of notes",
                                         "one line of notes\n",
                                         "# my own notes\n",
                                         "# my own notes",
                                         "\n",
                                         "cell,row,reading\n1,blow,440 Hz\n2,blow,441 Hz",
                                         "cell,row,reading\n1,blow,440 Hz\n",
                                         "note: A4\ntongue:\n  length: 15 mm\nloads:\n- {at: 14 mm, mass: 2 mg}",
                                         "- milk\n- bread",
                                         "- {at: 14 mm, mass: 2 mg",
                                         "- {at: 14 mm, mass: 2 mg}\n",
                                         "- {at: 14 mm, mass: 2 mg}"};
    for (const std::string& text : files) {
        std::ofstream(file) << text;
        EXPECT_THROW(read_pass_log(file), InputError) << text;
        const Outcome outcome =
            run_program({"cut", REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml", "--read", "-12c",
                         "--want", "A4", "--zone", "tip", "--log", file.string()});
        EXPECT_EQ(outcome.code, 1) << text;
        EXPECT_THAT(outcome.err, testing::HasSubstr("mine:1:")) << text;
        EXPECT_EQ(text_of(file), text);
    }
    // What begins as no log is not written to by the function alone either.
    std::ofstream(file) << files.front();
    EXPECT_THROW(append_pass(file, record(437.0, 2.0)), InputError);
    EXPECT_EQ(text_of(file), files.front());
}

TEST(PassLog, Only_a_reading_may_be_left_out_as_unfinished) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    append_pass(file, record(437.0, 2.0));
    std::ofstream(file, std::ios::app) << "brushed the dust off";
    const std::string before = text_of(file);
    EXPECT_THROW(read_pass_log(file), InputError);
    EXPECT_THROW(append_pass(file, record(439.0, 0.5)), InputError);
    EXPECT_EQ(text_of(file), before);
}

TEST(PassLog, A_whole_reading_without_a_lines_end_is_kept) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    std::string line = pass_line(record(437.0, 2.0));
    line.pop_back();
    std::ofstream(file) << line;
    EXPECT_EQ(read_pass_log(file).records.size(), 1U);
    append_pass(file, record(439.0, 0.5));
    const PassLog log = read_pass_log(file);
    ASSERT_EQ(log.records.size(), 2U);
    EXPECT_DOUBLE_EQ(log.records[0].reading.value(), 437.0);
}

TEST(PassLog, A_header_cut_short_makes_room) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    append_pass(file, record(437.0, 2.0));
    const std::string whole = text_of(file);
    for (std::size_t size = 1; size < whole.size() - 2; ++size) {
        std::ofstream(file) << whole.substr(0, size);
        append_pass(file, record(437.0, 2.0));
        ASSERT_EQ(text_of(file), whole) << size;
    }
}

TEST(PassLog, Survives_processes_killed_at_any_moment) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    std::size_t least = 0;
    for (int round = 0; round < 60; ++round) {
        const pid_t child = ::fork();
        if (child == 0) {
            for (;;) append_pass(file, record(437.0, 2.0));
        }
        ::usleep(static_cast<useconds_t>(300 + 97 * round));
        ::kill(child, SIGKILL);
        ::waitpid(child, nullptr, 0);
        const PassLog log = read_pass_log(file);
        EXPECT_GE(log.records.size(), least);
        least = log.records.size();
    }
    EXPECT_GT(least, 0U);
}

TEST(PassLog, A_fault_is_told_with_its_place) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.log";
    std::ofstream(file) << "- {reading: 437, want: 440 Hz, from: 12 mm, to: 15 mm, proposed: 2 um}\n";
    try {
        read_pass_log(file);
        FAIL() << "a bare number was taken for a pitch";
    } catch (const InputError& error) {
        EXPECT_THAT(error.what(), testing::HasSubstr("a4.log:1:13: [1].reading: '437' has no unit"));
    }
}

TEST(PassLog, The_command_learns_from_its_log_and_refuses_another_zone) {
    const Scratch scratch;
    const std::string log = (scratch.path() / "a4.log").string();
    const std::string tongue = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml";
    const auto cut = [&](std::vector<std::string> more) {
        std::vector<std::string> arguments{"cut", tongue, "--want", "A4", "--log", log, "--json"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return run_program(arguments);
    };
    const auto first = nlohmann::json::parse(cut({"--read", "-12c", "--zone", "tip"}).out);
    EXPECT_EQ(first["verdict"], "cut");
    EXPECT_EQ(first["passes"], 0);
    // It bit only half as deep as asked.
    const auto second = nlohmann::json::parse(cut({"--read", "-6.5c", "--zone", "tip", "--strokes", "8"}).out);
    EXPECT_EQ(second["passes"], 1);
    EXPECT_LT(second["gain"].get<double>(), 0.98);
    EXPECT_NEAR(second["cents_per_stroke"].get<double>(), 5.5 / 8.0, 0.01);
    EXPECT_EQ(cut({"--read", "-6c", "--zone", "root"}).code, 1);
    EXPECT_EQ(nlohmann::json::parse(cut({"--read", "+0.5c", "--zone", "tip"}).out)["verdict"], "done");
    EXPECT_EQ(read_pass_log(log).records.size(), 3U);
}

TEST(PassLog, Entries_are_the_same_when_all_that_they_say_is) {
    const PassRecord one = record(437.0, 2.0);
    EXPECT_TRUE(same_entry(one, record(437.001, 0.9)));
    EXPECT_FALSE(same_entry(one, record(437.05, 2.0)));
    PassRecord other = one;
    other.taken = 1.8 * micrometre;
    EXPECT_FALSE(same_entry(one, other));
    PassRecord more = other;
    more.taken = 1.9 * micrometre;
    EXPECT_FALSE(same_entry(more, other));
    other = one;
    other.strokes = 6.0;
    EXPECT_FALSE(same_entry(one, other));
    other = one;
    other.zone.from = 12.1 * millimetre;
    EXPECT_FALSE(same_entry(one, other));
}

class LoggedCut : public testing::Test {
protected:
    Outcome cut(std::vector<std::string> more) const {
        std::vector<std::string> arguments{
            "cut",   REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml", "--want", "A4", "--zone", "tip",
            "--json"};
        arguments.insert(arguments.end(), more.begin(), more.end());
        return run_program(arguments);
    }
    nlohmann::json logged(std::vector<std::string> more) const {
        more.insert(more.end(), {"--log", log()});
        return nlohmann::json::parse(cut(more).out);
    }
    std::string log() const { return (scratch_.path() / "a4.log").string(); }

private:
    Scratch scratch_;
};

TEST_F(LoggedCut, The_ramp_is_kept_and_another_is_refused) {
    const auto first = logged({"--read", "-12c", "--ramp", "0.3mm"});
    EXPECT_EQ(first["passes"], 0);
    ASSERT_TRUE(read_pass_log(log()).records[0].ramp);
    EXPECT_NEAR(in(*read_pass_log(log()).records[0].ramp, millimetre), 0.3, 1e-9);
    const Outcome other = cut({"--read", "-5c", "--log", log()});
    EXPECT_EQ(other.code, 1);
    EXPECT_THAT(other.err, testing::HasSubstr("is of cuts with ramps of 0.3 mm"));
    EXPECT_EQ(read_pass_log(log()).records.size(), 1U);
    EXPECT_EQ(logged({"--read", "-5c", "--ramp", "0.3mm"})["passes"], 1);
    // A log of before ramps were kept goes on.
    std::ofstream(log()) << "- {reading: 436.961 Hz, want: 440 Hz, from: 12 mm, to: 15 mm, proposed: 1.9 um}\n";
    EXPECT_EQ(logged({"--read", "-5c", "--ramp", "0.2mm"})["passes"], 1);
}

TEST_F(LoggedCut, Its_answer_holds_what_a_cut_without_a_log_answers) {
    const std::vector<std::string> words{"--read", "-12c"};
    const auto first = logged(words);
    const auto plain = nlohmann::json::parse(cut(words).out);
    for (const char* key :
         {"depth_um", "shift_cents", "new_pitch_hz", "removed_mg", "thinnest_mm", "first_pass_um", "reachable"}) {
        ASSERT_TRUE(first.contains(key)) << key;
        // One rule and one tongue: equal to rounding.
        if (first[key].is_number())
            EXPECT_NEAR(first[key].get<double>(), plain[key].get<double>(), 1e-9) << key;
        else
            EXPECT_EQ(first[key], plain[key]) << key;
    }
    // After a pass all of it is of what is left.
    const auto second = logged({"--read", "-4.5c"});
    EXPECT_NEAR(second["shift_cents"].get<double>(), 4.5, 0.02);
    EXPECT_NEAR(second["new_pitch_hz"].get<double>(), 440.0, 0.01);
    EXPECT_GE(second["depth_um"].get<double>(), second["first_pass_um"].get<double>());
    const auto ended = logged({"--read", "+0.5c"});
    EXPECT_TRUE(ended["reachable"].get<bool>());
    EXPECT_EQ(ended["depth_um"], 0.0);
    EXPECT_EQ(ended["first_pass_um"], 0.0);
    EXPECT_EQ(ended["shift_cents"], 0.0);
    const auto past = logged({"--read", "+9c"});
    EXPECT_FALSE(past["reachable"].get<bool>());
    EXPECT_EQ(past["depth_um"], 0.0);
    std::filesystem::remove(log());
    const Outcome far = cut({"--read", "-600c", "--log", log()});
    EXPECT_EQ(far.code, 1);
    EXPECT_FALSE(nlohmann::json::parse(far.out)["reachable"].get<bool>());
    EXPECT_GT(nlohmann::json::parse(far.out)["shift_cents"].get<double>(), 10.0);
}

TEST_F(LoggedCut, Repeating_the_last_command_counts_nothing_unless_told) {
    logged({"--read", "-12c"});
    const auto again = logged({"--read", "-12c"});
    EXPECT_TRUE(again["repeated"].get<bool>());
    EXPECT_EQ(again["passes"], 0);
    EXPECT_EQ(read_pass_log(log()).records.size(), 1U);
    const auto once = logged({"--read", "-4.5c", "--strokes", "8"});
    EXPECT_FALSE(once["repeated"].get<bool>());
    const auto twice = logged({"--read", "-4.5c", "--strokes", "8"});
    EXPECT_TRUE(twice["repeated"].get<bool>());
    // Six digits of hertz in the log are some thousandths of a cent.
    EXPECT_NEAR(twice["gain"].get<double>(), once["gain"].get<double>(), 1e-3);
    EXPECT_NEAR(twice["cents_per_stroke"].get<double>(), once["cents_per_stroke"].get<double>(), 1e-3);
    EXPECT_EQ(read_pass_log(log()).records.size(), 2U);
    // Eight strokes that moved nothing are a pass when the user says so.
    const auto told = logged({"--read", "-4.5c", "--strokes", "8", "--again"});
    EXPECT_FALSE(told["repeated"].get<bool>());
    EXPECT_EQ(told["passes"], 2);
    EXPECT_LT(told["gain"].get<double>(), once["gain"].get<double>());
    EXPECT_EQ(read_pass_log(log()).records.size(), 3U);
}

TEST_F(LoggedCut, A_cut_that_went_the_wrong_way_is_told_and_not_learnt_from) {
    logged({"--read", "-12c"});
    const auto good = logged({"--read", "-8c"});
    EXPECT_TRUE(good["left_out"].empty());
    const auto wrong = logged({"--read", "-15c"});
    ASSERT_EQ(wrong["left_out"].size(), 1U);
    EXPECT_EQ(wrong["left_out"][0]["reading"], 3);
    // Six digits of hertz in the log are some thousandths of a cent.
    EXPECT_NEAR(wrong["left_out"][0]["observed_cents"].get<double>(), -7.0, 0.01);
    EXPECT_NEAR(wrong["gain"].get<double>(), good["gain"].get<double>(), 1e-3);
    EXPECT_NEAR(wrong["gain_sigma"].get<double>(), good["gain_sigma"].get<double>(), 1e-3);
    EXPECT_THAT(wrong["warnings"].dump(), testing::HasSubstr("entry 3 of the log moved the pitch by -7.0 cents"));
    EXPECT_THAT(wrong["warnings"].dump(), testing::HasSubstr("wrong end"));
}

TEST_F(LoggedCut, The_first_pass_is_the_one_that_cut_proposes_without_a_log) {
    for (const char* level : {"5 %", "1 %", "20 %"}) {
        const std::vector<std::string> words{"--read", "-12c", "--overshoot", level};
        std::filesystem::remove(log());
        const auto first = logged(words);
        const auto plain = nlohmann::json::parse(cut(words).out);
        // One rule and one tongue: equal to rounding.
        EXPECT_NEAR(first["first_pass_um"].get<double>(), plain["first_pass_um"].get<double>(), 1e-9) << level;
        EXPECT_NEAR(first["depth_um"].get<double>(), plain["depth_um"].get<double>(), 1e-9) << level;
    }
    std::filesystem::remove(log());
    const std::vector<std::string> trusting{"--read", "-60c", "--trust", "dimensions"};
    EXPECT_NEAR(logged(trusting)["first_pass_um"].get<double>(),
                nlohmann::json::parse(cut(trusting).out)["first_pass_um"].get<double>(), 1e-9);
}

TEST_F(LoggedCut, Of_a_material_of_three_numbers_passes_say_what_they_rest_on) {
    const Scratch scratch;
    const std::string tongue = (scratch.path() / "bare.yaml").string();
    std::ofstream(tongue) << "note: D4\ntongue:\n"
                             "  material: {youngs_modulus: 110 GPa, density: 8530 kg/m^3, poisson_ratio: 0.34}\n"
                             "  length: 15 mm\n  width: 2 mm\n  thickness: 0.12 mm\n";
    const std::vector<std::string> words{"cut", tongue, "--read", "-12c", "--want", "D4", "--zone", "tip"};
    const std::string said = "passes use the uncertainty of the dimensions alone";
    for (const std::vector<std::string>& more :
         {std::vector<std::string>{}, {"--trust", "dimensions"}, {"--log", log()}}) {
        std::vector<std::string> all = words;
        all.insert(all.end(), more.begin(), more.end());
        EXPECT_THAT(run_program(all).out, testing::HasSubstr(said)) << testing::PrintToString(more);
        all.push_back("--json");
        EXPECT_EQ(nlohmann::json::parse(run_program(all).out)["unknown_spread"].size(), 3U);
    }
    // What pitch does not know, scatter does not either.
    const auto pitch = nlohmann::json::parse(run_program({"pitch", tongue, "--json"}).out);
    EXPECT_TRUE(pitch["expanded_uncertainty_cents"].is_null());
    const auto scatter =
        nlohmann::json::parse(run_program({"scatter", tongue, "--samples", "1000", "--json"}).out)["tongues"][0];
    EXPECT_TRUE(scatter["total_std_cents"].is_null());
    EXPECT_GT(scatter["std_cents"].get<double>(), 0.0);
}

TEST_F(LoggedCut, More_than_a_quarter_tone_is_warned_of) {
    const std::string brass = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml";
    const auto warnings = [&](const std::string& depth) {
        return nlohmann::json::parse(run_program({"cut", brass, "--zone", "tip", "--depth", depth, "--json"}).out)
            .at("warnings")
            .dump();
    };
    EXPECT_THAT(warnings("20um"), testing::HasSubstr("more than a quarter tone"));
    EXPECT_THAT(warnings("5um"), testing::Not(testing::HasSubstr("quarter tone")));
}

}  // namespace
}  // namespace reedwright
