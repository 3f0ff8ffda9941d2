// Loading the CAD module on demand. Part of the program, not of the module.
#pragma once

#include "cad_export/cad_interface.hpp"

#include <filesystem>
#include <stdexcept>
#include <vector>

namespace reedwright {

/// No CAD module could be loaded; the text says which places were tried and why each failed.
class CadUnavailable : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// File name of the module.
inline constexpr const char* cad_module_name = "libreedwright_cad.so";

/// Loads the module from the first of the folders that holds one and keeps it loaded until the
/// program ends. Throws CadUnavailable when there is none, when it lacks its symbol, or when it was
/// built for another version of the interface.
const CadInterface& load_cad(const std::vector<std::filesystem::path>& folders);

}  // namespace reedwright
