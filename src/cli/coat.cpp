#include <fmt/core.h>

#include <charconv>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/shop/enter_history.hpp"
#include "bakewright/shop/shop_time.hpp"
#include "command.hpp"
#include "named_records.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

book::CoatId coat_id(const Options& options) {
    const std::string text = options.text("coat");
    std::int64_t number = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (status != std::errc{} || end != text.data() + text.size() || number < 1)
        wrong_option("COAT", fmt::format("'{}' is not the number of a coat, such as 3; `bakewright coat list` shows them", text));
    return static_cast<book::CoatId>(number);
}

int add(const Options& options) {
    const profile::Library library = options.library();
    const cure::Coating coating = profile::load_coating(options.text("coating"), library).record;
    book::NewCoat coat;
    coat.shell = options.text("shell");
    coat.name = options.text_or("name", coating.title);
    coat.applied_at = shop_time(options.text("at"), "--at").text;
    coat.over = options.text_or("over", "");
    coat.zones = options.texts("zone");
    coat.note = options.text_or("note", "");
    coat = checked_coat(std::move(coat), shell_of(options).record.shell);
    book::Book book = options.open_book(book::Mode::create);
    const book::CoatId id = enter_coat(book, coat, coating);
    if (options.json())
        print(report::to_json_text(book::ShellHistoryRepository(book).coats(coat.shell)));
    else
        fmt::print("coat {}: '{}' on {} zone{} of {}\n", static_cast<std::int64_t>(id), coat.name, coat.zones.size(),
                   coat.zones.size() == 1 ? "" : "s", coat.shell);
    return static_cast<int>(ExitStatus::fine);
}

int list_coats(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::vector<book::StoredCoat> coats = book::ShellHistoryRepository(book).coats(options.text("shell"));
    print(options.json() ? report::to_json_text(coats) : report::coats_text(coats, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int sanded(const Options& options) {
    const std::string at = shop_time(options.text("at"), "--at").text;
    book::Book book = options.open_book(book::Mode::read_write);
    const book::StoredCoat coat = enter_sanded(book, coat_id(options), at);
    if (options.json())
        print(report::to_json_text(std::vector<book::StoredCoat>{coat}));
    else
        fmt::print("coat {}: '{}' was sanded at {}\n", static_cast<std::int64_t>(coat.id), coat.name, at);
    return static_cast<int>(ExitStatus::fine);
}

int remove_coat(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    book::ShellHistoryRepository history(book);
    const book::CoatId id = coat_id(options);
    const book::StoredCoat coat = history.coat(id);
    history.remove_coat(id);
    if (options.json())
        print(report::to_json_text(history.coats(coat.shell)));
    else
        fmt::print("removed coat {}: '{}' of {}\n", static_cast<std::int64_t>(id), coat.name, coat.shell);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_coat(const std::vector<std::string>& words) {
    Options options("coat add|list|sanded|remove [COAT] [options]",
                    "Keeps what was sprayed on a shell, for judging it over all its bakes (judge --shell).\n"
                    "add --shell NAME --coating NAME --at TIME [--name TEXT] [--zone NAME]... [--over TEXT]\n"
                    "list --shell NAME                the coats of a shell, first the first sprayed\n"
                    "sanded COAT --at TIME            when a coat was sanded\n"
                    "remove COAT                      a coat entered by mistake");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("action", text("WORD"), "add, list, sanded or remove")("coat", text("COAT"), "number of the coat")(
        "shell", text("NAME"), "the shell whose history it is; by its profile's name")(
        "coating", text("NAME"), "profile of the coating")("name", text("TEXT"),
                                                           "what the shop calls the coat; default the coating's title")(
        "at", text("TIME"), "by the shop's clock, such as 2027-03-01T16:00")(
        "zone", po::value<std::vector<std::string>>()->composing()->value_name("NAME"),
        "a zone it lies on; may be repeated; default every coated zone of the shell")("over", text("TEXT"), "what it lies on")(
        "note", text("TEXT"), "anything else");
    options.positional("action", 1);
    options.positional("coat", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string action = options.text_or("action", "list");
    if (action == "add") return add(options);
    if (action == "list") return list_coats(options);
    if (action == "sanded") return sanded(options);
    if (action == "remove") return remove_coat(options);
    wrong_option(action, "is not add, list, sanded or remove" + did_you_mean(action, {"add", "list", "sanded", "remove"}));
}

}  // namespace bakewright::cli
