#include "cad_export/palette.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string>

namespace reedwright {

namespace {

struct Sign {
    std::string_view text;
    AlloyClass alloy;
};

// The first sign found in the lower-case text decides: CuNi18Zn27 before CuZn, "beryllium copper"
// and "nickel silver" before their metals.
constexpr auto signs = std::to_array<Sign>({
    {"cube", AlloyClass::beryllium_copper},
    {"cuco", AlloyClass::beryllium_copper},
    {"beryllium", AlloyClass::beryllium_copper},
    {"cuni", AlloyClass::nickel_silver},
    {"nickel silver", AlloyClass::nickel_silver},
    {"cusn", AlloyClass::bronze},
    {"bronze", AlloyClass::bronze},
    {"cuzn", AlloyClass::brass},
    {"brass", AlloyClass::brass},
    {"alumin", AlloyClass::aluminium},
    {"almg", AlloyClass::aluminium},
    {"alsi", AlloyClass::aluminium},
    {"en aw", AlloyClass::aluminium},
    {"steel", AlloyClass::steel},
    {"crni", AlloyClass::steel},
});

// "1.4310" numbers a steel, "C100S" names one by its carbon.
bool names_steel(std::string_view text) {
    const auto digit = [&](std::size_t i) {
        return i < text.size() && std::isdigit(static_cast<unsigned char>(text[i])) != 0;
    };
    const bool number = text.starts_with("1.") && digit(2) && digit(3) && digit(4) && digit(5);
    const bool carbon = text.starts_with("c") && digit(1) && digit(2);
    return number || carbon;
}

}  // namespace

AlloyClass alloy_class(std::string_view material) {
    std::string text(material);
    std::transform(text.begin(), text.end(), text.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    for (const Sign& sign : signs)
        if (text.find(sign.text) != std::string::npos) return sign.alloy;
    return names_steel(text) ? AlloyClass::steel : AlloyClass::other;
}

Colour colour_of(AlloyClass alloy) {
    switch (alloy) {
        case AlloyClass::aluminium:
            return {0.90, 0.91, 0.93};
        case AlloyClass::nickel_silver:
            return {0.82, 0.81, 0.74};
        case AlloyClass::brass:
            return {0.88, 0.70, 0.30};
        case AlloyClass::other:
            return {0.60, 0.60, 0.60};
        case AlloyClass::bronze:
            return {0.73, 0.45, 0.25};
        case AlloyClass::steel:
            return {0.34, 0.40, 0.48};
        case AlloyClass::beryllium_copper:
            return {0.50, 0.22, 0.16};
    }
    return {0.60, 0.60, 0.60};
}

}  // namespace reedwright
