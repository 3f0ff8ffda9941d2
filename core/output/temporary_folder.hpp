// A folder for what has to be a file for a while.
#pragma once

#include <filesystem>
#include <string>

namespace reedwright {

/// A new folder where the system keeps temporary files (TMPDIR, or /tmp), for its owner alone, gone with the object.
class TemporaryFolder {
public:
    /// Its name says what for: "reedwright-PURPOSE-" and six letters. Throws InputError when none can be made there.
    explicit TemporaryFolder(const std::string& purpose);
    ~TemporaryFolder();
    TemporaryFolder(const TemporaryFolder&) = delete;
    TemporaryFolder& operator=(const TemporaryFolder&) = delete;
    const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

}  // namespace reedwright
