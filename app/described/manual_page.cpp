#include "app/described/program.hpp"

#include <fmt/format.h>
#include <algorithm>
#include <map>

namespace reedwright::app {

namespace {

// Roff takes a backslash, a leading dot and a leading quote for itself; a bare hyphen may be printed as one that
// cannot be pasted back into a shell.
std::string roff(const std::string& text) {
    std::string result;
    for (const char letter : text) {
        if (letter == '\\')
            result += "\\e";
        else if (letter == '-')
            result += "\\-";
        else if (result.empty() && (letter == '.' || letter == '\''))
            (result += "\\&") += letter;
        else
            result += letter;
    }
    return result;
}

std::string sentence(std::string text) {
    if (!text.empty() && text.back() != '.') text += '.';
    return text;
}

std::string value_word(const DescribedOption& option) {
    switch (option.takes) {
        case Takes::nothing:
            return {};
        case Takes::file:
            return "file";
        case Takes::material:
            return "material";
        case Takes::choice:
            return fmt::format("{}", fmt::join(option.choices, "|"));
        case Takes::text:
            return "value";
    }
    return {};
}

std::string entry(const DescribedOption& option) {
    std::string names;
    for (const std::string& name : option.names)
        names += fmt::format("{}\\fB{}\\fR", names.empty() ? "" : ", ", roff(name));
    if (option.positional) names = fmt::format("\\fI{}\\fR", roff(option.names.front()));
    if (const std::string value = value_word(option); !option.positional && !value.empty())
        names += fmt::format(" \\fI{}\\fR", roff(value));
    std::string text = option.help;
    if (!option.otherwise.empty()) text += fmt::format(" ({} when left out)", option.otherwise);
    return fmt::format(".TP\n{}\n{}\n", names, roff(sentence(text)));
}

std::string usage(const DescribedCommand& command) {
    std::string result = command.name;
    for (const DescribedOption& option : command.options)
        if (option.positional)
            result += option.required ? " " + option.names.front() : " [" + option.names.front() + "]";
        else if (option.required)
            result += fmt::format(" {} {}", option.names.back(), value_word(option));
    return result + " [options]";
}

constexpr const char* closing = R"man(.SH EXIT STATUS
.TP
0
Done.
.TP
1
Bad input, or a request that cannot be met; nothing was written.
.TP
2
Wrong usage.
.TP
3
A fault of the program.
.TP
4
.B check
found something that fails.
.SH ENVIRONMENT
.TP
REEDWRIGHT_MATERIALS
Folder of the alloys to use instead of the one that came with the program.
.SH FILES
Where the program is PREFIX/bin/reedwright:
.TP
PREFIX/share/reedwright/materials
The alloys, one YAML file each, with the source of every value.
.TP
PREFIX/share/reedwright/designs
Example tongues, designs, readings and stock lists.
.TP
PREFIX/share/doc/reedwright/README.md
What the program does, step by step, its files, and how far to trust it.
.SH CAUTIONS
Thin strip and burrs cut: wear eye protection, support the tongue, clamp small work.
Never file beryllium copper dry; its dust causes incurable lung disease.
Follow local rules for workplace dust and for articles in mouth contact, and leave to licensed trades what the law
reserves to them.
)man";

}  // namespace

std::string manual_page(const DescribedProgram& program) {
    std::string page = fmt::format(".TH {} 1 {} \"{} {}\" \"User Commands\"\n", "REEDWRIGHT", program.date,
                                   program.name, program.version);
    page += fmt::format(".SH NAME\n{} \\- {}\n.SH SYNOPSIS\n.B {}\n.I command\n.RI [ options ]\n", program.name,
                        roff(program.purpose), program.name);
    page +=
        ".SH DESCRIPTION\nEvery quantity carries its unit: 15mm, 2um, 106.5GPa, 440Hz, \\-12c.\n"
        "Results go to standard output, everything else to standard error.\n"
        "Files are written whole or not at all, and none that stands is written over unless asked for.\n"
        ".SH OPTIONS\n";
    for (const DescribedOption& option : program.options) page += entry(option);
    page += ".PP\n\\fB\\-\\-help\\fR after a command shows its options with an example.\n";

    page += ".SH COMMANDS\n";
    std::map<std::string, std::vector<DescribedOption>> shared;
    for (const DescribedCommand& command : program.commands) {
        page += fmt::format(".SS \"{}\"\n{}\n", roff(usage(command)), roff(sentence(command.what)));
        std::vector<std::string> groups;
        for (const DescribedOption& option : command.options) {
            if (option.names.back() == "--help") continue;  // said once, of the program
            if (option.group.empty()) {
                page += entry(option);
                continue;
            }
            if (std::find(groups.begin(), groups.end(), option.group) == groups.end()) groups.push_back(option.group);
        }
        for (const std::string& group : groups) {
            page += fmt::format(".PP\nThe options under\n.B {}\nbelow are taken too.\n", roff(group));
            if (shared.contains(group)) continue;
            for (const DescribedOption& option : command.options)
                if (option.group == group) shared[group].push_back(option);
        }
        if (!command.examples.empty()) page += ".PP\nFor example:\n.PP\n.nf\n";
        for (const std::string& example : command.examples) page += fmt::format(".RS 4\n{}\n.RE\n", roff(example));
        if (!command.examples.empty()) page += ".fi\n";
    }
    for (const auto& [group, options] : shared) {
        std::string heading = group;
        std::transform(heading.begin(), heading.end(), heading.begin(),
                       [](char letter) { return letter >= 'a' && letter <= 'z' ? char(letter - 'a' + 'A') : letter; });
        page += fmt::format(".SH {}\n", roff(heading));
        for (const DescribedOption& option : options) page += entry(option);
    }
    return page + closing;
}

}  // namespace reedwright::app
