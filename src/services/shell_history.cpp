// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/shell_history.hpp"

#include <fmt/core.h>
#include <fmt/format.h>

#include <algorithm>

#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/cure/judge_history.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/hand_notes.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::services {

namespace {

std::int64_t number(book::BakeId id) { return static_cast<std::int64_t>(id); }

/// The other half of a bake: the one it names, or the newest of the other kind that names it.
std::optional<book::BakeId> other_half(book::Book& book, const book::Bake& bake) {
    if (bake.paired_bake) return bake.paired_bake;
    const std::vector<book::BakeId> naming = book::BakeRepository(book).paired_with(bake.id);
    return naming.empty() ? std::nullopt : std::optional(naming.back());
}

/// Times of the book are checked when they are entered.
double seconds(const std::string& stamp) {
    const std::optional<ShopTime> time = shop_time_from(stamp);
    if (!time) throw BookError(fmt::format("'{}' in a shell's history is not a time; the book was not changed", stamp));
    return time->since_s;
}

class HistoryLoader {
public:
    HistoryLoader(book::Book& book, const std::string& shell) : book_(book), repository_(book), shell_(shell) {}

    LoadedHistory load(const std::optional<book::HistoryEntry>& planned, std::optional<book::BakeId> without) {
        for (const book::StoredCoat& coat : repository_.coats(shell_)) add(coat);
        for (const book::HistoryEntry& entry : repository_.bakes(shell_))
            if (!without || !is_of(entry, *without)) add(entry, false);
        if (planned) add(*planned, true);
        add_cold_places();
        auto& bakes = loaded_.history.bakes;
        std::stable_sort(bakes.begin(), bakes.end(),
                         [](const auto& one, const auto& other) { return one.began_at_s < other.began_at_s; });
        loaded_.damage = book_.damage();
        return std::move(loaded_);
    }

private:
    void add(const book::StoredCoat& stored) {
        const book::Document document = book::DocumentRepository(book_).get(stored.coating);
        cure::Coat coat;
        coat.name = stored.name;
        coat.coating = profile::coating_from_toml(
            document.text, fmt::format("coating '{}' of coat {}", document.name, static_cast<std::int64_t>(stored.id)));
        coat.zones = stored.zones;
        coat.applied_at_s = seconds(stored.applied_at);
        coat.over = stored.over;
        if (stored.sanded_at) coat.sanded_at_s = seconds(*stored.sanded_at);
        loaded_.history.coats.push_back(std::move(coat));
    }

    /// A coat on a zone lies on its strips over parts that lag too: they count beside the zone.
    void add_cold_places() {
        const auto add_beside = [](std::vector<std::string>& zones, const bake::ColdPlace& place) {
            const auto has = [&](const std::string& name) { return std::find(zones.begin(), zones.end(), name) != zones.end(); };
            if (has(place.zone) && !has(place.name)) zones.push_back(place.name);
        };
        for (const auto& half : loaded_.halves) {
            if (!half->shell) continue;
            for (const bake::ColdPlace& place : bake::cold_places(half->shell->shell)) {
                for (cure::Coat& coat : loaded_.history.coats) add_beside(coat.zones, place);
                for (cure::HistoryBake& bake : loaded_.history.bakes) add_beside(bake.zones, place);
            }
        }
    }

    [[nodiscard]] bool is_of(const book::HistoryEntry& entry, book::BakeId bake) {
        return entry.bake == bake || other_half(book_, load_bake(book_, entry.bake).record) == bake;
    }

    void add(const book::HistoryEntry& entry, bool planned) {
        cure::HistoryBake bake;
        bake.name = fmt::format("bake {}", number(entry.bake));
        bake.began_at_s = seconds(entry.began_at);
        bake.zones = entry.zones;
        bake.items = entry.items;
        bake.planned = planned;
        const StoredBake& stored = keep_half(entry.bake);
        put(bake, stored);
        if (const auto other = other_half(book_, stored.record)) put(bake, keep_half(*other));
        loaded_.history.bakes.push_back(std::move(bake));
    }

    const StoredBake& keep_half(book::BakeId id) {
        loaded_.halves.push_back(std::make_unique<StoredBake>(load_bake(book_, id)));
        return *loaded_.halves.back();
    }

