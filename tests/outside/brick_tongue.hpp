// A tongue as a solid body, solved by CalculiX (the program ccx), which knows nothing of plates or strips.
//
// Half the tongue, cut along its middle plane y = 0, in 20-node bricks (C3D20): flapping is the half that keeps its
// cut face in the plane, twisting the half whose cut face moves only in the plane's own normal direction. The root face
// is held in all directions. The bottom is flat; the thickness is on the top.
#pragma once

#include "core/tongue/reed.hpp"

#include <string>
#include <vector>

namespace reedwright::test {

/// Elements grow from the clamp toward the tip, where the strain is singular at the held edges, and from the free edge
/// toward the middle, where the twist turns within a fraction of a thickness.
struct BrickMesh {
    /// Length of the first element, in root thicknesses, and how much longer the elements get per length.
    double first = 0.1;
    double growth = 0.2;
    /// Greatest length of an element.
    Length longest = 0.2 * millimetre;
    int across = 5;
    /// Each is this much narrower than its neighbour toward the middle.
    double narrowing = 0.5;
    int through = 4;
};

enum class Half { flapping, twisting };

struct SolidMode {
    Frequency frequency;
    /// Share of the body's mass that moves with the mode, along x, y and z (effective modal mass).
    double along, across, upward;
};

struct SolidAnswer {
    std::vector<SolidMode> modes;
    std::size_t nodes;
    double seconds;
};

/// Runs ccx in a fresh folder under the system's folder for temporary files, which is removed afterwards.
/// In vacuo, ideal clamp, no loads. Throws std::runtime_error when ccx or its answer fails.
SolidAnswer solid_modes(const Tongue& tongue, Half half, const BrickMesh& mesh = {}, int count = 4);

/// The lowest mode that bends up and down (in half a tongue the twist does so too) rather than sideways.
Frequency lowest_upward(const SolidAnswer& answer);

}  // namespace reedwright::test
