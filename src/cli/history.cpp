// SPDX-License-Identifier: Apache-2.0
#include "history.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>

#include "bakewright/base/error.hpp"
#include "bakewright/book/identity_repository.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/shell_history.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

void describe_entry(Options& options) {
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("at", po::value<std::string>()->value_name("TIME"),
                  "when the bake began by the shop's clock, such as 2027-03-01T16:00; default the start of its log")(
        "zone", texts("NAME"), "a zone that took part; may be repeated; default all zones of the shell the bake was made with")(
        "out", texts("ITEM"), "a heat-sensitive item that was taken out before; may be repeated");
}

book::HistoryEntry entry_from(book::Book& book, const Options& options, book::BakeId bake) {
    return services::entry_from(
        book, {options.text("shell"), bake, options.text_or("at", ""), options.texts("zone"), options.texts("out")});
}

namespace {

namespace po = boost::program_options;

book::CoatId coat_id(const std::string& text) {
    std::int64_t number = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (status != std::errc{} || end != text.data() + text.size() || number < 1)
        wrong_option("COAT", fmt::format("'{}' is not the number of a coat, such as 3; `bakewright coat list` shows them", text));
    return static_cast<book::CoatId>(number);
}

int add(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    book::Transaction transaction(book);
    const book::HistoryEntry entry = entry_from(book, options, services::bake_id(book, options.text("bake"), "BAKE"));
    services::enter_bake(book, entry);
    transaction.commit();
    if (options.json())
        print_json(report::document_of(book::ShellHistoryRepository(book).bakes(entry.shell)));
    else
        fmt::print("bake {} counts in the history of {}, begun {}, with {} in\n", static_cast<std::int64_t>(entry.bake),
                   entry.shell, entry.began_at,
                   entry.items.empty() ? "no heat-sensitive item"
                                       : fmt::format("{} item{}", entry.items.size(), entry.items.size() == 1 ? "" : "s"));
    return static_cast<int>(ExitStatus::fine);
}

int list_history(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::vector<book::HistoryEntry> entries = book::ShellHistoryRepository(book).bakes(options.text("shell"));
    print(options.json() ? report::json_text(report::document_of(entries))
                         : report::history_text(entries, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int remove_history(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    const book::BakeId id = services::bake_id(book, options.text("bake"), "BAKE");
    book::ShellHistoryRepository(book).remove_bake(options.text("shell"), id);
    if (options.json())
        print_json(report::document_of(book::ShellHistoryRepository(book).bakes(options.text("shell"))));
    else
        fmt::print("bake {} no longer counts in the history of {}; it stays in the book\n", static_cast<std::int64_t>(id),
                   options.text("shell"));
    return static_cast<int>(ExitStatus::fine);
}

int tell_vehicles(const Options& options, const std::vector<book::Vehicle>& vehicles) {
    print(options.json() ? report::json_text(report::document_of(vehicles))
                         : report::vehicles_text(vehicles, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int show_vehicles(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    return tell_vehicles(options, book::IdentityRepository(book).vehicles());
}

/// What was united or split by mistake.
int move_history(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    services::HistoryMove move{.from = options.text("shell"),
                               .into = options.text("into"),
                               .by = options.text_or("by", user_name()),
                               .why = options.text_or("why", "")};
    for (const std::string& coat : names_in({options.text_or("coats", "")})) move.coats.push_back(coat_id(coat));
    for (const std::string& bake : names_in({options.text_or("bakes", "")}))
        move.bakes.push_back(services::bake_id(book, bake, "--bakes"));
    return tell_vehicles(options, services::move_history(book, move));
}

/// Job number and maker's number of the vehicle whose history it is.
int set_vehicle(const Options& options) {
    if (options.has("into")) return move_history(options);
    book::Book book = options.open_book(book::Mode::read_write);
    const std::string shell = options.text("shell");
    const book::Vehicle vehicle =
        services::enter_vehicle_numbers(book, shell, options.has("job") ? std::optional(options.text("job")) : std::nullopt,
                                        options.has("maker-number") ? std::optional(options.text("maker-number")) : std::nullopt);
    return tell_vehicles(options, {vehicle});
}

}  // namespace

int run_history(const std::vector<std::string>& words) {
    Options options(
        "history list|add|remove|vehicles|vehicle [BAKE] --shell NAME [options]",
        "Says which bakes of the book a shell went through, and what was in it; judge --shell adds them up.\n"
        "list --shell NAME\n"
        "add BAKE --shell NAME [--at TIME] [--zone NAME]... [--out ITEM]...\n"
        "remove BAKE --shell NAME         the bake itself stays in the book\n"
        "vehicles                         whose histories the book holds, with their numbers\n"
        "vehicle --shell NAME [--job NUMBER] [--maker-number NUMBER]    gives a vehicle its numbers\n"
        "vehicle --shell NAME --into OTHER [--coats 3,4] [--bakes 7,9]  puts right what is another vehicle's history");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("action", text("WORD"), "list, add, remove, vehicles or vehicle")(
        "bake", text("BAKE"), "number of the bake, or its uid; of a pair either half")(
        "shell", text("NAME"),
        "the shell whose history it is; of several vehicles on one shell with a job number, \"library_van #27-031\"")(
        "into", text("OTHER"),
        "vehicle: the history that coats and bakes belong to, all of them where none is named: the two were one vehicle")(
        "coats", text("LIST"), "vehicle --into: numbers of coats, as `bakewright coat list` shows them")(
        "bakes", text("LIST"), "vehicle --into: numbers of bakes")("why", text("TEXT"), "vehicle --into: why, for the journal")(
        "by", text("NAME"), "vehicle --into: who; default the name of the user")(
        "job", text("NUMBER"), "vehicle: the shop's job number")("maker-number", text("NUMBER"),
                                                                 "vehicle: the maker's number, as on its plate");
    describe_entry(options);
    options.positional("action", 1);
    options.positional("bake", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string action = options.text_or("action", "list");
    if (action == "add") return add(options);
    if (action == "list") return list_history(options);
    if (action == "remove") return remove_history(options);
    if (action == "vehicles") return show_vehicles(options);
    if (action == "vehicle") return set_vehicle(options);
    wrong_option(action, "is not list, add, remove, vehicles or vehicle" +
                             did_you_mean(action, {"list", "add", "remove", "vehicles", "vehicle"}));
}

namespace {

namespace po = boost::program_options;

int add_coat(const Options& options) {
    const profile::Library library = options.library();
    const cure::Coating coating = profile::load_coating(options.text("coating"), library).record;
    book::NewCoat coat;
    coat.shell = options.text("shell");
    coat.name = options.text_or("name", coating.title);
    coat.applied_at = services::shop_time(options.text("at"), "--at").text;
    coat.over = options.text_or("over", "");
    coat.zones = options.texts("zone");
    coat.note = options.text_or("note", "");
    coat = services::checked_coat(std::move(coat), shell_of(options).record.shell);
    book::Book book = options.open_book(book::Mode::create);
    const book::CoatId id = services::enter_coat(book, coat, coating);
    if (options.json())
        print_json(report::document_of(book::ShellHistoryRepository(book).coats(coat.shell)));
    else
        fmt::print("coat {}: '{}' on {} zone{} of {}\n", static_cast<std::int64_t>(id), coat.name, coat.zones.size(),
                   coat.zones.size() == 1 ? "" : "s", coat.shell);
    return static_cast<int>(ExitStatus::fine);
}

int list_coats(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::vector<book::StoredCoat> coats = book::ShellHistoryRepository(book).coats(options.text("shell"));
    print(options.json() ? report::json_text(report::document_of(coats)) : report::coats_text(coats, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

int sanded(const Options& options) {
    const std::string at = services::shop_time(options.text("at"), "--at").text;
    book::Book book = options.open_book(book::Mode::read_write);
    const book::StoredCoat coat = services::enter_sanded(book, coat_id(options.text("coat")), at);
    if (options.json())
        print_json(report::document_of(std::vector<book::StoredCoat>{coat}));
    else
        fmt::print("coat {}: '{}' was sanded at {}\n", static_cast<std::int64_t>(coat.id), coat.name, at);
    return static_cast<int>(ExitStatus::fine);
}

int remove_coat(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_write);
    book::ShellHistoryRepository history(book);
    const book::CoatId id = coat_id(options.text("coat"));
    const book::StoredCoat coat = history.coat(id);
    history.remove_coat(id);
    if (options.json())
        print_json(report::document_of(history.coats(coat.shell)));
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
    if (action == "add") return add_coat(options);
    if (action == "list") return list_coats(options);
    if (action == "sanded") return sanded(options);
    if (action == "remove") return remove_coat(options);
    wrong_option(action, "is not add, list, sanded or remove" + did_you_mean(action, {"add", "list", "sanded", "remove"}));
}

}  // namespace bakewright::cli
