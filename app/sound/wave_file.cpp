#include "app/sound/wave_file.hpp"

#include "core/input/diagnostic.hpp"
#include "core/input/reading_scope.hpp"

#include <fmt/format.h>
#include <sndfile.h>
#include <algorithm>
#include <cmath>
#include <cstring>
#include <memory>
#include <stdexcept>
#include <string>

namespace reedwright::app {

namespace {

// Of each channel: ten minutes at 96 kHz. A header may claim far more than a machine can hold.
constexpr sf_count_t most_samples = 57'600'000;
constexpr int most_channels = 16;

struct Closer {
    void operator()(SNDFILE* sound) const { sf_close(sound); }
};
using Handle = std::unique_ptr<SNDFILE, Closer>;

[[noreturn]] void refuse(const std::filesystem::path& file, const std::string& what, const std::string& hint = {}) {
    throw InputError({Diagnostic{Place{file.string(), 0, 0}, what, {}, hint}});
}

// A file in memory, as the sound library wants to write it.
struct Memory {
    std::string bytes;
    sf_count_t place = 0;

    static Memory& of(void* data) { return *static_cast<Memory*>(data); }
    static sf_count_t length(void* data) { return static_cast<sf_count_t>(of(data).bytes.size()); }
    static sf_count_t tell(void* data) { return of(data).place; }
    static sf_count_t seek(sf_count_t offset, int whence, void* data) {
        Memory& memory = of(data);
        memory.place = offset + (whence == SEEK_CUR ? memory.place : whence == SEEK_END ? length(data) : 0);
        return memory.place;
    }
    static sf_count_t read(void* to, sf_count_t count, void* data) {
        Memory& memory = of(data);
        const sf_count_t taken = std::clamp<sf_count_t>(length(data) - memory.place, 0, count);
        std::memcpy(to, memory.bytes.data() + memory.place, static_cast<std::size_t>(taken));
        memory.place += taken;
        return taken;
    }
    static sf_count_t write(const void* from, sf_count_t count, void* data) {
        Memory& memory = of(data);
        const auto end = static_cast<std::size_t>(memory.place + count);
        if (memory.bytes.size() < end) memory.bytes.resize(end);
        std::memcpy(memory.bytes.data() + memory.place, from, static_cast<std::size_t>(count));
        memory.place += count;
        return count;
    }
};

}  // namespace

Recording read_recording(const std::filesystem::path& file, std::optional<Time> from, std::optional<Time> to,
                         Time longest) {
    SF_INFO info{};
    SF_VIRTUAL_IO in_memory{Memory::length, Memory::seek, Memory::read, Memory::write, Memory::tell};
    const std::string* content = content_in_scope(file);
    Memory memory{content == nullptr ? std::string() : *content};
    std::error_code ignored;
    if (file.empty()) throw InputError("the name of a file is empty");
    if (content == nullptr && !std::filesystem::exists(file, ignored)) refuse(file, "there is no such file");
    if (content == nullptr && std::filesystem::is_directory(file, ignored))
        refuse(file, "is a folder, not a sound file");
    // Opening a pipe would wait for a writer for ever, and a device may have no end.
    if (content == nullptr && !std::filesystem::is_regular_file(file, ignored))
        refuse(file, "is a device or a pipe, not a regular file");
    const Handle sound(content == nullptr ? sf_open(file.c_str(), SFM_READ, &info)
                                          : sf_open_virtual(&in_memory, SFM_READ, &info, &memory));
    if (!sound) refuse(file, "cannot be read as a sound file", "record or convert it as WAV");
    if (info.frames <= 0 || info.channels <= 0 || info.samplerate <= 0) refuse(file, "holds no sound");
    if (info.channels > most_channels)
        refuse(file, fmt::format("has {} channels, more than the {} taken", info.channels, most_channels));

    const auto rate = static_cast<double>(info.samplerate);
    Recording recording{
        {}, rate * hertz, info.channels, static_cast<double>(info.frames) / rate * second, from.value_or(0.0 * second)};
    const double from_s = recording.from.value();
    const double end_s = to.value_or(recording.duration).value();
    // A hair past the end is a rounded number, not a mistake.
    constexpr double hair_s = 1e-3;
    if (from_s < 0.0 || end_s > recording.duration.value() + hair_s)
        refuse(file, fmt::format("{:.4g} to {:.4g} s is not inside the recording of {:.4g} s", from_s, end_s,
                                 recording.duration.value()));
    if (from_s >= end_s) refuse(file, fmt::format("from {:.4g} to {:.4g} s there is nothing", from_s, end_s));
    if (end_s - from_s > longest.value())
        refuse(file, fmt::format("{:.0f} s are more than the {:.0f} s allowed", end_s - from_s, longest.value()),
               "choose a stretch with --from and --to");
    const auto first = static_cast<sf_count_t>(std::llround(from_s * rate));
    const sf_count_t end = std::min<sf_count_t>(info.frames, std::llround(end_s * rate));
    if (end - first > most_samples)
        refuse(file, fmt::format("{} samples are more than the {} taken at once", end - first, most_samples),
               "choose a stretch with --from and --to");
    if (sf_seek(sound.get(), first, SEEK_SET) != first) refuse(file, "breaks off before its end");
    // Block by block, so that what is held is one channel's worth however many there are.
    constexpr sf_count_t block = 65536;
    const auto channels = static_cast<std::size_t>(info.channels);
    std::vector<double> interleaved(static_cast<std::size_t>(block) * channels);
    recording.samples.reserve(static_cast<std::size_t>(std::max<sf_count_t>(0, end - first)));
    for (sf_count_t left = end - first; left > 0;) {
        const sf_count_t wanted = std::min(left, block);
        if (sf_readf_double(sound.get(), interleaved.data(), wanted) != wanted)
            refuse(file, "breaks off before its end");
        for (std::size_t i = 0; i < static_cast<std::size_t>(wanted); ++i) {
            double sum = 0.0;
            for (std::size_t c = 0; c < channels; ++c) sum += interleaved[i * channels + c];
            if (!std::isfinite(sum)) refuse(file, "holds samples that are no numbers");
            recording.samples.push_back(sum / static_cast<double>(channels));
        }
        left -= wanted;
    }
    return recording;
}

void write_wave_file(const std::filesystem::path& file, std::span<const double> samples, Frequency sample_rate,
                     Existing existing) {
    for (const double sample : samples)
        if (!(std::abs(sample) <= 1.0)) throw std::invalid_argument("a sample is beyond full scale");
    Memory memory;
    SF_VIRTUAL_IO in_memory{Memory::length, Memory::seek, Memory::read, Memory::write, Memory::tell};
    SF_INFO info{};
    info.samplerate = static_cast<int>(std::lround(sample_rate.value()));
    info.channels = 1;
    info.format = SF_FORMAT_WAV | SF_FORMAT_PCM_24;
    Handle sound(sf_open_virtual(&in_memory, SFM_WRITE, &info, &memory));
    if (!sound) throw std::runtime_error("the sound library refuses to write WAV");
    // Full scale itself would wrap around.
    sf_command(sound.get(), SFC_SET_CLIPPING, nullptr, SF_TRUE);
    const auto count = static_cast<sf_count_t>(samples.size());
    if (sf_writef_double(sound.get(), samples.data(), count) != count)
        throw std::runtime_error("the sound library did not write all samples");
    sound.reset();
    write_whole_file(file, memory.bytes, existing);
}

}  // namespace reedwright::app
