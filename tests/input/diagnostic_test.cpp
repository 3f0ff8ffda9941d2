// What a person is shown of a text that may hold anything.
#include "core/input/diagnostic.hpp"
#include "core/input/utf8.hpp"

#include <gtest/gtest.h>

namespace reedwright {
namespace {

TEST(Diagnostic, Bytes_that_are_no_text_are_shown_as_question_marks) {
    EXPECT_STREQ(InputError("zone '\xE4-1' is not a stretch").what(), "zone '?-1' is not a stretch");
    EXPECT_STREQ(InputError("cut short \xE2\x99").what(), "cut short ??");
    EXPECT_STREQ(InputError("a terminal's own \x9B\x33\x31m").what(), "a terminal's own ?31m");
    EXPECT_STREQ(InputError("F\u266f, 0.1 \u00b5m, \U0001D11E").what(), "F\u266f, 0.1 \u00b5m, \U0001D11E");
}

TEST(Diagnostic, Control_characters_are_shown_as_question_marks) {
    EXPECT_STREQ(InputError("a\x1b[31m\u009b31m\ttab").what(), "a?[31m?31m tab");
}

// RFC 3629, section 4: the edges of what its syntax of UTF-8 allows.
TEST(Utf8, The_first_byte_that_is_none_is_found) {
    EXPECT_EQ(first_invalid_utf8("\x7F\u0080\u07FF\u0800\uD7FF\uE000\uFFFF\U00010000\U0010FFFF"),
              std::string_view::npos);
    EXPECT_EQ(first_invalid_utf8("ab\x80"), 2U);
    EXPECT_EQ(first_invalid_utf8("\xC1\xBF"), 0U);
    EXPECT_EQ(first_invalid_utf8("\xE0\x9F\xBF"), 0U);
    EXPECT_EQ(first_invalid_utf8("\xED\xA0\x80"), 0U);
    EXPECT_EQ(first_invalid_utf8("\xF0\x8F\xBF\xBF"), 0U);
    EXPECT_EQ(first_invalid_utf8("\xF4\x90\x80\x80"), 0U);
    EXPECT_EQ(first_invalid_utf8("a\xE2\x99"), 1U);
}

}  // namespace
}  // namespace reedwright
