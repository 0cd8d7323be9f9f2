// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <cerrno>
#include <cstdio>
#include <exception>
#include <new>
#include <system_error>

#include "bakewright/base/error.hpp"
#include "bakewright/report/assets.hpp"
#include "bakewright/report/plain_text.hpp"
#include "command.hpp"
#include "description.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace embedded {
extern const std::string_view third_parties;  // docs/licence/third_parties.txt
}  // namespace embedded
namespace {

constexpr Command kCommands[] = {
    {"check", "look for mistakes in profiles: shells, coatings, booths, cycles", run_check},
    {"new", "make a shell, a booth or a coating of answers in plain words", run_new},
    {"use", "set or show the shell, booth and coating that is worked on", run_use},
    {"plan", "find the shortest cycle that cures all and overheats nothing", run_plan},
    {"predict", "predict a bake and keep it in the book", run_predict},
    {"import", "bring a probe log into the book as the log of a bake", run_import},
    {"record", "record a bake as it happens, from instruments, into the book", run_record},
    {"judge", "judge a bake, or a shell over all its bakes", run_judge},
    {"coat", "keep what was sprayed on a shell, and when it was sanded", run_coat},
    {"note", "keep what was measured and tested by hand", run_note},
    {"history", "say which bakes of the book a shell went through", run_history},
    {"compare", "compare a predicted bake with a logged one", run_compare},
    {"trust", "say how often what was stated came true in this shop", run_trust},
    {"tune", "learn a shell and a booth from logged bakes", run_tune},
    {"calibrate", "find each probe's offset from an ice and a warm bath", run_calibrate},
    {"probe-advice", "say where probes go, and what calibrating them is worth", run_probe_advice},
    {"study", "answer many bakes at once, a line of JSON each", run_study},
    {"report", "write a bake as one HTML file", run_report},
    {"serve", "open the local page: prepare bakes, look at them, bring in logs", run_serve},
    {"book", "list, show, export, remove and verify what the book holds", run_book},
    {"units", "keep the units you work in, such as us for °F", run_units},
    {"completion", "print a script that completes commands and options in bash or zsh", run_completion},
    {"manual", "print the manual page", run_manual},
};

void print_usage(std::FILE* stream) {
    fmt::print(stream,
               "bakewright {} predicts, judges and plans the baking of large painted shells\n\n"
               "usage: bakewright COMMAND [options]\n\ncommands\n",
               kVersion);
    for (const Command& command : kCommands) fmt::print(stream, "  {:<12} {}\n", command.name, command.summary);
    fmt::print(stream,
               "\n`bakewright COMMAND --help` tells a command's options, `bakewright --licences`\n"
               "under what terms the program and what it is made with may be passed on.\n"
               "exit status: 0 fine, 1 no plan or not all GOOD, 2 wrong input, 3 the work could\n"
               "not be done, 4 internal error\n\n"
               "It plans and records; it never controls a booth. The coating maker's data sheet,\n"
               "the vehicle or component maker's limits and local code come first.\n");
}

int status(ExitStatus value) { return static_cast<int>(value); }

int dispatch(const std::vector<std::string>& arguments) {
    if (arguments.empty()) {
        print_usage(stderr);
        return status(ExitStatus::input_wrong);
    }
    const std::string& verb = arguments.front();
    if (verb == "help" && arguments.size() > 1) return dispatch({arguments[1], "--help"});  // "help plan" is "plan --help"
    if (verb == "--help" || verb == "-h" || verb == "help") {
        print_usage(stdout);
        return status(ExitStatus::fine);
    }
    if (verb == "--version") {
        fmt::print("bakewright {}\n", kVersion);
        return status(ExitStatus::fine);
    }
    if (verb == "--licences") {
        fmt::print("{}{}\n", embedded::third_parties, report::dygraphs_notice().text);
        return status(ExitStatus::fine);
    }
    std::vector<std::string> names;
    for (const Command& command : kCommands) {
        if (command.name == verb) return command.run({arguments.begin() + 1, arguments.end()});
        names.emplace_back(command.name);
    }
    throw InputError(Problem{
        {}, 0, {}, fmt::format("Unknown command '{}'{}", verb, did_you_mean(verb, names, "; `bakewright --help` lists them"))});
}

/// Throws nothing: where standard error cannot be written either, the exit status alone tells.
void say(const std::string& text) noexcept {
    std::fflush(stdout);
    std::fputs("bakewright: ", stderr);
    std::fputs(report::one_line(text).c_str(), stderr);  // names in it may hold anything
    std::fputs("\n", stderr);
}

int report_error(const char* kind, const std::string& text, ExitStatus exit_status) {
    say(kind + text);
    return status(exit_status);
}

int report_problems(const InputError& error) {
    for (const Problem& problem : error.problems()) say(problem.text());
    return status(ExitStatus::input_wrong);
}

}  // namespace

std::span<const Command> commands() noexcept { return kCommands; }

int run_program(const std::vector<std::string>& arguments) {
    try {
        const int result = dispatch(arguments);
        if (std::fflush(stdout) != 0) throw std::system_error(errno, std::generic_category());
        return result;
    } catch (const InputError& error) {
        return report_problems(error);
    } catch (const PromiseError& error) {
        return report_error("internal error, please report it: ", error.what(), ExitStatus::our_fault);
    } catch (const std::bad_alloc&) {
        return report_error("", "memory ran out", ExitStatus::not_done);
    } catch (const SolveError& error) {
        return report_error("", error.what(), ExitStatus::not_done);
    } catch (const BookError& error) {
        return report_error("", error.what(), ExitStatus::not_done);
    } catch (const FileError& error) {
        return report_error("", error.what(), ExitStatus::not_done);
    } catch (const std::system_error& error) {  // output that is full or closed, a folder, a thread: the system says no
        const std::string reason = error.code().message();
        return report_error("", std::ferror(stdout) != 0 ? "standard output could not be written: " + reason : error.what(),
                            ExitStatus::not_done);
    } catch (const std::exception& error) {
        return report_error("unexpected, please report it: ", error.what(), ExitStatus::our_fault);
    }
}

}  // namespace bakewright::cli
