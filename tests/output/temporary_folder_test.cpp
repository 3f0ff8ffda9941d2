// Folders for a while: for their owner alone, gone afterwards, and refused in words where none can be made.
#include "core/output/temporary_folder.hpp"

#include "core/input/diagnostic.hpp"

#include <gtest/gtest.h>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>

namespace reedwright {
namespace {

namespace fs = std::filesystem;

TEST(TemporaryFolder, Is_for_its_owner_alone_and_goes_with_all_that_is_in_it) {
    fs::path path;
    {
        const TemporaryFolder folder("test");
        path = folder.path();
        EXPECT_EQ(fs::status(path).permissions(), fs::perms::owner_all);
        fs::create_directory(path / "a");
        std::ofstream(path / "a" / "b") << "content";
        EXPECT_NE(TemporaryFolder("test").path(), path);
    }
    EXPECT_FALSE(fs::exists(path));
}

TEST(TemporaryFolder, Where_none_can_be_made_the_place_is_told) {
    const char* const before = std::getenv("TMPDIR");
    const std::optional<std::string> kept = before != nullptr ? std::optional<std::string>(before) : std::nullopt;
    ::setenv("TMPDIR", "/nowhere/at/all", 1);
    std::string refused;
    try {
        const TemporaryFolder folder("test");
    } catch (const InputError& error) {
        refused = error.what();
    }
    if (kept)
        ::setenv("TMPDIR", kept->c_str(), 1);
    else
        ::unsetenv("TMPDIR");
    EXPECT_EQ(refused.find("/nowhere/at/all: no folder for temporary files can be made here: "), 0U) << refused;
    EXPECT_NE(refused.find("set TMPDIR"), std::string::npos) << refused;
}

}  // namespace
}  // namespace reedwright
