// Tables of measured tongues, and the calibration file that a fit leaves behind.
#pragma once

#include "core/material/material_file.hpp"
#include "core/retune/calibration.hpp"

#include <filesystem>
#include <string>
#include <vector>

namespace reedwright {

/// Reads a YAML table of measured tongues of one lot on one kind of seat:
///   material: cuzn37-r630          # of the library
///   plate_material: cuzn37-plate   # under the pads; cuzn37-plate when left out
///   temperature: 20 degC           # of metal and air, unless a tongue says otherwise
///   a4: 440 Hz
///   uncertainty: {thickness: 2 um, length: 0.03 mm, width: 0.01 mm}
///   tongues:
///     - {name: first, length: 15 mm, width: 2 mm, thickness: 0.12 mm, reading: A4-12c}
/// thickness and width may be stations, as in a tongue file. Throws InputError with every fault.
std::vector<MeasuredTongue> read_measured_file(const std::filesystem::path& file, const MaterialLibrary& library);
std::vector<MeasuredTongue> read_measured(const Document& document, const MaterialLibrary& library);

/// The calibration as the text of a file that read_calibration_file() takes.
std::string calibration_text(const Calibration& calibration);

/// Reads a calibration file. Throws InputError with every fault.
Calibration read_calibration_file(const std::filesystem::path& file);
Calibration read_calibration(const Document& document);

}  // namespace reedwright
