// The commands and options of the program as plain data: what its manual page and its completions are made from.
#pragma once

#include <string>
#include <vector>

namespace reedwright::app {

/// What stands behind an option or in a place of the command line.
enum class Takes { nothing, text, choice, file, material };

struct DescribedOption {
    /// With their dashes; of a positional its one word, such as FILE.
    std::vector<std::string> names;
    Takes takes = Takes::nothing;
    std::vector<std::string> choices;
    std::string help;
    /// Taken when the option is left out, where there is such a value.
    std::string otherwise;
    /// A heading that several commands share; empty for a command's own.
    std::string group;
    bool positional = false;
    bool required = false;
};

struct DescribedCommand {
    std::string name;
    std::string what;
    /// As typed, one a line.
    std::vector<std::string> examples;
    std::vector<DescribedOption> options;
};

struct DescribedProgram {
    std::string name;
    std::string version;
    /// Date of the version, year-month-day.
    std::string date;
    std::string purpose;
    std::vector<DescribedOption> options;
    std::vector<DescribedCommand> commands;
};

/// The manual page, for man(1): roff with the man macros.
std::string manual_page(const DescribedProgram& program);

/// A script that teaches a shell to complete commands, options, choices, names of alloys and file names.
/// shell is bash, zsh or fish; anything else gives an empty text.
std::string completion_script(const DescribedProgram& program, const std::string& shell);

}  // namespace reedwright::app
