#include <fmt/core.h>

#include <algorithm>

#include "description.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

std::vector<OptionDescription> all_options(const CommandDescription& description) {
    std::vector<OptionDescription> all = description.own;
    all.insert(all.end(), description.common.begin(), description.common.end());
    return all;
}

template <typename Texts>
std::string spaced(const Texts& texts) {
    std::string line;
    for (const auto& text : texts) line += (line.empty() ? "" : " ") + std::string(text);
    return line;
}

std::vector<std::string> names_of(const std::vector<OptionDescription>& options, bool with_value_only) {
    std::vector<std::string> names;
    for (const OptionDescription& option : options)
        if (!with_value_only || !option.value.empty()) names.push_back("--" + option.name);
    return names;
}

std::string bash_case(const Command& command) {
    const CommandDescription description = describe(command);
    const std::vector<OptionDescription> options = all_options(description);
    return fmt::format("        {}) options=\"{}\" valued=\" {} \" verbs=\"{}\" ;;\n", command.name,
                       spaced(names_of(options, false)), spaced(names_of(options, true)), spaced(description.verbs));
}

std::string bash_script() {
    std::string cases, names;
    for (const Command& command : commands()) {
        cases += bash_case(command);
        names += (names.empty() ? "" : " ") + std::string(command.name);
    }
    return fmt::format(R"(# bash completion for bakewright, written by `bakewright completion bash`.
_bakewright() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} previous=${{COMP_WORDS[COMP_CWORD - 1]}} options="" valued="" verbs=""
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W "{} --help --version" -- "$word")
        return
    fi
    case ${{COMP_WORDS[1]}} in
{}    esac
    if [ "$previous" = --units ]; then
        mapfile -t COMPREPLY < <(compgen -W "metric us si" -- "$word")
    elif [[ $word == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    elif [ "$COMP_CWORD" -eq 2 ] && [ -n "$verbs" ]; then
        mapfile -t COMPREPLY < <(compgen -W "$verbs" -- "$word")
    elif [[ $valued == *" $previous "* || $word != -* ]]; then
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
    fi
}}
complete -o filenames -F _bakewright bakewright
)",
                       names, cases);
}

/// Text inside single quotes, and inside the brackets of a specification of _arguments.
std::string zsh_text(const std::string& text, std::string_view special) {
    std::string quoted;
    for (const char letter : text) {
        if (letter == '\'') {
            quoted += "'\\''";
            continue;
        }
        if (special.find(letter) != std::string_view::npos) quoted += '\\';
        quoted += letter == '\n' ? ' ' : letter;
    }
    return quoted;
}

std::string zsh_option(const OptionDescription& option) {
    const std::string text = zsh_text(option.text, "[]:\\");
    const std::string repeats = option.repeats ? "*" : "";
    if (option.value.empty()) return fmt::format("                '{}--{}[{}]' \\\n", repeats, option.name, text);
    const char* values = option.name == "units" ? "(metric us si)" : "_files";
    return fmt::format("                '{}--{}=[{}]:{}:{}' \\\n", repeats, option.name, text, zsh_text(option.value, ":\\"),
                       values);
}

std::string zsh_case(const Command& command) {
    const CommandDescription description = describe(command);
    std::string lines = fmt::format("        {})\n            _arguments \\\n", command.name);
    for (const OptionDescription& option : all_options(description)) lines += zsh_option(option);
    if (!description.verbs.empty()) lines += fmt::format("                '1:what:({})' \\\n", spaced(description.verbs));
    return lines + "                '*:word:_files'\n            ;;\n";
}

std::string zsh_script() {
    std::string cases, names;
    for (const Command& command : commands()) {
        cases += zsh_case(command);
        names += fmt::format("        '{}:{}'\n", command.name, zsh_text(std::string(command.summary), ":\\"));
    }
    return fmt::format(R"(#compdef bakewright
# zsh completion for bakewright, written by `bakewright completion zsh`.
_bakewright() {{
    local -a commands
    commands=(
{}    )
    if (( CURRENT == 2 )); then
        _describe 'command' commands
        return
    fi
    shift words
    (( CURRENT-- ))
    case $words[1] in
{}    esac
}}
_bakewright "$@"
)",
                       names, cases);
}

}  // namespace

std::string completion_script(std::string_view shell) { return shell == "zsh" ? zsh_script() : bash_script(); }

int run_completion(const std::vector<std::string>& words) {
    Options options("completion bash|zsh",
                    "Prints a script that completes commands and options as you type. The installed program brings both;\n"
                    "by hand: source <(bakewright completion bash)");
    options.add()("for", boost::program_options::value<std::string>()->value_name("SHELL"), "bash or zsh");
    options.positional("for", 1);
    if (!options.read(words)) return 0;
    const std::string shell = options.text("for");
    if (shell != "bash" && shell != "zsh") wrong_option("--for", fmt::format("'{}' is not bash or zsh", shell));
    print(completion_script(shell));
    return 0;
}

}  // namespace bakewright::cli
