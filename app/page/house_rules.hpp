// What the local page answers: its own files, and the program's commands.
#pragma once

#include "app/page/local_server.hpp"
#include "app/page/page_folder.hpp"

#include <atomic>

namespace reedwright::app {

/// The whole page for a folder: files of the page, and /api/... as described in DEVELOPERS.md. Once the page is ending,
/// which must outlast the house, long work that waits for its turn is refused instead.
House page_house(const PageFolder& folder, const std::atomic<bool>& ending);

}  // namespace reedwright::app
