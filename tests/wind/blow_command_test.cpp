// The command blow as a whole process: what other programs may rely on, what it writes, what it refuses.
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <cmath>
#include <complex>
#include <cstdint>
#include <nlohmann/json.hpp>
#include <numbers>

namespace reedwright {
namespace {

using nlohmann::json;
using testing::HasSubstr;
using Words = std::vector<std::string>;

const std::string brass = REEDWRIGHT_SOURCE_DIR "/designs/01_three_tongues/brass_a4.yaml";

json json_of(Words arguments) {
    arguments.push_back("--json");
    const Outcome outcome = run_program(arguments);
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    return json::parse(outcome.out);
}

// A tongue file with one line of its own.
std::string tongue_file(const Scratch& scratch, const std::string& more) {
    const auto file = (scratch.path() / "reed.yaml").string();
    std::ofstream(file) << "tongue: {material: cuzn37-r630, length: 15 mm, width: 2 mm, thickness: 0.15 mm}\n" << more;
    return file;
}

std::string content_of(const std::filesystem::path& file) {
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

class BlowCommand : public testing::Test {
protected:
    void SetUp() override {
        if (!program_is_built()) GTEST_SKIP() << "the program is not part of this build";
    }
};

TEST_F(BlowCommand, Tells_every_promised_value) {
    const json blow = json_of({"blow", brass, "--pressure", "500Pa"});
    EXPECT_GT(blow["threshold_pa"], 10.0);
    EXPECT_LT(blow["threshold_pa"], 400.0);
    EXPECT_LE(blow["offset_pa"], blow["threshold_pa"]);
    EXPECT_LT(blow["sounding_hz"], blow["natural_hz"]);
    EXPECT_GT(blow["swing_mm"], 0.5);
    EXPECT_LT(blow["swing_with_drag_mm"], blow["swing_mm"]);
    EXPECT_NEAR(blow["sounding_offset_cents"].get<double>(),
                1200.0 * std::log2(blow["sounding_hz"].get<double>() / blow["natural_hz"].get<double>()), 1e-9);
    EXPECT_THAT(blow["caution_on_swing"].get<std::string>(), HasSubstr("weakest"));
    EXPECT_TRUE(blow["sweep"].empty());
    EXPECT_FALSE(blow.contains("rest_gaps"));
    // The plucked pitch is that of `pitch`.
    EXPECT_NEAR(blow["natural_hz"].get<double>(), json_of({"pitch", brass})["pitch_hz"].get<double>(), 1e-6);
}

TEST_F(BlowCommand, Without_a_pressure_goes_along_the_pressure_and_the_rest_gap) {
    const json blow = json_of({"blow", brass});
    ASSERT_GE(blow["sweep"].size(), 8U);
    double last_hz = 1e9;
    for (const json& point : blow["sweep"]) {
        if (point["outcome"] != "sounds" || point["pressure_pa"] > 2000.0) continue;
        // A closing reed falls; the first few pascals above the onset are flat to a hundredth of a cent.
        EXPECT_LT(point["sounding_hz"].get<double>(), last_hz + 0.01);
        last_hz = point["sounding_hz"];
    }
    ASSERT_GE(blow["rest_gaps"].size(), 5U);
    double last_choke = 0.0;
    for (const json& gap : blow["rest_gaps"])
        if (!gap["chokes_at_pa"].is_null()) {
            EXPECT_GT(gap["chokes_at_pa"], last_choke);
            last_choke = gap["chokes_at_pa"];
        }
    for (const json& gap : blow["rest_gaps"])
        if (!gap["threshold_pa"].is_null()) {
            EXPECT_GE(gap["threshold_pa"], blow["easiest_rest_gap"]["threshold_pa"]);
        }
}

TEST_F(BlowCommand, An_opening_reed_sounds_above_its_plucked_pitch) {
    const Scratch scratch;
    const json blow = json_of({"blow", tongue_file(scratch, "slot: {mounting: opening}\n"), "--pressure", "500Pa"});
    EXPECT_EQ(blow["mounting"], "opening");
    EXPECT_GT(blow["sounding_hz"], blow["natural_hz"]);
    EXPECT_THAT(blow["assumed"].dump(), HasSubstr("chamber"));
    // From a chamber that resonates below its pitch it does not speak, and is told so.
    const Outcome silent =
        run_program({"blow", (scratch.path() / "reed.yaml").string(), "--pressure", "500Pa", "--chamber", "200cm^3"});
    EXPECT_EQ(silent.code, 0);
    EXPECT_THAT(silent.out, HasSubstr("speaks    at no pressure: an opening reed needs the resonance upstream above"));
    EXPECT_THAT(silent.out, HasSubstr("sounds    not at 500 Pa: every swing dies out"));
}

TEST_F(BlowCommand, Pitch_under_a_pressure_is_the_sounding_pitch) {
    const json blow = json_of({"blow", brass, "--pressure", "500Pa"});
    const json pitch = json_of({"pitch", brass, "--under", "500Pa"});
    EXPECT_NEAR(pitch["sounding_hz"].get<double>(), blow["sounding_hz"].get<double>(), 1e-6);
    EXPECT_NEAR(pitch["sounding_offset_cents"].get<double>(), blow["sounding_offset_cents"].get<double>(), 1e-6);
    EXPECT_FALSE(json_of({"pitch", brass}).contains("sounding_hz"));
    // Nothing sounds below the threshold.
    EXPECT_TRUE(json_of({"pitch", brass, "--under", "1Pa"})["sounding_hz"].is_null());
}

// The pitch of samples about a frequency: how the phase of its partial moves between two windows.
double measured_hz(const std::vector<double>& samples, double rate, double about_hz) {
    const auto phase = [&](std::size_t from, std::size_t count) {
        std::complex<double> sum = 0.0;
        for (std::size_t i = 0; i < count; ++i) {
            const double share = static_cast<double>(i) / static_cast<double>(count);
            const double window = 0.5 - 0.5 * std::cos(2.0 * std::numbers::pi * share);
            const double time = static_cast<double>(from + i) / rate;
            sum += samples[from + i] * window * std::polar(1.0, -2.0 * std::numbers::pi * about_hz * time);
        }
        return std::arg(sum);
    };
    const auto window = static_cast<std::size_t>(0.5 * rate);
    const std::size_t last = samples.size() - window, first = last - window;
    const double turned = std::remainder(phase(last, window) - phase(first, window), 2.0 * std::numbers::pi);
    return about_hz + turned / (2.0 * std::numbers::pi * 0.5);
}

TEST_F(BlowCommand, The_sound_it_writes_has_the_pitch_it_tells) {
    const Scratch scratch;
    const auto file = scratch.path() / "a4.wav";
    const json blow = json_of({"blow", brass, "--pressure", "500Pa", "--wav", file.string()});
    const std::string bytes = content_of(file);
    ASSERT_GT(bytes.size(), 48000U);
    ASSERT_EQ(bytes.substr(0, 4) + bytes.substr(8, 8), "RIFFWAVEfmt ");
    const auto data = bytes.find("data");
    ASSERT_NE(data, std::string::npos);
    std::vector<double> samples;
    // 24 bit, the lowest byte first.
    for (std::size_t i = data + 8; i + 2 < bytes.size(); i += 3) {
        const auto byte = [&](std::size_t k) {
            return static_cast<std::int32_t>(static_cast<unsigned char>(bytes[i + k]));
        };
        const std::int32_t value = byte(0) | byte(1) << 8 | byte(2) << 16;
        samples.push_back((value >= 1 << 23 ? value - (1 << 24) : value) / 8388608.0);
    }
    EXPECT_EQ(samples.size(), 4U * 48000U);
    // Asked a little beside the mark, so that the answer is the file's own.
    const double heard = measured_hz(samples, 48000.0, blow["sounding_hz"].get<double>() + 0.3);
    EXPECT_NEAR(1200.0 * std::log2(heard / blow["sounding_hz"].get<double>()), 0.0, 0.2);
    // The program hears in it what it says, at its own octave: folded partials would lie between its own.
    const json listen = json_of({"listen", file.string(), "--from", "1s", "--to", "3s"});
    EXPECT_NEAR(1200.0 * std::log2(listen["pitch_hz"].get<double>() / blow["sounding_hz"].get<double>()), 0.0, 1.0);
    double peak = 0.0, start = 0.0;
    for (std::size_t i = 0; i < samples.size(); ++i) {
        peak = std::max(peak, std::abs(samples[i]));
        if (i < 2400) start = std::max(start, std::abs(samples[i]));
    }
    EXPECT_NEAR(peak, 0.8, 1e-3);
    // It swells from nothing.
    EXPECT_LT(start, 0.01);
}

TEST_F(BlowCommand, Writes_its_picture_and_keeps_what_stands) {
    const Scratch scratch;
    const auto file = (scratch.path() / "blow.svg").string();
    ASSERT_EQ(run_program({"blow", brass, "--svg", file, "--sweep", "100Pa..600Pa"}).code, 0);
    const std::string picture = content_of(file);
    for (const char* text : {"growth, 1/s", "cents from plucked", "swing, mm", "pressure, Pa", "with the strip"})
        EXPECT_THAT(picture, HasSubstr(text));
    const Outcome again = run_program({"blow", brass, "--svg", file, "--sweep", "100Pa..600Pa"});
    EXPECT_EQ(again.code, 1);
    EXPECT_THAT(again.err, HasSubstr("stands already"));
}

class BlowRefused : public BlowCommand {
protected:
    void refused(const std::string& file_line, const Words& options, const std::string& message) {
        const Scratch scratch;
        const std::string file = tongue_file(scratch, file_line);
        Words arguments{"blow", file};
        arguments.insert(arguments.end(), options.begin(), options.end());
        const Outcome outcome = run_program(arguments);
        EXPECT_EQ(outcome.code, 1);
        EXPECT_EQ(outcome.out, "");
        std::string expected = message;
        for (auto at = expected.find("FILE"); at != std::string::npos; at = expected.find("FILE"))
            expected.replace(at, 4, file);
        EXPECT_EQ(outcome.err, expected);
    }
};

TEST_F(BlowRefused, A_tongue_that_rests_inside_its_slot) {
    refused(
        "slot: {rest_gap: -0.1 mm}\n", {},
        "FILE:2:18: slot.rest_gap: -0.1 mm lies inside the slot: a closing reed is choked there from the start, the "
        "wind only drives it deeper\n"
        "    slot: {rest_gap: -0.1 mm}\n"
        "                     ^\n"
        "    set the tongue about its own thickness above the plate's face, 0.1 mm to 0.3 mm\n");
    refused("slot: {mounting: opening, rest_gap: -0.1 mm}\n", {"--pressure", "500Pa"},
            "FILE:2:37: slot.rest_gap: -0.1 mm lies inside the slot: an opening reed stands reversed there, the wind "
            "must lift it out before it can swing\n"
            "    slot: {mounting: opening, rest_gap: -0.1 mm}\n"
            "                                        ^\n"
            "    set the tongue about its own thickness above the plate's face, 0.1 mm to 0.3 mm\n");
}

TEST_F(BlowRefused, A_slot_without_clearance) {
    refused("slot: {clearance: 0 mm}\n", {},
            "FILE:2:19: slot.clearance: 0 mm leaves the tongue no way through its slot\n"
            "    slot: {clearance: 0 mm}\n"
            "                      ^\n"
            "    good work has 0.02 mm to 0.05 mm at each side\n");
}

TEST_F(BlowRefused, A_reed_in_a_vacuum) {
    refused("air: none\n", {},
            "FILE:2:6: air: none: in a vacuum nothing blows\n"
            "    air: none\n"
            "         ^\n"
            "    leave air out, or give its temperature\n");
}

TEST_F(BlowRefused, A_pressure_that_does_not_blow_or_is_beyond_the_model) {
    refused("", {"--pressure", "0Pa"},
            "--pressure: a pressure of 0 Pa does not blow; a breath has 100 Pa to 1500 Pa\n");
    refused("", {"--pressure=-0.5kPa"},
            "--pressure: a pressure of -500 Pa does not blow; a breath has 100 Pa to 1500 Pa\n");
    refused("", {"--pressure", "6kPa"},
            "--pressure: a pressure of 6000 Pa is beyond the model, which holds to 5000 Pa: faster jets compress the "
            "air; a breath has 100 Pa to 1500 Pa, a bellows up to 3000 Pa\n");
    refused("", {"--pressure", "500"},
            "--pressure: '500' has no unit, and a pressure or modulus needs one; it takes Pa, hPa, kPa, MPa or GPa\n");
    refused(
        "", {"--pressure", "5mm"},
        "--pressure: '5mm' is a length, not a pressure or modulus; a column of water of 1 cm presses with 98 Pa, one "
        "of 5 cm with 490 Pa\n");
}

TEST_F(BlowRefused, A_sweep_that_is_none) {
    refused("", {"--sweep", "500Pa"}, "--sweep: '500Pa' is not a span of pressures; write two, such as 100Pa..1kPa\n");
    refused("", {"--sweep", "1kPa..100Pa"}, "--sweep: '1kPa..100Pa' does not rise; write the lower pressure first\n");
    refused("", {"--sweep", "100Pa..9kPa"},
            "--sweep: a pressure of 9000 Pa is beyond the model, which holds to 5000 Pa: faster jets compress the air; "
            "a breath has 100 Pa to 1500 Pa, a bellows up to 3000 Pa\n");
}

TEST_F(BlowRefused, A_chamber_without_air) {
    refused("", {"--chamber", "0cm^3"}, "--chamber: 0 cm^3 holds no air; leave it out for a large supply\n");
}

TEST_F(BlowRefused, A_folder_that_is_not_there) {
    refused("", {"--pressure", "500Pa", "--wav", "nowhere/a.wav"},
            "nowhere/a.wav: there is no folder nowhere to write into\n");
}

}  // namespace
}  // namespace reedwright
