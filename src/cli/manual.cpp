#include <fmt/core.h>

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
the answer is no: something is not cured, too hot, or cannot be planned
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
metric, us or si, where \fB\-\-units\fR is not given
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

}  // namespace bakewright::cli
