#include "app/page/asked_command.hpp"

#include "app/command_line.hpp"
#include "app/commands/commands.hpp"
#include "core/input/section.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <nlohmann/json.hpp>
#include <sstream>

namespace reedwright::app {

namespace {

using Json = nlohmann::ordered_json;

constexpr int deepest_nesting = 8;
constexpr std::size_t longest_option = 1000;
constexpr std::size_t most_passes = 100;
// So many are drawn in about a second; the command line draws as many as one likes.
constexpr std::size_t most_samples = 1'000'000;
constexpr std::size_t most_samples_digits = 7;

[[noreturn]] void malformed(const std::string& message, int status = 400, const std::string& option = {}) {
    throw MalformedQuestion{{status, message}, option};
}

std::string text_of(const Json& value, const std::string& what) {
    if (!value.is_string()) malformed(what + " must be a text");
    return value.get<std::string>();
}

void only_members(const Json& object, const std::string& what, const std::vector<std::string>& known) {
    if (!object.is_object()) malformed(what + " must be an object");
    for (const auto& [key, value] : object.items())
        if (std::find(known.begin(), known.end(), key) == known.end())
            malformed(fmt::format("{} has no member '{}'", what, key));
}

std::string asked_file(const Json& given, const std::string& what, const PageFolder& folder,
                       std::vector<ReadingScope::Content>& in_memory) {
    only_members(given, what, {"text", "name", "path"});
    const bool is_text = given.contains("text");
    if (is_text == given.contains("path")) malformed(what + " must have a text or a path, and not both");
    const char* const key = is_text ? "name" : "path";
    if (!given.contains(key)) malformed(fmt::format("{} lacks its {}", what, key));
    std::string name = text_of(given.at(key), fmt::format("{}.{}", what, key));
    if (const auto refused = folder.refusal(name)) malformed(refused->message, refused->status);
    if (is_text) in_memory.push_back({name, text_of(given.at("text"), what + ".text")});
    return name;
}

// A Monte Carlo takes as long as it is told.
void check_samples(const std::string& value) {
    const bool digits = std::all_of(value.begin(), value.end(), [](char c) { return c >= '0' && c <= '9'; });
    if (!digits || value.size() > most_samples_digits || std::stoul(value) > most_samples)
        malformed(fmt::format("the page draws at most {} samples, written in digits", most_samples), 400, "--samples");
}

void add_option(std::vector<std::string>& arguments, const std::string& name, const Json& value) {
    const std::string option = "--" + name;
    if (value.is_array()) {
        for (const Json& one : value) {
            if (one.is_array()) malformed(option + " must be a text", 400, option);
            add_option(arguments, name, one);
        }
        return;
    }
    if (value.is_boolean()) {
        if (value.get<bool>()) arguments.push_back(option);
        return;
    }
    if (!value.is_string()) malformed(option + " must be a text, with its unit, or true for a flag", 400, option);
    const auto text = value.get<std::string>();
    if (text.empty()) malformed(option + " is empty: leave it out", 400, option);
    if (text.size() > longest_option || text.find('\0') != std::string::npos)
        malformed(option + " is too long, or holds a zero byte", 400, option);
    if (name == "samples") check_samples(text);
    arguments.push_back(option + "=" + text);
}

void add_passes(AskedCommand& asked, const Json& passes) {
    if (!passes.is_array() || passes.empty() || passes.size() > most_passes)
        malformed(fmt::format("passes must be a list of 1 to {} readings", most_passes));
    for (const Json& pass : passes) {
        only_members(pass, "a pass", {"read", "under", "took", "strokes"});
        std::vector<std::string>& options = asked.passes.emplace_back();
        for (const auto& [name, value] : pass.items()) add_option(options, name, value);
    }
}

bool names_a_key(const std::string& text) {
    return !text.empty() && std::all_of(text.begin(), text.end(), [](char c) {
        return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_' || c == '.' || c == '[' || c == ']';
    });
}

PageFault page_fault(const Diagnostic& diagnostic) {
    const Place& place = diagnostic.place;
    PageFault fault;
    fault.line = place.line;
    fault.column = place.line > 0 ? place.column : 0;
    if (place.line == 0 && place.source.starts_with("--"))
        fault.option = place.source;
    else
        fault.place = place.line > 0 ? fmt::format("{}:{}:{}", place.source, place.line, place.column) : place.source;
    fault.message = diagnostic.message;
    fault.source_line = diagnostic.source_line;
    fault.hint = diagnostic.hint;
    // "tongue.thickness: 12 mm is outside ..."
    if (const auto colon = diagnostic.message.find(": ");
        colon != std::string::npos && names_a_key(diagnostic.message.substr(0, colon))) {
        fault.key = diagnostic.message.substr(0, colon);
        fault.message = diagnostic.message.substr(colon + 2);
    }
    return fault;
}

// "--want is required" names an option where it begins.
PageFault usage_fault(const std::string& message) {
    PageFault fault;
    fault.message = message.substr(0, message.find('\n'));
    if (message.starts_with("--")) fault.option = message.substr(0, message.find_first_of(": \n"));
    return fault;
}

}  // namespace

const std::vector<std::string>& options_of_page() {
    static const std::vector<std::string> names{
        "a4",      "aim",         "at",        "beats", "cell",     "chamber", "depth", "explain",
        "gap",     "offset",      "overshoot", "lot",   "pressure", "ramp",    "read",  "row",
        "samples", "seed",        "shape",     "share", "sweep",    "swing",   "tier",  "temperament",
        "trial",   "trial-reads", "trust",     "under", "want",     "zone"};
    return names;
}

Json parsed_body(const std::string& body) {
    try {
        return Json::parse(body, [](int depth, Json::parse_event_t, Json&) {
            if (depth > deepest_nesting)
                malformed(fmt::format("the body nests deeper than {} levels", deepest_nesting));
            return true;
        });
    } catch (const Json::exception&) {
        malformed("the body is not JSON in UTF-8");
    }
}

AskedCommand asked_command(const Json& body, const PageFolder& folder) {
    only_members(body, "the body", {"subject", "second", "options", "passes"});
    if (!body.contains("subject")) malformed("the body lacks its subject");
    AskedCommand asked;
    asked.subject = asked_file(body.at("subject"), "subject", folder, asked.in_memory);
    if (body.contains("second") && !body.at("second").is_null())
        asked.second = asked_file(body.at("second"), "second", folder, asked.in_memory);
    if (asked.in_memory.size() == 2 && asked.subject == asked.second)
        malformed("subject and second are different texts of the same name");
    if (body.contains("passes")) add_passes(asked, body.at("passes"));
    if (!body.contains("options")) return asked;
    const Json& options = body.at("options");
    if (!options.is_object()) malformed("options must be an object");
    for (const auto& [name, value] : options.items()) {
        const auto& known = options_of_page();
        if (std::find(known.begin(), known.end(), name) == known.end()) {
            const std::string near = nearest_word(name, known);
            malformed(fmt::format("there is no option '{}' here{}", name,
                                  near.empty() ? std::string() : fmt::format("; did you mean {}?", near)),
                      400, "--" + name);
        }
        add_option(asked.options, name, value);
    }
    return asked;
}

Ran caught(const std::function<int(std::string& out, std::string& err)>& task,
           const std::vector<std::filesystem::path>& folders, const std::vector<ReadingScope::Content>& in_memory) {
    const ReadingScope scope(folders, in_memory);
    Ran ran{our_fault, {}, {}, {}};
    try {
        ran.exit_code = task(ran.out, ran.err);
        if (ran.exit_code == wrong_usage) ran.faults.push_back(usage_fault(ran.err));
    } catch (const InputError& error) {
        ran.exit_code = bad_input;
        ran.err = error.what();
        const auto& found = error.diagnostics();
        for (std::size_t i = 0; i < std::min(found.size(), most_shown_diagnostics); ++i)
            ran.faults.push_back(page_fault(found[i]));
    } catch (const std::exception& error) {
        ran.err = fmt::format("reedwright failed, and the fault is ours: {}", error.what());
    }
    while (ran.err.ends_with('\n')) ran.err.pop_back();
    return ran;
}

Ran run_within(const std::vector<std::string>& arguments, const std::vector<std::filesystem::path>& folders,
               const std::vector<ReadingScope::Content>& in_memory) {
    std::vector<const char*> words{"reedwright"};
    for (const std::string& argument : arguments) words.push_back(argument.c_str());
    const auto task = [&](std::string& out_text, std::string& err_text) {
        std::ostringstream out;
        std::ostringstream err;
        const auto keep = [&] {
            out_text = out.str();
            err_text = err.str();
        };
        try {
            const int code = run_or_throw(static_cast<int>(words.size()), words.data(), Console{out, err});
            keep();
            return code;
        } catch (...) {
            keep();
            throw;
        }
    };
    return caught(task, folders, in_memory);
}

Answer answer_of(const Ran& ran) {
    switch (ran.exit_code) {
        case done:
        case check_failed:
            return {200, "application/json", ran.out};
        case bad_input:
            return error_answer(422, bad_input, ran.err, ran.faults, ran.out);
        case wrong_usage:
            return error_answer(400, wrong_usage, ran.err, ran.faults);
        default:
            return error_answer(500, our_fault, ran.err);
    }
}

}  // namespace reedwright::app
