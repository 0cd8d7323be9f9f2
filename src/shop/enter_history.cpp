#include "bakewright/shop/enter_history.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/shop/entered_text.hpp"
#include "bakewright/shop/shell_history.hpp"
#include "bakewright/shop/shop_time.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {
namespace {

void require_known(const std::string& option, const std::string& name, const std::vector<std::string>& known,
                   const std::string& of) {
    if (std::find(known.begin(), known.end(), name) != known.end()) return;
    refuse_option(option, fmt::format("'{}' is not in {}{}", name, of,
                                      did_you_mean(name, known, fmt::format("; it has {}", fmt::join(known, ", ")))));
}

std::vector<std::string> zone_names(const bake::Shell& shell) {
    std::vector<std::string> names;
    for (const bake::Zone& zone : shell.zones) names.push_back(zone.name);
    return names;
}

/// Every coated zone but the test panel: a panel is sprayed anew each time.
std::vector<std::string> sprayed_zones(const bake::Shell& shell) {
    std::vector<std::string> names;
    for (const bake::Zone& zone : shell.zones)
        if (zone.coated && zone.role == bake::ZoneRole::shell) names.push_back(zone.name);
    return names;
}

/// The zones named, each a zone of the shell and once; where none is named, those that are sprayed.
std::vector<std::string> coat_zones(const std::vector<std::string>& named, const bake::Shell& shell) {
    const std::vector<std::string> known = zone_names(shell);
    for (auto zone = named.begin(); zone != named.end(); ++zone) {
        if (zone->empty()) refuse_option("--zone", "is empty");
        require_known("--zone", *zone, known, fmt::format("shell '{}'", shell.id));
        if (std::find(named.begin(), zone, *zone) != zone) refuse_option("--zone", fmt::format("'{}' is given twice", *zone));
    }
    if (!named.empty()) return named;
    std::vector<std::string> sprayed = sprayed_zones(shell);
    if (sprayed.empty()) refuse_option("--zone", fmt::format("is needed: shell '{}' has no coated zone", shell.id));
    return sprayed;
}

}  // namespace

book::NewCoat checked_coat(book::NewCoat coat, const bake::Shell& shell) {
    if (coat.shell.empty() || coat.name.empty()) refuse_option("--name", "is empty");
    coat.name = entered_text("--name", coat.name);
    coat.over = entered_text("--over", coat.over);
    coat.note = entered_text("--note", coat.note, kLongestNote);
    coat.zones = coat_zones(coat.zones, shell);
    return coat;
}

book::CoatId enter_coat(book::Book& book, book::NewCoat coat, const cure::Coating& coating) {
    book::Transaction transaction(book);
    coat.coating = keep(book, coating);
    const book::CoatId id = book::ShellHistoryRepository(book).add_coat(coat);
    require_sound_history(book, coat.shell);
    transaction.commit();
    return id;
}

book::StoredCoat enter_sanded(book::Book& book, book::CoatId coat, const std::string& sanded_at) {
    book::ShellHistoryRepository history(book);
    book::Transaction transaction(book);
    history.set_sanded(coat, sanded_at);
    book::StoredCoat stored = history.coat(coat);
    require_sound_history(book, stored.shell);
    transaction.commit();
    return stored;
}

void enter_bake(book::Book& book, const book::HistoryEntry& entry) {
    book::Transaction transaction(book);
    book::ShellHistoryRepository(book).add_bake(entry);
    require_sound_history(book, entry.shell);
    transaction.commit();
}

book::HistoryEntry entry_from(book::Book& book, const EntryAsked& asked) {
    book::HistoryEntry entry = entry_of(book, asked.shell, asked.bake);
    if (!asked.at.empty()) entry.began_at = shop_time(asked.at, "--at").text;
    if (entry.began_at.empty())
        refuse_option("--at",
                      fmt::format("is needed: the book does not know when bake {} began", static_cast<std::int64_t>(asked.bake)));
    const char* const of = "the shell this bake was made with";
    if (!entry.zones.empty())
        for (const std::string& zone : asked.zones) require_known("--zone", zone, entry.zones, of);
    if (!asked.zones.empty()) entry.zones = asked.zones;
    for (const std::string& item : asked.out) {
        require_known("--out", item, entry.items, of);
        std::erase(entry.items, item);
    }
    return entry;
}

}  // namespace bakewright::shop
