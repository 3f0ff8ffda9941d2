// A sound as a file to play.
#pragma once

#include <string>
#include <vector>

namespace reedwright::app {

/// The content of a WAV file, one channel of 16 bits, of samples between -1 and 1. The peak is written at 0.8 of full
/// scale. Throws std::runtime_error when the sound cannot be encoded.
std::string wave_file(const std::vector<double>& samples, int samples_per_second);

}  // namespace reedwright::app
