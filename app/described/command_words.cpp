#include "app/described/command_words.hpp"

#include <CLI/CLI.hpp>
#include <sstream>
#include <utility>

namespace reedwright::app {

namespace {

// What a word on the command line stands for: files are the options and places whose name must not be empty, the
// places of a command unless they are the name of an alloy.
DescribedOption described(const CLI::Option& option) {
    DescribedOption result;
    result.positional = option.get_positional();
    result.required = option.get_required();
    result.help = option.get_description();
    result.otherwise = option.get_default_str();
    if (option.get_group() != "Options") result.group = option.get_group();
    for (const std::string& name : option.get_snames()) result.names.push_back("-" + name);
    for (const std::string& name : option.get_lnames()) result.names.push_back("--" + name);
    if (result.positional) result.names = {option.get_name(true, false)};
    if (option.get_items_expected_max() == 0) return result;

    const std::string& name = result.names.back();
    const std::string type = option.get_type_name();
    const auto open = type.find(":{");
    if (open != std::string::npos && type.ends_with('}')) {
        std::string word;
        for (const char letter : type.substr(open + 2)) {
            if (letter == ',' || letter == '}')
                result.choices.push_back(std::exchange(word, {}));
            else
                word += letter;
        }
        result.takes = Takes::choice;
    } else if (name == "--material" || name == "NAME") {
        result.takes = Takes::material;
    } else {
        const auto checks_name = [&] {
            try {
                return const_cast<CLI::Option&>(option).get_validator("not empty") != nullptr;
            } catch (const CLI::OptionNotFound&) {
                return false;
            }
        };
        result.takes = result.positional || name == "--out" || checks_name() ? Takes::file : Takes::text;
    }
    return result;
}

std::vector<DescribedOption> described_options(const CLI::App& command) {
    std::vector<DescribedOption> result;
    for (const CLI::Option* option : command.get_options()) result.push_back(described(*option));
    return result;
}

}  // namespace

DescribedProgram described(const CLI::App& program) {
    DescribedProgram result{program.get_name(),        REEDWRIGHT_VERSION,         REEDWRIGHT_DATE,
                            program.get_description(), described_options(program), {}};
    result.purpose.erase(0, result.name.size() + 2);
    for (const CLI::App* command : program.get_subcommands({})) {
        DescribedCommand one{command->get_name(), command->get_description(), {}, described_options(*command)};
        std::istringstream footer(command->get_footer());
        for (std::string line; std::getline(footer, line);)
            if (line.starts_with("  ")) one.examples.push_back(line.substr(2));
        result.commands.push_back(std::move(one));
    }
    return result;
}

}  // namespace reedwright::app
