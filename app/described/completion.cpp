#include "app/described/program.hpp"

#include <fmt/format.h>

namespace reedwright::app {

namespace {

// The names of the library's alloys, asked from the program on the command line, so that they are the ones it will
// read.
constexpr const char* alloys = R"sh(materials --json 2>/dev/null | sed -n 's/^ *"id": "\(.*\)",*$/\1/p')sh";

std::string all_names(const std::vector<DescribedOption>& options) {
    std::vector<std::string> names;
    for (const DescribedOption& option : options)
        if (!option.positional) names.insert(names.end(), option.names.begin(), option.names.end());
    return fmt::format("{}", fmt::join(names, " "));
}

std::string command_names(const DescribedProgram& program) {
    std::vector<std::string> names;
    for (const DescribedCommand& command : program.commands) names.push_back(command.name);
    return fmt::format("{}", fmt::join(names, " "));
}

Takes first_positional(const DescribedCommand& command) {
    for (const DescribedOption& option : command.options)
        if (option.positional) return option.takes;
    return Takes::nothing;
}

// What bash and zsh have in common: a `case` over "command option" that sets what kind of word is due.
std::string cases(const DescribedProgram& program) {
    const auto kind = [](const DescribedOption& option) -> std::string {
        switch (option.takes) {
            case Takes::nothing:
                return {};
            case Takes::text:
                return "kind=text";
            case Takes::file:
                return "kind=file";
            case Takes::material:
                return "kind=material";
            case Takes::choice:
                return fmt::format("kind=choice choices='{}'", fmt::join(option.choices, " "));
        }
        return {};
    };
    std::string result;
    const auto add = [&](const std::string& command, const std::vector<DescribedOption>& options) {
        for (const DescribedOption& option : options) {
            if (option.positional || option.takes == Takes::nothing) continue;
            for (const std::string& name : option.names)
                result += fmt::format("        '{} {}') {} ;;\n", command, name, kind(option));
        }
    };
    add("", program.options);
    for (const DescribedCommand& command : program.commands) add(command.name, command.options);
    for (const DescribedCommand& command : program.commands) {
        const Takes place = first_positional(command);
        const char* otherwise = place == Takes::material ? "material" : place == Takes::nothing ? "text" : "file";
        result += fmt::format("        '{} '*) kind={} options='{}' ;;\n", command.name, otherwise,
                              all_names(command.options));
    }
    result += fmt::format("        *) kind=choice choices='{}' options='{}' ;;\n", command_names(program),
                          all_names(program.options));
    return result;
}

std::string for_bash(const DescribedProgram& program) {
    return fmt::format(R"sh(# Completion of {0} for bash; made by '{0} --completion bash'.
_{0}() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} before=${{COMP_WORDS[COMP_CWORD - 1]}} command='' kind='' choices='' options=''
    # Bash takes --option=value apart at the sign.
    if [[ $word == = ]]; then
        word=''
    elif [[ $before == = ]]; then
        before=${{COMP_WORDS[COMP_CWORD - 2]}}
    fi
    if ((COMP_CWORD > 1)); then command=${{COMP_WORDS[1]}}; fi
    # Without a command yet, an option of the program itself may stand there.
    if [[ $command == -* ]]; then command=''; fi
    case "$command $before" in
{1}    esac
    if [[ $word == -* && -n $options ]]; then
        kind=choice choices=$options
    fi
    COMPREPLY=()
    case $kind in
        choice) mapfile -t COMPREPLY < <(compgen -W "$choices" -- "$word") ;;
        material) mapfile -t COMPREPLY < <(compgen -W "$("${{COMP_WORDS[0]}}" {2})" -- "$word") ;;
        file)
            compopt -o filenames 2>/dev/null
            mapfile -t COMPREPLY < <(compgen -f -- "$word")
            ;;
    esac
}}
complete -F _{0} {0}
)sh",
                       program.name, cases(program), alloys);
}

std::string for_zsh(const DescribedProgram& program) {
    return fmt::format(R"sh(#compdef {0}
# Completion of {0} for zsh; made by '{0} --completion zsh'.
local word=$words[CURRENT] before=$words[CURRENT-1] command='' kind='' choices='' options=''
if (( CURRENT > 2 )); then command=$words[2]; fi
if [[ $command == -* ]]; then command=''; fi
case "$command $before" in
{1}esac
if [[ $word == -* && -n $options ]]; then
    kind=choice choices=$options
fi
case $kind in
    choice) compadd -- ${{=choices}} ;;
    material) compadd -- $($words[1] {2}) ;;
    file) _files ;;
esac
)sh",
                       program.name, cases(program), alloys);
}

std::string quoted(const std::string& text) {
    std::string result = "'";
    for (const char letter : text) {
        if (letter == '\'' || letter == '\\') result += '\\';
        result += letter;
    }
    return result + "'";
}

std::string for_fish(const DescribedProgram& program) {
    std::string result = fmt::format("# Completion of {0} for fish; made by '{0} --completion fish'.\n", program.name);
    const auto add = [&](const std::string& condition, const std::vector<DescribedOption>& options) {
        for (const DescribedOption& option : options) {
            std::string line = fmt::format("complete -c {} -n '{}'", program.name, condition);
            if (!option.positional)
                for (const std::string& name : option.names)
                    line += name.starts_with("--") ? " -l " + name.substr(2) : " -s " + name.substr(1);
            const std::string words = option.takes == Takes::material
                                          ? fmt::format("({} {})", program.name, alloys)
                                          : fmt::format("{}", fmt::join(option.choices, " "));
            switch (option.takes) {
                case Takes::nothing:
                    break;
                case Takes::file:
                    line += option.positional ? " -F" : " -r -F";
                    break;
                case Takes::text:
                    line += option.positional ? "" : " -x";
                    break;
                case Takes::material:
                case Takes::choice:
                    line += (option.positional ? " -a " : " -x -a ") + quoted(words);
                    break;
            }
            result += line + " -d " + quoted(option.help) + "\n";
        }
    };
    result += fmt::format("complete -c {} -f\n", program.name);
    add("__fish_use_subcommand", program.options);
    for (const DescribedCommand& command : program.commands) {
        result += fmt::format("complete -c {} -n __fish_use_subcommand -a {} -d {}\n", program.name, command.name,
                              quoted(command.what));
        add("__fish_seen_subcommand_from " + command.name, command.options);
    }
    return result;
}

}  // namespace

std::string completion_script(const DescribedProgram& program, const std::string& shell) {
    if (shell == "bash") return for_bash(program);
    if (shell == "zsh") return for_zsh(program);
    if (shell == "fish") return for_fish(program);
    return {};
}

}  // namespace reedwright::app
