// The paper, its frame and its title block.
#pragma once

#include "cad_export/figure.hpp"
#include "cad_export/shop_sheet.hpp"

namespace reedwright::drawing {

struct PaperSize {
    double width_mm;
    double height_mm;
};

/// Landscape.
PaperSize size_of(Paper paper);

/// The room inside the frame that the title block leaves.
Rectangle body_of(const PaperSize& paper);

struct TitleBlock {
    std::string design;
    std::string part;
    std::string material;
    std::string thickness;
    std::string scale;
    std::string revision;
};

/// The sheet with frame, title block, a bar of 50 mm to hold a rule to, and what stands in its body. The date is left
/// to be filled in by hand. Values that are too long for their field are broken into two lines, then cut with "...".
Sheet framed(const Figure& body, const TitleBlock& title, const PaperSize& paper, std::size_t number,
             std::size_t count);

}  // namespace reedwright::drawing
