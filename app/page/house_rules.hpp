// What the local page answers: its own files, and the program's commands.
#pragma once

#include "app/page/local_server.hpp"
#include "app/page/page_folder.hpp"

namespace reedwright::app {

/// The whole page for a folder: files of the page, and /api/... as described in DEVELOPERS.md.
House page_house(const PageFolder& folder);

}  // namespace reedwright::app
