#include "app/page/question.hpp"

#include <nlohmann/json.hpp>

namespace reedwright::app {

namespace {

nlohmann::ordered_json text_or_null(const std::string& text) {
    return text.empty() ? nlohmann::ordered_json(nullptr) : nlohmann::ordered_json(text);
}

nlohmann::ordered_json number_or_null(int number) {
    return number > 0 ? nlohmann::ordered_json(number) : nlohmann::ordered_json(nullptr);
}

}  // namespace

Answer error_answer(int status, int exit_code, const std::string& message, const std::vector<PageFault>& faults,
                    const std::string& result) {
    nlohmann::ordered_json json;
    auto& error = json["error"];
    error["exit"] = exit_code;
    error["message"] = message;
    error["faults"] = nlohmann::ordered_json::array();
    for (const PageFault& fault : faults)
        error["faults"].push_back({{"place", fault.place},
                                   {"line", number_or_null(fault.line)},
                                   {"column", number_or_null(fault.column)},
                                   {"key", text_or_null(fault.key)},
                                   {"option", text_or_null(fault.option)},
                                   {"message", fault.message},
                                   {"source", text_or_null(fault.source_line)},
                                   {"hint", text_or_null(fault.hint)}});
    if (!result.empty()) {
        auto parsed = nlohmann::ordered_json::parse(result, nullptr, false);
        if (!parsed.is_discarded()) json["result"] = std::move(parsed);
    }
    // A name on the disk need not be UTF-8.
    return {status, "application/json",
            json.dump(2, ' ', false, nlohmann::ordered_json::error_handler_t::replace) + '\n'};
}

}  // namespace reedwright::app
