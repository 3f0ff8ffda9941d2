// What is asked of the local page, and what it answers, without the protocol between.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

namespace reedwright::app {

struct Question {
    std::string method;
    /// Without the query, its escapes resolved.
    std::string path;
    std::map<std::string, std::string> query;
    /// In lower case, without parameters; empty when none is given.
    std::string content_type;
    std::string body;
};

struct Answer {
    int status = 200;
    std::string content_type = "application/json";
    std::string body;
};

/// One thing that is wrong, as the page shows it beside the place where it stands.
struct PageFault {
    /// "brass_a4.yaml:7:14", the file alone, or empty.
    std::string place;
    /// 0 when the fault has no line.
    int line = 0;
    int column = 0;
    /// "tongue.thickness"; empty when the fault is not of a key.
    std::string key;
    /// "--zone"; empty when the fault is not of an option.
    std::string option;
    std::string message;
    std::string source_line;
    std::string hint;
};

/// {"error": {"exit", "message", "faults"}}, with "result" where a command gave one all the same (JSON text; may be
/// empty).
Answer error_answer(int status, int exit_code, const std::string& message, const std::vector<PageFault>& faults = {},
                    const std::string& result = {});

/// Why a question is refused before anything is done for it.
struct Refusal {
    int status;
    std::string message;
};

}  // namespace reedwright::app