    void put(cure::HistoryBake& bake, const StoredBake& half) {
        (half.record.kind == book::BakeKind::logged ? bake.log : bake.prediction) = &half.traces;
        for (const cure::HeatSensitiveItem& item : half.item_limits()) put(item);
        if (half.shell) put_parts(bake, half.shell->shell);
        const std::vector<cure::FilmTest> tests = film_tests(half);
        bake.film_tests.insert(bake.film_tests.end(), tests.begin(), tests.end());
        std::ranges::stable_sort(bake.film_tests, {}, &cure::FilmTest::after_s);
    }

    /// What heat can spoil of the shell itself was in the bake wherever its zone was; nobody enters it.
    static void put_parts(cure::HistoryBake& bake, const bake::Shell& shell) {
        const auto has = [](const std::vector<std::string>& names, const std::string& name) {
            return std::find(names.begin(), names.end(), name) != names.end();
        };
        for (const cure::HeatSensitiveItem& part : profile::protected_parts(shell)) {
            const bool was_in = bake.zones.empty() || shell.find_zone(part.name) == nullptr || has(bake.zones, part.name);
            if (was_in && !has(bake.items, part.name)) bake.items.push_back(part.name);
        }
    }

    void put(const cure::HeatSensitiveItem& item) {
        auto& items = loaded_.history.items;
        const auto known = std::find_if(items.begin(), items.end(), [&](const auto& other) { return other.name == item.name; });
        if (known == items.end())
            items.push_back(item);
        else
            *known = item;
    }

    book::Book& book_;
    book::ShellHistoryRepository repository_;
    std::string shell_;
    LoadedHistory loaded_;
};

}  // namespace

LoadedHistory load_history(book::Book& book, const std::string& shell, const std::optional<book::HistoryEntry>& planned,
                           std::optional<book::BakeId> without) {
    return HistoryLoader(book, shell).load(planned, without);
}

std::optional<std::string> history_name(book::Book& book, const std::string& shell, const bake::Learned& learned) {
    const std::vector<std::string> known = book::ShellHistoryRepository(book).shells();
    std::vector<std::string> names{shell};
    names.insert(names.end(), learned.tuned_from.begin(), learned.tuned_from.end());
    const auto is_known = [&](const std::string& name) { return std::find(known.begin(), known.end(), name) != known.end(); };
    const auto found = std::find_if(names.begin(), names.end(), is_known);
    return found == names.end() ? std::nullopt : std::optional(*found);
}

void require_sound_history(book::Book& book, const std::string& shell) {
    const LoadedHistory loaded = load_history(book, shell);
    std::vector<Problem> problems = cure::problems_in(loaded.history);
    if (!problems.empty()) throw InputError(std::move(problems));
}

book::HistoryEntry entry_of(book::Book& book, const std::string& shell, book::BakeId bake) {
    book::HistoryEntry entry{.shell = shell, .bake = bake, .began_at = {}, .zones = {}, .items = {}};
    const StoredBake own = load_bake(book, bake);
    std::vector<StoredBake> halves;
    if (const auto other = other_half(book, own.record)) halves.push_back(load_bake(book, *other));
    halves.insert(own.record.kind == book::BakeKind::logged ? halves.begin() : halves.end(), own);
    for (const StoredBake& half : halves) {
        if (const auto time = shop_time_from(half.record.started_at); time && entry.began_at.empty()) entry.began_at = time->text;
        if (!half.shell || !entry.zones.empty()) continue;
        for (const bake::Zone& zone : half.shell->shell.zones) entry.zones.push_back(zone.name);
        for (const bake::Item& item : half.shell->shell.items) entry.items.push_back(item.name);
    }
    return entry;
}

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

book::Vehicle enter_vehicle_numbers(book::Book& book, const std::string& shell, const std::optional<std::string>& job_number,
                                    const std::optional<std::string>& maker_number) {
    book::IdentityRepository identities(book);
    const std::optional<book::Vehicle> before = identities.vehicle(shell);
    if (!before) refuse_option("--shell", fmt::format("'{}' has no history in this book", shell));
    if (!job_number && !maker_number) refuse_option("--job", "or --maker-number is needed");
    identities.set_numbers(shell, job_number ? entered_text("--job", *job_number) : before->job_number,
                           maker_number ? entered_text("--maker-number", *maker_number) : before->maker_number);
    return *identities.vehicle(shell);
}

