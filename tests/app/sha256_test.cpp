#include "app/sha256.hpp"

#include <gtest/gtest.h>

namespace reedwright::app {
namespace {

// FIPS 180-4 leaves its examples to NIST's collection of example values, "SHA-256"; they are those of FIPS 180-2,
// appendices B.1 to B.3. Written from memory and held against coreutils' sha256sum.
TEST(Sha256, of_the_standard_s_one_block_message_is_the_printed_digest) {
    EXPECT_EQ(sha256_hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
}

TEST(Sha256, of_the_standard_s_two_block_message_is_the_printed_digest) {
    EXPECT_EQ(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
              "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}

TEST(Sha256, of_the_standard_s_long_message_a_million_letters_is_the_printed_digest) {
    EXPECT_EQ(sha256_hex(std::string(1000000, 'a')),
              "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST(Sha256, counts_zero_bytes_and_bytes_above_127_and_takes_nothing_at_all) {
    // coreutils: printf '' | sha256sum; printf '\000\377' | sha256sum
    EXPECT_EQ(sha256_hex(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    EXPECT_EQ(sha256_hex(std::string_view("\0\xff", 2)),
              "06eb7d6a69ee19e5fbdf749018d3d2abfa04bcbd1365db312eb86dc7169389b8");
}

}  // namespace
}  // namespace reedwright::app
