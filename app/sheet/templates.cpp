#include "app/sheet/templates.hpp"

#include "app/embedded_file.hpp"

#include <span>
#include <stdexcept>
#include <string>

namespace reedwright::app {

// From embed_files() in app/CMakeLists.txt.
std::span<const EmbeddedFile> sheet_template_files();

std::string_view sheet_template(std::string_view name) {
    for (const EmbeddedFile& file : sheet_template_files())
        if (file.name == name) return file.content;
    throw std::out_of_range("no template " + std::string(name));
}

}  // namespace reedwright::app
