// The command listen on sound files, and the files themselves.
#include "app/sound/wave_file.hpp"
#include "core/input/diagnostic.hpp"
#include "tests/listen/reed_sound.hpp"
#include "tests/support/program.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sndfile.h>
#include <nlohmann/json.hpp>

namespace reedwright::test {
namespace {

using nlohmann::json;
using testing::HasSubstr;

// A4 a little flat, with its harmonics and some noise.
std::vector<double> reed_sound(double duration_s = 1.0) {
    Dice dice(1);
    Sound sound;
    sound.pitch_hz = 438.5;
    sound.duration_s = duration_s;
    sound.harmonics = {1.0, 0.5, 0.3, 0.0, 0.2};
    sound.noise_db = -30.0;
    return sound_of(sound, dice);
}

std::string written(const Scratch& scratch, const std::vector<double>& samples, const std::string& name = "reed.wav") {
    const auto file = scratch.path() / name;
    app::write_wave_file(file, samples, 48000.0 * hertz, Existing::replace);
    return file.string();
}

// Several channels, as a recorder may write them.
std::string written_channels(const Scratch& scratch, const std::vector<std::vector<double>>& channels) {
    const std::string file = (scratch.path() / "stereo.wav").string();
    SF_INFO info{};
    info.samplerate = 48000;
    info.channels = static_cast<int>(channels.size());
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    SNDFILE* sound = sf_open(file.c_str(), SFM_WRITE, &info);
    std::vector<double> interleaved;
    for (std::size_t i = 0; i < channels[0].size(); ++i)
        for (const auto& channel : channels) interleaved.push_back(channel[i]);
    sf_writef_double(sound, interleaved.data(), static_cast<sf_count_t>(channels[0].size()));
    sf_close(sound);
    return file;
}

TEST(WaveFile, What_is_written_is_read_back_to_its_24_bits) {
    const Scratch scratch;
    auto samples = reed_sound(0.1);
    samples[5] = 1.0;
    samples[6] = -1.0;
    const std::string file = written(scratch, samples);
    const app::Recording recording = app::read_recording(file, {}, {});
    ASSERT_EQ(recording.samples.size(), samples.size());
    EXPECT_EQ(recording.sample_rate.value(), 48000.0);
    EXPECT_EQ(recording.channels, 1);
    for (std::size_t i = 0; i < samples.size(); ++i)
        ASSERT_NEAR(recording.samples[i], samples[i], 0x1p-23);  // one step; full scale itself loses one
    const app::Recording part = app::read_recording(file, 0.02 * second, 0.05 * second);
    ASSERT_EQ(part.samples.size(), 1440U);
    EXPECT_EQ(part.samples.front(), recording.samples[960]);
}

TEST(WaveFile, The_same_samples_give_the_same_bytes_and_too_loud_ones_are_refused) {
    const Scratch scratch;
    const auto bytes = [](const std::string& file) {
        std::ifstream in(file, std::ios::binary);
        return std::string(std::istreambuf_iterator<char>(in), {});
    };
    const std::string one = bytes(written(scratch, reed_sound(0.1), "one.wav"));
    EXPECT_EQ(one, bytes(written(scratch, reed_sound(0.1), "other.wav")));
    EXPECT_EQ(one.size(), 44U + 3U * 4800U);  // the plain header of WAV, and three bytes a sample
    EXPECT_EQ(one.substr(0, 4), "RIFF");
    EXPECT_THROW(written(scratch, {0.0, 1.1}), std::invalid_argument);
    EXPECT_THROW(
        app::write_wave_file(scratch.path() / "one.wav", std::vector<double>{0.0}, 48000.0 * hertz, Existing::keep),
        InputError);
}

TEST(Listen, Tells_pitch_note_and_uncertainty) {
    const Scratch scratch;
    const std::string file = written(scratch, reed_sound());
    const Outcome outcome = run_program({"listen", file, "--json"});
    ASSERT_EQ(outcome.code, 0) << outcome.err;
    const json heard = json::parse(outcome.out);
    EXPECT_NEAR(heard["pitch_hz"].get<double>(), 438.5, 0.01);
    EXPECT_EQ(heard["note"], "A4");
    EXPECT_NEAR(heard["note_cents"].get<double>(), 1200.0 * std::log2(438.5 / 440.0), 0.05);
    EXPECT_GT(heard["uncertainty_cents"].get<double>(), 0.0);
    EXPECT_LT(heard["uncertainty_cents"].get<double>(), 0.1);
    ASSERT_EQ(heard["harmonics"].size(), 5U);
    EXPECT_NEAR(heard["harmonics"][1]["level_db"].get<double>(), -6.0, 0.3);
    EXPECT_TRUE(heard["harmonics"][3]["off_cents"].is_null());
    EXPECT_TRUE(heard["warnings"].empty());

    const Outcome text = run_program({"listen", file});
    EXPECT_EQ(text.code, 0);
    EXPECT_THAT(text.out, HasSubstr("pitch     438.5"));
    EXPECT_THAT(text.out, HasSubstr("note      A4 -5.9"));
    EXPECT_THAT(text.out, HasSubstr("in the noise"));
    const json other = json::parse(run_program({"listen", file, "--a4", "415 Hz", "--json"}).out);
    EXPECT_EQ(other["note"], "A#4");
}

TEST(Listen, Hears_only_the_stretch_that_is_asked_for) {
    const Scratch scratch;
    auto samples = reed_sound();
    Dice dice(2);
    Sound other;
    other.pitch_hz = 523.25;
    const auto second_note = sound_of(other, dice);
    samples.insert(samples.end(), second_note.begin(), second_note.end());
    const std::string file = written(scratch, samples);
    const json first = json::parse(run_program({"listen", file, "--to", "0.9s", "--json"}).out);
    const json second = json::parse(run_program({"listen", file, "--from", "1100 ms", "--to", "2 s", "--json"}).out);
    EXPECT_NEAR(first["pitch_hz"].get<double>(), 438.5, 0.02);
    EXPECT_NEAR(second["pitch_hz"].get<double>(), 523.25, 0.02);
    EXPECT_GE(second["from_s"].get<double>(), 1.1);
    EXPECT_LE(second["to_s"].get<double>(), 2.0);
    const Outcome both = run_program({"listen", file});
    EXPECT_EQ(both.code, 1);
    EXPECT_EQ(both.out, "");
}

TEST(Listen, Mixes_channels_down_and_says_so) {
    const Scratch scratch;
    const auto samples = reed_sound();
    const std::string file = written_channels(scratch, {samples, std::vector<double>(samples.size(), 0.0)});
    const Outcome outcome = run_program({"listen", file});
    EXPECT_EQ(outcome.code, 0) << outcome.err;
    EXPECT_THAT(outcome.out, HasSubstr("2 channels are mixed down to one"));
    const json heard = json::parse(run_program({"listen", file, "--json"}).out);
    EXPECT_NEAR(heard["pitch_hz"].get<double>(), 438.5, 0.01);
    EXPECT_EQ(heard["channels"], 2);
}

TEST(Listen, Says_in_a_sentence_why_it_hears_nothing) {
    const Scratch scratch;
    Dice dice(3);
    std::vector<double> noise(48000);
    for (double& sample : noise) sample = 0.05 * dice.normal();
    const std::string no_sound = (scratch.path() / "no.wav").string();
    std::ofstream(no_sound) << "this is a text and no sound at all, however long it goes on about it\n";
    const std::string reed = written(scratch, reed_sound());
    struct Case {
        std::vector<std::string> arguments;
        const char* sentence;
    };
    const std::vector<Case> cases{
        {{(scratch.path() / "gone.wav").string()}, "there is no such file"},
        {{scratch.path().string()}, "is a folder, not a sound file"},
        {{no_sound}, "cannot be read as a sound file"},
        {{written(scratch, std::vector<double>(48000, 0.0), "silence.wav")}, "too quiet to tell a pitch"},
        {{written(scratch, noise, "noise.wav")}, "no pitch is heard: noise"},
        {{written(scratch, reed_sound(0.01), "short.wav")}, "too short to tell a pitch"},
        {{written(scratch, {}, "empty.wav")}, "holds no sound"},
        {{reed, "--from", "2s"}, "from 2 to 1 s there is nothing"},
        {{reed, "--to", "2s"}, "0 to 2 s is not inside the recording of 1 s"},
        {{reed, "--from", "0.5"}, "--from: '0.5' has no unit"},
        {{reed, "--a4", "20 Hz"}, "--a4: 20 Hz is outside 300 Hz to 600 Hz"}};
    for (const Case& one : cases) {
        std::vector<std::string> arguments{"listen"};
        arguments.insert(arguments.end(), one.arguments.begin(), one.arguments.end());
        const Outcome outcome = run_program(arguments);
        EXPECT_EQ(outcome.code, 1) << one.sentence << "\n" << outcome.err;
        EXPECT_THAT(outcome.err, HasSubstr(one.sentence));
        EXPECT_EQ(outcome.out, "") << one.sentence;
    }
    EXPECT_EQ(run_program({"listen"}).code, 2);
    const Outcome help = run_program({"listen", "--help"});
    EXPECT_EQ(help.code, 0);
    EXPECT_THAT(help.out, HasSubstr("Example:\n  reedwright listen"));
}

}  // namespace
}  // namespace reedwright::test
