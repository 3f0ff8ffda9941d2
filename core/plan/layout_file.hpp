// From a layout and scales to the reeds of a design, written out as a file would list them.
#pragma once

#include "core/input/section.hpp"
#include "core/plan/design.hpp"

#include <optional>
#include <string>
#include <vector>

namespace reedwright {

/// A reed as the file would have to state it: what was not stated is filled in, at the place that it comes from.
struct WrittenReed {
    Node node;
    /// "reeds[3]" or "layout, 3 draw", for messages.
    std::string name;
    DesignReed origin;
};

/// Reads `layout`, `rows` and `tongues` of a design and merges them with its list of reeds (null when there is none).
/// Lengths, widths, swings and rest gaps follow their scales over the notes of all reeds; a thickness that is not
/// stated becomes the shape of its profile at a thickness still to be solved. The rules go into the design. A bow
/// stands in place of that of the scale of lengths. Faults are recorded; a reed that cannot be filled in is left as it
/// stands.
std::vector<WrittenReed> write_out_reeds(Section& root, const Node* list, Design& design,
                                         std::optional<double> bow = {});

}  // namespace reedwright
