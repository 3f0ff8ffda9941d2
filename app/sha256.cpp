#include "app/sha256.hpp"

#include <openssl/evp.h>
#include <array>
#include <stdexcept>

namespace reedwright::app {

std::string sha256_hex(std::string_view content) {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned length = 0;
    if (EVP_Digest(content.data(), content.size(), digest.data(), &length, EVP_sha256(), nullptr) != 1)
        throw std::runtime_error("the SHA-256 digest could not be computed");
    constexpr std::string_view digits = "0123456789abcdef";
    std::string text;
    for (unsigned i = 0; i < length; ++i) {
        text += digits[digest[i] >> 4U];
        text += digits[digest[i] & 0x0FU];
    }
    return text;
}

}  // namespace reedwright::app
