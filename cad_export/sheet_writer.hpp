// Sheets as PDF and SVG.
#pragma once

#include "cad_export/figure.hpp"

#include <string>
#include <vector>

namespace reedwright::drawing {

/// One PDF file, a page for each sheet. The same sheets give the same bytes with the same fonts and cairo; nothing in
/// the file tells when it was made. Throws std::runtime_error when cairo fails.
std::string pdf_of(const std::vector<Sheet>& sheets, const std::string& title);

/// One sheet as SVG in millimetres. Letters are outlines, so that it looks the same everywhere; the words lie over them
/// unseen, so that they can be searched and copied. Deterministic as pdf_of() is.
std::string svg_of(const Sheet& sheet);

}  // namespace reedwright::drawing
