// The templates under app/sheet, as they were when the program was built.
#pragma once

#include <string_view>

namespace reedwright::app {

/// The text of a template by the name of its file, "cut_sheet.html". Throws std::out_of_range.
std::string_view sheet_template(std::string_view name);

}  // namespace reedwright::app
