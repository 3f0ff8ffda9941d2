// Reading a tongue file.
#pragma once

#include "core/input/node.hpp"
#include "core/material/material_file.hpp"
#include "core/tongue/reed.hpp"

#include <filesystem>

namespace reedwright {

/// Reads and checks a tongue file. Throws InputError with every fault of the file.
Reed read_reed_file(const std::filesystem::path& file, const MaterialLibrary& library);

/// The same from nodes, whatever they were made of: a file, or options of the command line.
Reed read_reed(const Document& document, const MaterialLibrary& library);

}  // namespace reedwright
