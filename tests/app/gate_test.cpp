// Who may ask the local page: the addresses that browsers write for it, and no others.
#include "app/page/gate.hpp"

#include <gtest/gtest.h>
#include <optional>
#include <string>

namespace reedwright::app {
namespace {

bool lets_in(int port, const std::string& host, const std::optional<std::string>& origin = {}) {
    Knock knock{"GET", "/", {{"host", host}}};
    if (origin) knock.headers.emplace("origin", *origin);
    return !refusal(knock, port, std::nullopt, false);
}

TEST(Gate, The_port_that_http_has_of_itself_may_be_left_out) {
    EXPECT_TRUE(lets_in(80, "127.0.0.1"));
    EXPECT_TRUE(lets_in(80, "localhost:80"));
    EXPECT_TRUE(lets_in(80, "localhost", "http://localhost"));
    EXPECT_TRUE(lets_in(80, "localhost:80", "http://localhost"));
    EXPECT_FALSE(lets_in(80, "localhost", "http://127.0.0.1"));
    EXPECT_FALSE(lets_in(80, "localhost", "https://localhost"));
    EXPECT_FALSE(lets_in(80, "evil.example"));
    EXPECT_FALSE(lets_in(80, ""));
    EXPECT_FALSE(lets_in(80, "localhost", "null"));
}

TEST(Gate, Any_other_port_must_be_said) {
    EXPECT_TRUE(lets_in(8000, "127.0.0.1:8000", "http://127.0.0.1:8000"));
    EXPECT_FALSE(lets_in(8000, "127.0.0.1"));
    EXPECT_FALSE(lets_in(8000, "127.0.0.1:80"));
    EXPECT_FALSE(lets_in(8000, "127.0.0.1:8000", "http://127.0.0.1"));
}

}  // namespace
}  // namespace reedwright::app
