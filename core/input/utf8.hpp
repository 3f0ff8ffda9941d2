// Whether a text is UTF-8.
#pragma once

#include <cstddef>
#include <string_view>

namespace reedwright {

/// Offset of the first byte that is not UTF-8 (RFC 3629), or npos. Overlong forms and surrogates count as faults.
std::size_t first_invalid_utf8(std::string_view text);

}  // namespace reedwright
