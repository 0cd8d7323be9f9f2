#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/shop/enter_history.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "command.hpp"
#include "history_entry.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

int add(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    book::Transaction transaction(book);
    const book::HistoryEntry entry = entry_from(book, options, bake_id(book, options.text("bake"), "BAKE"));
    enter_bake(book, entry);
    transaction.commit();
    if (options.json())
        print(report::to_json_text(book::ShellHistoryRepository(book).bakes(entry.shell)));
    else
        fmt::print("bake {} counts in the history of {}, begun {}, with {} aboard\n", static_cast<std::int64_t>(entry.bake),
                   entry.shell, entry.began_at,
                   entry.items.empty() ? "no heat-sensitive item"
                                       : fmt::format("{} item{}", entry.items.size(), entry.items.size() == 1 ? "" : "s"));
    return static_cast<int>(ExitStatus::fine);
}

int list_history(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::vector<book::HistoryEntry> entries = book::ShellHistoryRepository(book).bakes(options.text("shell"));
    print(options.json() ? report::to_json_text(entries) : report::history_text(entries, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int remove_history(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    const book::BakeId id = bake_id(book, options.text("bake"), "BAKE");
    book::ShellHistoryRepository(book).remove_bake(options.text("shell"), id);
    if (options.json())
        print(report::to_json_text(book::ShellHistoryRepository(book).bakes(options.text("shell"))));
    else
        fmt::print("bake {} no longer counts in the history of {}; it stays in the book\n", static_cast<std::int64_t>(id),
                   options.text("shell"));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_history(const std::vector<std::string>& words) {
    Options options("history list|add|remove [BAKE] --shell NAME [options]",
                    "Says which bakes of the book a shell went through, and what was aboard; judge --shell adds them up.\n"
                    "list --shell NAME\n"
                    "add BAKE --shell NAME [--at TIME] [--zone NAME]... [--out ITEM]...\n"
                    "remove BAKE --shell NAME         the bake itself stays in the book");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("action", text("WORD"), "list, add or remove")(
        "bake", text("BAKE"), "number of the bake; of a pair either half")("shell", text("NAME"),
                                                                           "the shell whose history it is");
    describe_entry(options);
    options.positional("action", 1);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string action = options.text_or("action", "list");
    if (action == "add") return add(options);
    if (action == "list") return list_history(options);
    if (action == "remove") return remove_history(options);
    wrong_option(action, "is not list, add or remove" + did_you_mean(action, {"list", "add", "remove"}));
}

}  // namespace bakewright::cli
