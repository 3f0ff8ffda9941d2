#include "core/output/temporary_folder.hpp"

#include "core/input/diagnostic.hpp"

#include <cerrno>
#include <cstdlib>
#include <system_error>

namespace reedwright {

namespace {

namespace fs = std::filesystem;

[[noreturn]] void refuse(const std::string& where, const std::string& reason) {
    throw InputError({Diagnostic{Place{where, 0, 0},
                                 "no folder for temporary files can be made here: " + reason,
                                 {},
                                 "set TMPDIR to a folder that may be written into"}});
}

}  // namespace

TemporaryFolder::TemporaryFolder(const std::string& purpose) {
    std::error_code error;
    const fs::path base = fs::temp_directory_path(error);
    if (error) {
        const char* const named = std::getenv("TMPDIR");
        refuse(named != nullptr ? named : "/tmp", error.message());
    }
    std::string pattern = (base / ("reedwright-" + purpose + "-XXXXXX")).string();
    if (::mkdtemp(pattern.data()) == nullptr)
        refuse(base.string(), std::error_code(errno, std::generic_category()).message());
    path_ = pattern;
}

TemporaryFolder::~TemporaryFolder() {
    std::error_code ignored;
    fs::remove_all(path_, ignored);
}

}  // namespace reedwright
