#include "cad_export/drawing_text.hpp"

#include <fmt/format.h>
#include <cmath>

namespace reedwright::drawing {

std::string mm_text(Length length) {
    std::string text = fmt::format("{:.3f}", in(length, millimetre));
    if (text.back() == '0') text.pop_back();
    return text == "-0.00" ? "0.00" : text;
}

std::string micrometre_text(Length length) {
    return fmt::format("{:.3f}", in(length, millimetre));
}

std::string scale_text(double scale) {
    return scale >= 1.0 ? fmt::format("{:g}:1", scale) : fmt::format("1:{:g}", 1.0 / scale);
}

std::string hertz_text(Frequency frequency) {
    return fmt::format("{:.2f}", in(frequency, hertz));
}

}  // namespace reedwright::drawing
