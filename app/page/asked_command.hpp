// A command of the program as the page asks for it: on texts in memory, in this process, its faults as data.
#pragma once

#include "app/page/page_folder.hpp"
#include "app/page/question.hpp"
#include "core/input/diagnostic.hpp"
#include "core/input/reading_scope.hpp"

#include <functional>
#include <nlohmann/json_fwd.hpp>
#include <string>
#include <utility>
#include <vector>

namespace reedwright::app {

/// A question that is not of the form agreed; becomes an answer of 400 or 403.
struct MalformedQuestion {
    Refusal refusal;
    std::string option;
};

/// What the body of a question says, checked: {"subject", "second", "options", "passes"}.
struct AskedCommand {
    /// Names of files as the command line would have them.
    std::string subject;
    std::string second;
    /// "--read=-12c", in the order given.
    std::vector<std::string> options;
    /// Of each pass of a cut: what was read, what was taken before.
    std::vector<std::vector<std::string>> passes;
    /// Texts that stand for files.
    std::vector<ReadingScope::Content> in_memory;
};

/// The JSON of a body. Throws MalformedQuestion for what is no JSON object, or nests deeper than eight levels.
nlohmann::ordered_json parsed_body(const std::string& body);

/// Throws MalformedQuestion for unknown members, wrong kinds of values, options that do not exist or write files, and
/// names outside the folder.
AskedCommand asked_command(const nlohmann::ordered_json& body, const PageFolder& folder);

/// Options that the page may give: those that read or compute. Any other is refused.
const std::vector<std::string>& options_of_page();

struct Ran {
    int exit_code;
    std::string out;
    std::string err;
    std::vector<PageFault> faults;
};
/// Runs arguments as the command line would, reading nothing but the texts in memory and files of the folders.
Ran run_within(const std::vector<std::string>& arguments, const std::vector<std::filesystem::path>& folders,
               const std::vector<ReadingScope::Content>& in_memory);

/// The answer to a command that ran: its JSON, or the error with it.
Answer answer_of(const Ran& ran);

/// Does a task under a scope and turns what it throws into faults, as run_within() does.
Ran caught(const std::function<int(std::string& out, std::string& err)>& task,
           const std::vector<std::filesystem::path>& folders, const std::vector<ReadingScope::Content>& in_memory);

}  // namespace reedwright::app
