// What a tuner's reading may be.
#include "core/tuning/note.hpp"

#include <gtest/gtest.h>

namespace reedwright {
namespace {

TEST(SpokenPitch, An_offset_so_wide_that_its_pitch_would_not_be_finite_is_refused) {
    for (const char* const text : {"1e9c", "-1e9 cents", "A4+1e300c", "A4-13101c"}) {
        const auto spoken = parse_spoken_pitch(text);
        ASSERT_FALSE(spoken) << text;
        EXPECT_NE(spoken.error().message.find("is more than 13100 cents"), std::string::npos) << spoken.error().message;
    }
}

TEST(SpokenPitch, The_lowest_note_is_taken_as_an_offset_from_the_highest) {
    const auto spoken = parse_spoken_pitch("B9-13100c");
    ASSERT_TRUE(spoken);
    const Frequency lowest = equal_pitch(*parse_note("C-1"), 440.0 * hertz);
    EXPECT_NEAR(spoken->resolve({}, 440.0 * hertz)->value(), lowest.value(), 1e-9);
}

}  // namespace
}  // namespace reedwright