namespace {

std::string united_number(const char* option, const std::string& one, const std::string& other) {
    if (!one.empty() && !other.empty() && one != other)
        refuse_option(option,
                      fmt::format("'{}' and '{}' are two vehicles' numbers: give the one that is wrong its right number, or "
                                  "take it away with {} \"\", first",
                                  one, other, option));
    return one.empty() ? other : one;
}

/// Everything of a history, and what shows whose it is.
void move_all(book::Book& book, const std::string& from, const std::string& into) {
    book::ShellHistoryRepository history(book);
    book::IdentityRepository identities(book);
    for (const book::StoredCoat& coat : history.coats(from)) history.move_coat(coat.id, into);
    for (const book::HistoryEntry& entry : history.bakes(from)) history.move_bake(from, entry.bake, into);
    const book::Vehicle gone = *identities.vehicle(from), stays = *identities.vehicle(into);
    const std::string job = united_number("--job", stays.job_number, gone.job_number);
    const std::string maker = united_number("--maker-number", stays.maker_number, gone.maker_number);
    identities.remove(from);
    identities.set_numbers(into, job, maker);
}

}  // namespace

std::vector<book::Vehicle> move_history(book::Book& book, const HistoryMove& move) {
    book::Transaction transaction(book);
    book::ShellHistoryRepository history(book);
    book::IdentityRepository identities(book);
    const std::string into = entered_text("--into", move.into), why = entered_text("--why", move.why, kLongestNote);
    if (into.empty() || into == move.from) refuse_option("--into", "needs the name of another history");
    if (!identities.vehicle(move.from)) refuse_option("--shell", fmt::format("'{}' has no history in this book", move.from));
    for (const book::CoatId id : move.coats) {
        if (history.coat(id).shell != move.from)
            refuse_option("--coats",
                          fmt::format("coat {} is not in the history of '{}'", static_cast<std::int64_t>(id), move.from));
        history.move_coat(id, into);
    }
    for (const book::BakeId id : move.bakes) history.move_bake(move.from, id, into);
    const bool is_all = move.coats.empty() && move.bakes.empty();
    if (is_all || (history.coats(move.from).empty() && history.bakes(move.from).empty())) move_all(book, move.from, into);
    const std::string done = fmt::format("history of '{}' {} '{}', by {}{}{}", move.from,
                                         identities.vehicle(move.from) ? "parted: some of it is that of" : "united with that of",
                                         into, entered_text("--by", move.by), why.empty() ? "" : ": ", why);
    std::vector<book::Vehicle> left;
    for (const std::string& name : {into, move.from}) {
        if (!identities.vehicle(name)) continue;
        identities.take_down_why(name, done);
        require_sound_history(book, name);
        left.push_back(*identities.vehicle(name));
    }
    transaction.commit();
    return left;
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

PlanHistory::PlanHistory(book::Book& book, const std::string& shell, const std::vector<cure::HeatSensitiveItem>& items,
                         std::optional<book::BakeId> without)
    : loaded_(load_history(book, shell, std::nullopt, without)) {
    if (loaded_.history.coats.empty() && loaded_.history.bakes.empty())
        throw InputError(Problem{{},
                                 0,
                                 "--history",
                                 fmt::format("'{}' has no coat and no bake in this book; `bakewright coat add` and "
                                             "`bakewright history add` enter them",
                                             shell)});
    for (const cure::HeatSensitiveItem& item : items) {
        auto& known = loaded_.history.items;
        const auto same = std::find_if(known.begin(), known.end(), [&](const auto& one) { return one.name == item.name; });
        if (same == known.end())
            known.push_back(item);
        else
            *same = item;
    }
    so_far_ = plan::so_far(loaded_.history, items);
}

cure::ShellVerdict PlanHistory::after(const plan::PlannedBake& bake) const {
    return cure::judge_history(plan::after(loaded_.history, bake));
}

std::vector<std::string> names_of(const std::vector<cure::HeatSensitiveItem>& items) {
    std::vector<std::string> names;
    for (const cure::HeatSensitiveItem& item : items) names.push_back(item.name);
    return names;
}

}  // namespace bakewright::services
