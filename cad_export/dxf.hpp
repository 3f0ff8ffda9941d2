// Plates, combs and tongue blanks as DXF files for saws, mills, lasers and etching.
#pragma once

#include "core/plate/plate_set.hpp"

#include <string>
#include <vector>

namespace reedwright {

struct DxfOptions {
    /// Half the width of the cut: a mill's radius, half the kerf of a laser, a jet or a saw. Paths are moved aside by
    /// it, outlines outward, slots and holes inward, so that the part has the size drawn. 0: paths are the part's
    /// edges.
    Length half_cut = 0.0 * metre;
    /// Holes are drilled: their circles keep the size drawn.
    bool drilled = false;
};

/// A file, and what the shop should know about it, each with its numbers: corners that come out rounder than drawn.
struct DxfFile {
    std::string text;
    std::vector<std::string> notes;
};

/// All files are AC1015 in millimetres with the layers OUTLINE, SLOTS, HOLES and NOTES: closed polylines whose arcs are
/// bulges, circles, and text in ASCII that is no part of the work. Paths are those of the part seen from above in its
/// own frame: a plate's x from its left edge, y from its back edge; a tongue's x from its root line, y from its middle.
/// The same part gives the same bytes.
///
/// Throws InputError naming every slot, hole or outline that half_cut does not fit, with the largest that does;
/// std::invalid_argument for a half_cut that is negative or not finite, and as Outline::pieces() does.
DxfFile plate_dxf(const Plate& plate, const DxfOptions& options);
DxfFile comb_dxf(const Comb& comb, const DxfOptions& options);
/// The flat blank of a tongue: pad and free length with its width profile, and the rivet holes.
DxfFile tongue_blank_dxf(const TonguePart& tongue, const DxfOptions& options);

}  // namespace reedwright
