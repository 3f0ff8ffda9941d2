// Any text as a question to the local page: its first line the path, the rest the body. Whatever it is, the answer is
// one that the page can show, and never that the fault is ours.
#include "app/page/house_rules.hpp"
#include "tests/fuzz/targets.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <array>
#include <atomic>
#include <cstdlib>
#include <nlohmann/json.hpp>

namespace reedwright::fuzz {

namespace {

// Those that are quick and write nothing; the others take the same way to their commands.
constexpr std::array<std::string_view, 6> asked_paths{"/api/pitch", "/api/where",  "/api/cut",
                                                      "/api/load",  "/api/tongue", "/api/start"};

const app::House& house() {
    static const app::House house = [] {
        ::setenv("REEDWRIGHT_MATERIALS", REEDWRIGHT_FUZZ_MATERIALS, 1);
        static const std::atomic<bool> stopping = false;
        return app::page_house(app::PageFolder(REEDWRIGHT_FUZZ_MATERIALS), stopping);
    }();
    return house;
}

void demand_fault(const nlohmann::json& fault, const std::string& body) {
    demand(fault.at("message").is_string() && !fault.at("message").get<std::string>().empty(),
           "a fault without a word: " + body);
    const nlohmann::json& line = fault.at("line");
    demand(line.is_null() == fault.at("column").is_null(), "a line without its column, or the reverse: " + body);
    demand(line.is_null() || line.get<int>() >= 1, "a line that no text has: " + body);
}

}  // namespace

void page_question(std::string_view text) {
    const auto end = std::min(text.find('\n'), text.size());
    const std::string_view path = text.substr(0, end);
    if (std::find(asked_paths.begin(), asked_paths.end(), path) == asked_paths.end()) return;
    text.remove_prefix(std::min(end + 1, text.size()));
    const app::Answer answer = house().answer({"POST", std::string(path), {}, "application/json", std::string(text)});
    demand(answer.status == 200 || answer.status == 400 || answer.status == 403 || answer.status == 404 ||
               answer.status == 422,
           fmt::format("{} is answered with {}: {}", path, answer.status, answer.body));
    const auto json = nlohmann::json::parse(answer.body, nullptr, false);
    demand(json.is_object(), fmt::format("{} is answered with what is no JSON object: {}", path, answer.body));
    demand((answer.status == 200) == !json.contains("error"), "a good answer with an error, or the reverse");
    if (answer.status == 200) return;
    const nlohmann::json& error = json.at("error");
    demand(!error.at("message").get<std::string>().empty(), "an error without a word");
    for (const nlohmann::json& fault : error.at("faults")) demand_fault(fault, answer.body);
}

}  // namespace reedwright::fuzz
