// The reed a command works on: a tongue file, or dimensions on the command line.
#pragma once

#include "core/material/material_file.hpp"
#include "core/tongue/reed.hpp"
#include "core/vibration/vibration.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

namespace reedwright::app {

/// What the command line says about the reed, as text.
struct ReedSource {
    std::string file;
    /// Option name with its dashes, and its value, in the order given.
    std::vector<std::pair<std::string, std::string>> options;
    /// A calibration file to apply; may be empty.
    std::string lot;
};

/// Options that stand in place of a file, with the key of the tongue file that each stands for.
struct SourceOption {
    std::string option;
    std::string key;
    std::string help;
};
const std::vector<SourceOption>& source_options();

/// Reads the file, or builds the same nodes from the options so that they are checked alike.
/// Throws InputError, its places naming the options.
Reed read_source(const ReedSource& source);

/// The library of materials: beside the program in the source tree, or where it is installed.
/// REEDWRIGHT_MATERIALS in the environment goes before both.
MaterialLibrary material_library();

/// The folder that holds the running program.
std::filesystem::path program_folder();

}  // namespace reedwright::app
