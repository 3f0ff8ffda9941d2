// Names for files that other programs read: plain ASCII, and no two alike.
#pragma once

#include <set>
#include <string>

namespace reedwright {

/// The text in printable ASCII: every other character becomes one question mark, since CAD files take ASCII only.
std::string ascii_text(const std::string& text);

/// Hands out names and remembers them.
class UniqueNames {
public:
    /// The wanted name in ASCII; with a number in parentheses when it is taken already.
    std::string claim(const std::string& wanted);

private:
    std::set<std::string> taken_;
};

}  // namespace reedwright
