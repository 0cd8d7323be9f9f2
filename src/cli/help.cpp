// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/report/plain_text.hpp"
#include "description.hpp"
#include "options.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {

namespace {

/// Text for man(7): no line begins with a request, backslashes and hyphens are as typed, the degree sign has its own name.
std::string roff(std::string_view text) {
    std::string out;
    bool line_begins = true;
    for (std::size_t i = 0; i < text.size(); ++i) {
        const char letter = text[i];
        if (line_begins && (letter == '.' || letter == '\'')) out += "\\&";
        line_begins = letter == '\n';
        if (letter == '\\')
            out += "\\e";
        else if (letter == '-')
            out += "\\-";
        else if (text.substr(i, 2) == "\xC2\xB0")
            out += "\\(de", ++i;
        else
            out += letter;
    }
    return out;
}

std::string option_text(const OptionDescription& option) {
    std::string head = option.letter == '\0' ? "" : fmt::format("\\fB\\-{}\\fR, ", option.letter);
    head += "\\fB\\-\\-" + roff(option.name) + "\\fR";
    if (!option.value.empty()) head += " \\fI" + roff(option.value) + "\\fR";
    return ".TP\n" + head + "\n" + roff(option.text) + "\n";
}

std::string command_text(const Command& command, const CommandDescription& description) {
    std::string text =
        ".SS " + roff(command.name) + "\n.B bakewright " + roff(description.usage) + "\n.PP\n" + roff(description.about) + "\n";
    for (const OptionDescription& option : description.own) text += option_text(option);
    return text;
}

constexpr std::string_view kEnding = R"(.SH EXIT STATUS
.TP
0
fine
.TP
1
no plan, or not everything is GOOD
.TP
2
the input is wrong
.TP
3
the work could not be done: numbers, book or disk gave out
.TP
4
a fault of the program
.SH ENVIRONMENT
.TP
.B BAKEWRIGHT_BOOK
the book, where \fB\-\-book\fR is not given
.TP
.B BAKEWRIGHT_PROFILES
folders with profiles, separated by colons
.TP
.B BAKEWRIGHT_UNITS
metric, us or si, where \fB\-\-units\fR is not given; goes before what \fBbakewright units\fR keeps
.TP
.B PAGER
shows an answer that is longer than the terminal
.TP
.B NO_COLOR
set to anything: no bold or inverse on a terminal
.SH CAUTIONS
It plans and records; it never controls a booth. The coating maker's data sheet, the vehicle or component maker's
limits, local codes and licensed practice come first. Nobody is inside during a bake.
)";

}  // namespace

std::string manual_page() {
    std::string page = fmt::format(
        ".TH BAKEWRIGHT 1 \"\" \"bakewright {}\" \"User Commands\"\n.SH NAME\nbakewright \\- predicts, judges and plans the "
        "baking of "
        "large painted shells\n.SH SYNOPSIS\n.B bakewright\n.I COMMAND\n[options]\n.SH COMMANDS\n",
        kVersion);
    std::string common;
    for (const Command& command : commands()) {
        const CommandDescription description = describe(command);
        page += command_text(command, description);
        if (!common.empty()) continue;
        for (const OptionDescription& option : description.common) common += option_text(option);
    }
    return page + ".SH OPTIONS OF EVERY COMMAND\n" + common + std::string(kEnding);
}

int run_manual(const std::vector<std::string>& words) {
    Options options("manual", "Prints the manual page, for man: bakewright manual | man -l -");
    if (!options.read(words)) return 0;
    print(manual_page());
    return 0;
}

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

std::vector<std::string> option_names(const std::vector<OptionDescription>& options, bool with_value_only) {
    std::vector<std::string> names;
    for (const OptionDescription& option : options)
        if (!with_value_only || !option.value.empty()) names.push_back("--" + option.name);
    return names;
}

std::string bash_case(const Command& command) {
    const CommandDescription description = describe(command);
    const std::vector<OptionDescription> options = all_options(description);
    return fmt::format("        {}) options=\"{}\" valued=\" {} \" verbs=\"{}\" ;;\n", command.name,
                       spaced(option_names(options, false)), spaced(option_names(options, true)), spaced(description.verbs));
}

/// Commands whose bare words are numbers of bakes.
constexpr std::string_view kTakeBakes = "judge compare report tune";

/// Options that name a profile, and its kind.
constexpr std::pair<std::string_view, std::string_view> kNamed[] = {{"shell", "shell"},         {"booth", "booth"},
                                                                    {"coating", "coating"},     {"cycle", "cycle"},
                                                                    {"probe-record", "probes"}, {"source", "source"}};

