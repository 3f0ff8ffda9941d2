#include "app/wave_file.hpp"

#include <sndfile.h>
#include <algorithm>
#include <memory>
#include <stdexcept>

namespace reedwright::app {

namespace {

constexpr double peak = 0.8;

// A file in memory, so that it reaches the disk whole or not at all.
struct Memory {
    std::string bytes;
    std::size_t at = 0;
};

Memory& memory(void* data) {
    return *static_cast<Memory*>(data);
}

sf_count_t length_of(void* data) {
    return static_cast<sf_count_t>(memory(data).bytes.size());
}

sf_count_t seek(sf_count_t offset, int whence, void* data) {
    const sf_count_t from = whence == SEEK_CUR   ? static_cast<sf_count_t>(memory(data).at)
                            : whence == SEEK_END ? length_of(data)
                                                 : 0;
    memory(data).at = static_cast<std::size_t>(std::max<sf_count_t>(0, from + offset));
    return static_cast<sf_count_t>(memory(data).at);
}

sf_count_t read(void* into, sf_count_t count, void* data) {
    Memory& file = memory(data);
    const std::size_t begin = std::min(file.at, file.bytes.size());
    const std::size_t some = std::min(static_cast<std::size_t>(count), file.bytes.size() - begin);
    std::copy_n(file.bytes.data() + begin, some, static_cast<char*>(into));
    file.at = begin + some;
    return static_cast<sf_count_t>(some);
}

sf_count_t write(const void* from, sf_count_t count, void* data) {
    Memory& file = memory(data);
    const auto size = static_cast<std::size_t>(count);
    if (file.at + size > file.bytes.size()) file.bytes.resize(file.at + size);
    std::copy_n(static_cast<const char*>(from), size, file.bytes.data() + file.at);
    file.at += size;
    return count;
}

sf_count_t tell(void* data) {
    return static_cast<sf_count_t>(memory(data).at);
}

}  // namespace

std::string wave_file(const std::vector<double>& samples, int samples_per_second) {
    Memory file;
    SF_VIRTUAL_IO access{length_of, seek, read, write, tell};
    SF_INFO format{};
    format.samplerate = samples_per_second;
    format.channels = 1;
    format.format = SF_FORMAT_WAV | SF_FORMAT_PCM_16;
    std::unique_ptr<SNDFILE, int (*)(SNDFILE*)> sound(sf_open_virtual(&access, SFM_WRITE, &format, &file), sf_close);
    if (!sound) throw std::runtime_error(std::string("a WAV file cannot be made: ") + sf_strerror(nullptr));
    std::vector<double> scaled(samples);
    for (double& sample : scaled) sample *= peak;
    const auto count = static_cast<sf_count_t>(scaled.size());
    if (sf_writef_double(sound.get(), scaled.data(), count) != count)
        throw std::runtime_error(std::string("a WAV file cannot be filled: ") + sf_strerror(sound.get()));
    sound.reset();
    return file.bytes;
}

}  // namespace reedwright::app
