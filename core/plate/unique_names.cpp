#include "core/plate/unique_names.hpp"

#include <fmt/format.h>

namespace reedwright {

std::string ascii_text(const std::string& text) {
    std::string plain;
    for (const char c : text) {
        const auto byte = static_cast<unsigned char>(c);
        // The further bytes of a character in UTF-8.
        if ((byte & 0xC0U) == 0x80U) continue;
        plain += byte >= 0x20 && byte < 0x7F ? c : '?';
    }
    return plain;
}

std::string UniqueNames::claim(const std::string& wanted) {
    const std::string plain = ascii_text(wanted);
    std::string name = plain;
    for (int number = 2; !taken_.insert(name).second; ++number) name = fmt::format("{} ({})", plain, number);
    return name;
}

}  // namespace reedwright
