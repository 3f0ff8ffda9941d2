// The retune command as a whole process.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <algorithm>
#include <cmath>
#include <filesystem>
#include <fstream>
#include <nlohmann/json.hpp>
#include <sstream>

namespace reedwright {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using testing::Not;

const std::string club = REEDWRIGHT_SOURCE_DIR "/designs/02_club_mouth_organ/";
const std::vector<std::string> retune_club{"retune", club + "instrument.yaml", club + "readings.csv"};

std::vector<std::string> with(std::vector<std::string> arguments, const std::vector<std::string>& more) {
    arguments.insert(arguments.end(), more.begin(), more.end());
    return arguments;
}

json json_of(const std::vector<std::string>& arguments) {
    const Outcome outcome = run_program(with(arguments, {"--json"}));
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    return json::parse(outcome.out);
}

const json& work_of(const json& all, int cell, const std::string& row) {
    for (const json& one : all["work"])
        if (one["cell"] == cell && one["row"] == row) return one;
    throw std::out_of_range("no such reed");
}

std::string content_of(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

std::size_t count_of(const std::string& text, const std::string& what) {
    std::size_t count = 0;
    for (auto at = text.find(what); at != std::string::npos; at = text.find(what, at + 1)) ++count;
    return count;
}

TEST(Retune, Json_tells_each_reed_of_the_design_once) {
    const json all = json_of(retune_club);
    ASSERT_EQ(all["work"].size(), 20U);
    const json& cut = work_of(all, 1, "blow");
    EXPECT_EQ(cut["do"], "cut");
    EXPECT_GT(cut["depth_um"].get<double>(), cut["first_pass_um"].get<double>());
    EXPECT_NEAR(cut["shift_cents"].get<double>(), cut["wanted_cents"].get<double>(), 0.02);
    EXPECT_DOUBLE_EQ(cut["zone_mm"][1].get<double>(), 16.0);
    const json& load = work_of(all, 9, "draw");
    EXPECT_GT(load["load_mg"].get<double>(), 0.0);
    EXPECT_FALSE(load.contains("depth_um"));
    const json& unread = work_of(all, 10, "draw");
    EXPECT_TRUE(unread["reading_hz"].is_null());
    EXPECT_TRUE(unread["wanted_cents"].is_null());
    EXPECT_EQ(work_of(all, 5, "draw")["how"], "blown");
    EXPECT_THAT(all["notes"].dump(), HasSubstr("1 blown reading is taken as read"));
    EXPECT_FALSE(all["cautions"].empty());
}

TEST(Retune, The_table_tells_what_to_do_in_the_order_of_the_work) {
    const Outcome outcome = run_program(retune_club);
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    EXPECT_THAT(outcome.out, HasSubstr("20 reeds: 1 to replace, 15 to cut, 1 to load, 2 left alone, 1 not read"));
    EXPECT_LT(outcome.out.find("\n4 draw "), outcome.out.find("\n1 blow "));
    EXPECT_LT(outcome.out.find("\n10 blow "), outcome.out.find("\n1 draw "));
    EXPECT_THAT(outcome.out, HasSubstr("centre the tongue in its slot"));
    EXPECT_EQ(outcome.err, "");
}

TEST(Retune, Another_pitch_and_temperament_move_the_targets) {
    const json plain = json_of(retune_club);
    const json moved = json_of(with(retune_club, {"--a4", "442Hz", "--temperament", "just"}));
    const auto target = [](const json& all, int cell, const std::string& row) {
        return work_of(all, cell, row)["target_hz"].get<double>();
    };
    EXPECT_NEAR(target(moved, 6, "draw") / target(plain, 6, "draw"), 442.0 / 440.0, 1e-12);
    // C E G as 4 : 5 : 6.
    EXPECT_NEAR(target(moved, 2, "blow") / target(moved, 1, "blow"), 5.0 / 4.0, 1e-12);
    EXPECT_NEAR(target(moved, 3, "blow") / target(moved, 1, "blow"), 6.0 / 4.0, 1e-12);
    EXPECT_EQ(moved["temperament"], "just in C");
    EXPECT_THAT(moved["notes"].dump(), HasSubstr("against the design's A4, 440 Hz"));
    EXPECT_EQ(run_program(with(retune_club, {"--a4", "442"})).code, 1);
    EXPECT_EQ(run_program(with(retune_club, {"--temperament", "sour"})).code, 2);
}

TEST(Retune, The_sheet_is_one_page_of_its_own_with_room_to_write) {
    Scratch scratch;
    const auto html = scratch.path() / "sheet.html";
    const Outcome outcome = run_program(with(retune_club, {"--html", html.string()}));
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    const std::string page = content_of(html);
    EXPECT_THAT(page, testing::StartsWith("<!DOCTYPE html>"));
    EXPECT_THAT(page, Not(HasSubstr("{{")));
    EXPECT_THAT(page, Not(HasSubstr("http")));
    EXPECT_EQ(count_of(page, "<svg"), 16U);
    EXPECT_EQ(count_of(page, "<td class=\"fill\" rowspan"), 6U * 16U);
    EXPECT_EQ(count_of(page, "class=\"place\">4 draw<"), 1U);
    EXPECT_THAT(page, HasSubstr("10 draw A6"));
    EXPECT_THAT(page, HasSubstr("Centre the tongue in its slot"));
}

TEST(Retune, What_a_design_is_called_cannot_break_the_sheet) {
    Scratch scratch;
    const auto design = scratch.path() / "design.yaml";
    std::string text = content_of(club + "instrument.yaml");
    const auto name = text.find("name: ");
    text.replace(name, text.find('\n', name) - name, "name: '<script>alert(1)</script> & {{title}}'");
    std::ofstream(design) << text;
    const auto html = scratch.path() / "sheet.html";
    EXPECT_EQ(run_program({"retune", design.string(), club + "readings.csv", "--html", html.string()}).code, 0);
    EXPECT_THAT(content_of(html), Not(HasSubstr("<script>")));
    EXPECT_THAT(content_of(html), HasSubstr("&lt;script&gt;"));
}

TEST(Retune, The_csv_has_a_line_a_reed_and_as_many_fields_as_its_header) {
    Scratch scratch;
    const auto csv = scratch.path() / "work.csv";
    EXPECT_EQ(run_program(with(retune_club, {"--csv", csv.string()})).code, 0);
    std::istringstream lines(content_of(csv));
    std::string line;
    std::size_t count = 0;
    while (std::getline(lines, line)) {
        ++count;
        bool quoted = false;
        std::size_t commas = 0;
        for (const char c : line) {
            if (c == '"') quoted = !quoted;
            if (c == ',' && !quoted) ++commas;
        }
        EXPECT_EQ(commas, 14U) << line;
    }
    EXPECT_EQ(count, 21U);
}

TEST(Retune, A_file_that_stands_is_kept_and_its_fellow_not_written) {
    Scratch scratch;
    const auto csv = scratch.path() / "work.csv";
    const auto html = scratch.path() / "sheet.html";
    std::ofstream(csv) << "mine\n";
    const auto arguments = with(retune_club, {"--csv", csv.string(), "--html", html.string()});
    const Outcome refused = run_program(arguments);
    EXPECT_EQ(refused.code, 1);
    EXPECT_THAT(refused.err, HasSubstr("work.csv: stands already"));
    EXPECT_EQ(content_of(csv), "mine\n");
    EXPECT_FALSE(std::filesystem::exists(html));
    EXPECT_EQ(run_program(with(arguments, {"--replace"})).code, 0);
    EXPECT_THAT(content_of(csv), testing::StartsWith("cell,row,note"));
    EXPECT_TRUE(std::filesystem::exists(html));
}

TEST(Retune, A_lot_applies_to_its_alloy_and_is_refused_where_no_tongue_is_of_it) {
    Scratch scratch;
    const auto lot = scratch.path() / "lot.yaml";
    const std::string rest =
        "speed_factor: {value: 1.01, sigma: 0.004}\ngive: {value: 0.9, sigma: 0.2}\ncorrelation: 0.5\n";
    std::ofstream(lot) << "material: cuzn37-r630\n" << rest;
    const json plain = json_of(retune_club);
    const json calibrated = json_of(with(retune_club, {"--lot", lot.string()}));
    EXPECT_GT(work_of(calibrated, 5, "blow")["model_pitch_hz"], work_of(plain, 5, "blow")["model_pitch_hz"]);
    std::ofstream(lot) << "material: cusn6-r620\n" << rest;
    const Outcome refused = run_program(with(retune_club, {"--lot", lot.string()}));
    EXPECT_EQ(refused.code, 1);
    EXPECT_THAT(refused.err, HasSubstr("is of cusn6-r620, and no tongue of the design is"));
}

TEST(Retune, Faulty_readings_exit_1_with_place_line_and_caret_and_write_nothing) {
    Scratch scratch;
    const auto readings = scratch.path() / "readings.csv";
    const auto html = scratch.path() / "sheet.html";
    std::ofstream(readings) << "cell,row,reading\n1,blow,523Hz\n";
    const Outcome refused =
        run_program({"retune", club + "instrument.yaml", readings.string(), "--html", html.string()});
    EXPECT_EQ(refused.code, 1);
    EXPECT_THAT(refused.err, HasSubstr("readings.csv:2:8: reading: 523.0 Hz"));
    EXPECT_THAT(refused.err, HasSubstr("\n    1,blow,523Hz\n           ^\n"));
    EXPECT_EQ(refused.out, "");
    EXPECT_FALSE(std::filesystem::exists(html));
}

TEST(Retune, Help_has_an_example_that_runs) {
    const Outcome help = run_program({"retune", "--help"});
    EXPECT_EQ(help.code, 0);
    EXPECT_THAT(help.out, HasSubstr("Example:\n  reedwright retune"));
    EXPECT_THAT(help.out, HasSubstr("--json"));
}

TEST(Retune, An_offset_on_the_command_line_moves_the_target_of_its_note_alone) {
    const json plain = json_of(retune_club);
    const json moved = json_of(with(retune_club, {"--offset", "C5-6c", "--offset", "E5+2c"}));
    const auto cents_moved = [&](int cell) {
        const double was = work_of(plain, cell, "blow")["target_hz"];
        return 1200.0 * std::log2(work_of(moved, cell, "blow")["target_hz"].get<double>() / was);
    };
    EXPECT_NEAR(cents_moved(4), -6.0, 1e-6);
    EXPECT_NEAR(cents_moved(5), 2.0, 1e-6);
    EXPECT_NEAR(cents_moved(1), 0.0, 1e-6);
    EXPECT_EQ(run_program(with(retune_club, {"--offset", "-6c"})).err, "--offset: '-6c' names no note; write C4-2c\n");
    EXPECT_EQ(run_program(with(retune_club, {"--offset", "C#4-6c"})).err,
              "--offset: no reed of the design sounds C#4\n");
}

TEST(Retune, Pairs_take_the_beats_of_the_command_line_and_a_design_without_pairs_says_so) {
    EXPECT_EQ(run_program(with(retune_club, {"--beats", "2Hz"})).err,
              "--beats: no reed of the design beats against another; give it beats: 2.5 Hz\n");
    const auto folder = std::filesystem::temp_directory_path();
    const auto design = folder / "reedwright_pair.yaml";
    const auto table = folder / "reedwright_pair.csv";
    std::ofstream(design) << "common: {material: cuzn37-r630}\nreeds:\n"
                             "  - {cell: 1, row: low, note: A4, length: 15 mm, width: 2 mm, thickness: 0.14 mm}\n"
                             "  - {cell: 1, row: high, note: A4, beats: 3 Hz, length: 15 mm, width: 2 mm, "
                             "thickness: 0.14 mm}\n";
    std::ofstream(table) << "cell,row,reading\n1,low,A4\n1,high,A4\n";
    const json work = json_of({"retune", design.string(), table.string(), "--beats", "2Hz"});
    EXPECT_NEAR(work_of(work, 1, "low")["target_hz"].get<double>(), 440.0, 1e-9);
    EXPECT_NEAR(work_of(work, 1, "high")["target_hz"].get<double>(), 442.0, 1e-9);
    std::filesystem::remove(design);
    std::filesystem::remove(table);
}

}  // namespace
}  // namespace reedwright
