// The air between a player's mouth and a reed in the cell of a comb.
#pragma once

#include "core/tongue/reed.hpp"

namespace reedwright {

/// A cell as a straight channel, open to the mouth at one end and closed at the other, with a tongue along its wall
/// whose tip points to the mouth.
struct ChannelCell {
    Length width;
    Length height;
    /// From the mouth to the closed end.
    Length depth;
    /// From the mouth to the tip of the tongue.
    Length before_tip;
};

/// What lies outside the mouth of a channel of a section a and moves with its air, as that of an open end in a wide
/// wall: 0.8217 sqrt(a / pi) (Rayleigh, Theory of Sound, section 307 and appendix A: 0.82 radii; from memory). A
/// player's mouth is no half-space: that it counts as one is our choice, no source.
Length mouth_end_correction(Area section);

/// The length of a channel of the cell's section whose air holds as much energy of motion as that on its way from the
/// mouth to the reed,
///
///     l = before_tip + int_0^L (U(x) / U)^2 dx + mouth_end_correction(),
///
/// U(x) what still flows at x from the root: what leaves through the two sides up to there, in proportion to the
/// deflection phi, where all that leaves is 2 int phi dx + b phi(L) with the tip's own part. With the first mode of a
/// uniform cantilever, int phi dx = 0.3915 L and int (int_0^x phi / int_0^L phi)^2 dx = 0.1603 L, so that the integral
/// is 0.1603 L / (1 + b / 0.783 L)^2. Air behind, toward the closed end, hardly moves. Not counted: the player's mouth
/// and throat, and the narrows at the slot itself; it is the least that the inlet can be.
Length channel_inlet_length(const ChannelCell& cell, const Tongue& tongue);

/// The whole cell: volume, inlet_length and inlet_area of a reed in it.
Cell cell_of_channel(const ChannelCell& cell, const Tongue& tongue);

}  // namespace reedwright