std::string bash_script() {
    std::string cases, names;
    for (const Command& command : commands()) {
        cases += bash_case(command);
        names += (names.empty() ? "" : " ") + std::string(command.name);
    }
    return fmt::format(R"~(# bash completion for bakewright, written by `bakewright completion bash`.
_bakewright() {{
    local word=${{COMP_WORDS[COMP_CWORD]}} previous=${{COMP_WORDS[COMP_CWORD - 1]}} options="" valued="" verbs=""
    COMPREPLY=()
    if [ "$COMP_CWORD" -eq 1 ]; then
        mapfile -t COMPREPLY < <(compgen -W "{} --help --version --licences" -- "$word")
        return
    fi
    case ${{COMP_WORDS[1]}} in
{}    esac
    if [ "$previous" = --units ]; then
        mapfile -t COMPREPLY < <(compgen -W "metric us si" -- "$word")
    elif [[ " --shell --booth --coating --cycle --probe-record --source " == *" $previous "* ]]; then
        local names
        names=$(bakewright completion names "${{previous#--}}" 2>/dev/null | cut -f1)
        mapfile -t COMPREPLY < <(compgen -W "$names" -- "$word"; compgen -f -- "$word")
    elif [[ $word == -* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$options" -- "$word")
    elif [ "$COMP_CWORD" -eq 2 ] && [ -n "$verbs" ]; then
        mapfile -t COMPREPLY < <(compgen -W "$verbs" -- "$word")
    elif [[ $valued != *" $previous "* && " {} " == *" ${{COMP_WORDS[1]}} "* ]]; then
        mapfile -t COMPREPLY < <(compgen -W "$(bakewright completion names bake 2>/dev/null | cut -f1)" -- "$word"; compgen -f -- "$word")
    elif [[ $valued == *" $previous "* || $word != -* ]]; then
        mapfile -t COMPREPLY < <(compgen -f -- "$word")
    fi
}}
complete -o filenames -F _bakewright bakewright
)~",
                       names, cases, kTakeBakes);
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
    const bool names =
        std::ranges::find(kNamed, option.name, &std::pair<std::string_view, std::string_view>::first) != std::end(kNamed);
    const std::string values = option.name == "units" ? "(metric us si)" : names ? "_bakewright_names " + option.name : "_files";
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
    return fmt::format(R"~(#compdef bakewright
# zsh completion for bakewright, written by `bakewright completion zsh`.
_bakewright_names() {{
    local -a names
    names=(${{(f)"$(bakewright completion names $1 2>/dev/null | sed 's/:/\\:/g; s/\t/:/')"}})
    _describe "$1" names
}}
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
)~",
                       names, cases);
}

}  // namespace

std::string completion_script(std::string_view shell) { return shell == "zsh" ? zsh_script() : bash_script(); }

namespace {

/// A line: name, tab, title. What completion offers.
void print_name(const std::string& name, const std::string& title) {
    fmt::print("{}\t{}\n", report::one_line(name), report::one_line(title));
}

void print_bakes(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    for (const book::BakeSummary& bake : book::BakeRepository(book).list())
        print_name(fmt::format("{}", static_cast<std::int64_t>(bake.id)), bake.title);
}

/// Profiles of the kind that an option names; for "bake" the bakes of the book.
void print_names(const Options& options, const std::string& option) {
    if (option == "bake") return print_bakes(options);
    const auto named = std::ranges::find(kNamed, option, &std::pair<std::string_view, std::string_view>::first);
    if (named == std::end(kNamed))
        wrong_option("--kind", fmt::format("'{}' is not shell, booth, coating, cycle, probe-record or bake", option));
    const profile::Kind kind = *profile::kind_from_name(named->second);
    const profile::Library library = options.library();
    for (const std::string& name : library.names(kind))
        print_name(name, profile::check_file(library.find_name(kind, name), library).title);
}

}  // namespace

int run_completion(const std::vector<std::string>& words) {
    Options options(
        "completion bash|zsh|names",
        "Prints a script that completes commands, options, names of profiles and numbers of bakes as you type. The\n"
        "installed program brings both; by hand: source <(bakewright completion bash). `completion names KIND` prints\n"
        "what can stand behind --KIND, with titles.");
    const auto text = [](const char* what) { return boost::program_options::value<std::string>()->value_name(what); };
    options.add()("for", text("SHELL"), "bash, zsh or names")("kind", text("KIND"),
                                                              "of names: shell, booth, coating, cycle, probe-record, bake");
    options.positional("for", 1);
    options.positional("kind", 1);
    if (!options.read(words)) return 0;
    const std::string shell = options.text("for");
    if (shell == "names") {
        print_names(options, options.text("kind"));
        return 0;
    }
    if (shell != "bash" && shell != "zsh") wrong_option("--for", fmt::format("'{}' is not bash or zsh", shell));
    print(completion_script(shell));
    return 0;
}

}  // namespace bakewright::cli
