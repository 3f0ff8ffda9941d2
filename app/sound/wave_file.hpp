// Sound files: read whatever the sound library knows, write WAV.
#pragma once

#include "core/output/whole_file.hpp"
#include "core/quantity/quantity.hpp"

#include <filesystem>
#include <optional>
#include <span>
#include <vector>

namespace reedwright::app {

/// A stretch of a sound file, its channels mixed down to one by their mean.
struct Recording {
    /// 1 is full scale.
    std::vector<double> samples;
    Frequency sample_rate;
    int channels;
    /// Of the whole file.
    Time duration;
    /// Where the stretch begins in the file.
    Time from;
};

/// Reads a stretch of a sound file, to its end where none is given; the file may stand in memory (ReadingScope). Throws
/// InputError when the file is missing, is no sound file, is empty or damaged, or the stretch is not inside it, longer
/// than allowed, or of more than 200 million samples.
Recording read_recording(const std::filesystem::path& file, std::optional<Time> from, std::optional<Time> to,
                         Time longest = 600.0 * second);

/// Writes one channel as WAV, 24 bit, whole or not at all; the same samples give the same bytes.
/// Throws std::invalid_argument for a sample beyond full scale, InputError as write_whole_file() does.
void write_wave_file(const std::filesystem::path& file, std::span<const double> samples, Frequency sample_rate,
                     Existing existing);

}  // namespace reedwright::app
