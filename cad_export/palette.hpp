// Colours of parts by alloy, chosen so that the classes differ in lightness too and a picture reads
// in grey.
#pragma once

#include <string_view>

namespace reedwright {

/// Red, green and blue, 0 to 1, as a screen shows them (sRGB).
struct Colour {
    double red;
    double green;
    double blue;

    /// What is left in grey: the luma of Rec. 709, 0 black to 1 white.
    double grey() const { return 0.2126 * red + 0.7152 * green + 0.0722 * blue; }
};

enum class AlloyClass { aluminium, nickel_silver, brass, bronze, steel, beryllium_copper, other };

/// The class that a material's text tells: an EN symbol (CuZn37, X10CrNi18-8), an EN number of steel
/// (1.4310, C100S) or a word (brass, steel); `other` when it tells none.
AlloyClass alloy_class(std::string_view material);

Colour colour_of(AlloyClass alloy);

}  // namespace reedwright
