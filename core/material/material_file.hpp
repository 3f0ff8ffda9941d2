// Materials from the library's files, from a path, or given in place.
#pragma once

#include "core/input/section.hpp"
#include "core/material/material.hpp"

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace reedwright {

/// The folder of material files, one alloy a file.
class MaterialLibrary {
public:
    explicit MaterialLibrary(std::filesystem::path folder) : folder_(std::move(folder)) {}

    /// Names of the alloys (file names without ".yaml"), sorted. Throws InputError if the folder
    /// cannot be read.
    std::vector<std::string> names() const;
    /// The file that a material name or path stands for; a path (with '/' or ending in .yaml) is
    /// taken relative to the folder of the file that names it.
    std::filesystem::path file_of(const std::string& name, const std::filesystem::path& named_in) const;
    /// Names of the alloys of a family, by the word that people use: "brass", "Nickel silver", "silver". Files that
    /// cannot be read are passed over.
    std::vector<std::string> of_family(std::string_view word) const;
    /// What an unknown name may be meant for: the names that begin with it, else those of the family that it names,
    /// else the one nearest in spelling. May be empty.
    std::vector<std::string> near(const std::string& name) const;
    const std::filesystem::path& folder() const { return folder_; }

private:
    std::filesystem::path folder_;
};

/// "did you mean a?", "did you mean a, b or c?"
std::string did_you_mean(const std::vector<std::string>& names);

/// Reads a material file. Throws InputError with all its faults.
Material read_material_file(const std::filesystem::path& file);

/// Reads the material under a key: a name of the library, a path, or a mapping given in place.
/// Faults (an unknown name with the nearest one that exists, those of the file itself) are
/// recorded with the section; the result is then empty.
std::optional<Material> read_material(Section& section, std::string_view key, bool required,
                                      const MaterialLibrary& library);

}  // namespace reedwright
