#include "app/finding_words.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <cmath>

namespace reedwright::app {

std::string number_text(double value, const std::string& unit) {
    if (unit == "mm") return fmt::format("{:.3f} mm", value);
    if (unit == "h") return value > 1e5 ? "> 100000 h" : fmt::format("{:.0f} h", value);
    if (unit.empty()) return fmt::format("{:.2f}", value);
    // From a thousand on three digits would be a power of ten.
    return std::abs(value) < 999.5 ? fmt::format("{:.3g} {}", value, unit) : fmt::format("{:.0f} {}", value, unit);
}

std::string limit_text(const Finding& one) {
    return fmt::format("{} {}", one.at_least ? "at least" : "at most", number_text(one.limit, one.unit));
}

std::vector<const Finding*> tightest_findings(const DesignCheck& check) {
    std::vector<const Finding*> tightest;
    for (const Finding& one : check.findings) {
        const auto known = std::find_if(tightest.begin(), tightest.end(),
                                        [&](const Finding* other) { return other->kind == one.kind; });
        if (known == tightest.end())
            tightest.push_back(&one);
        else if (one.margin() < (*known)->margin())
            *known = &one;
    }
    return tightest;
}

}  // namespace reedwright::app
