// Tongue blanks laid out on strip.
#pragma once

#include "cad_export/dxf.hpp"

#include <optional>

namespace reedwright {

/// Strip from the mill. Tongues lie along it, in the direction in which it was rolled, so that their bending does not
/// follow its grain (common practice, no source).
struct Strip {
    Length width = 20.0 * millimetre;
    /// Left out: any, so that thickness is not held to it.
    std::optional<Length> gauge;
    /// Metal between two blanks and to the strip's edges and end.
    Length gap = 1.0 * millimetre;
};

/// Where a blank lies: its root line's middle in the strip's frame, x along the strip, y across from its lower edge.
struct NestedBlank {
    /// Index in what was given.
    std::size_t tongue;
    PlanePoint root;
};

struct Nest {
    std::vector<NestedBlank> blanks;
    /// From the end of the strip to beyond the last blank and its gap.
    Length used_length;
    /// Share of the used strip that becomes blanks.
    double used_share;
};

/// Lays the blanks of one material in stacks: sorted by length, longest first, side by side across the strip until its
/// width is full, then the next stack further along. Pads point to the beginning of the strip. Simple, not the least
/// waste.
/// Throws InputError for no tongues, tongues of several materials, one thicker than the gauge, one wider than the strip
/// between its edge gaps, a gap that is negative.
Nest nest_on_strip(const std::vector<TonguePart>& tongues, const Strip& strip);

struct NestFile {
    DxfFile file;
    Nest nest;
};

/// The nest as a DXF file: blanks on OUTLINE, rivet holes on HOLES, names and the strip's edges on NOTES.
/// Throws as nest_on_strip() and tongue_blank_dxf() do, and InputError where the gap is less than the width of the cut.
NestFile nest_dxf(const std::vector<TonguePart>& tongues, const Strip& strip, const DxfOptions& options);

}  // namespace reedwright
