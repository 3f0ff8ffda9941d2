// The fingerprint of a file's content, by which a shop can tell that it holds the file that was sent.
#pragma once

#include <string>
#include <string_view>

namespace reedwright::app {

/// The SHA-256 digest (FIPS 180-4) of the bytes, as 64 lower-case hexadecimal digits, as `sha256sum` prints it.
/// Throws std::runtime_error when the library refuses.
std::string sha256_hex(std::string_view content);

}  // namespace reedwright::app
