// Files that the build puts into the program as they are; see embed_files() in app/CMakeLists.txt.
#pragma once

#include <string_view>

namespace reedwright::app {

struct EmbeddedFile {
    /// Without its folder.
    std::string_view name;
    std::string_view content;
};

}  // namespace reedwright::app
