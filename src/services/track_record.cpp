// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/track_record.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <map>
#include <mutex>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/services/evidence.hpp"
#include "bakewright/services/live_score.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/services/tune_records.hpp"
#include "bakewright/tune/record.hpp"

namespace bakewright::services {
namespace {

constexpr double kTwoSided95 = 1.959963984540054;  // of a normal distribution

/// A log and the prediction that it is held against.
struct CheckedPair {
    book::Bake predicted, logged;
    std::string booth;

    [[nodiscard]] bool has(book::BakeId id) const { return predicted.id == id || logged.id == id; }
    /// Changes where either was read again, paired anew or made of other records.
    [[nodiscard]] std::string key() const {
        std::string key = fmt::format("{} {} {}", predicted.uid, logged.uid, logged.earlier_readings.size());
        for (const book::Bake* bake : {&predicted, &logged})
            for (const book::DocumentSummary& document : bake->documents)
                key += fmt::format(" {}:{}", document.kind, static_cast<std::int64_t>(document.id));
        return key;
    }
};

std::string time_of(const book::Bake& log) { return log.started_at.empty() ? log.created_at : log.started_at; }

/// The bake's own record names the other half, or a prediction names the log.
std::optional<book::Bake> prediction_of(const book::BakeRepository& bakes, const book::BakeSummary& log) {
    std::vector<book::BakeId> named = bakes.paired_with(log.id);
    if (log.paired_bake) named.insert(named.begin(), *log.paired_bake);
    for (const book::BakeId id : named)
        if (auto bake = bakes.find(id);
            bake && bake->kind == book::BakeKind::predicted && bake->document(book::document_kind::cycle) != nullptr &&
            bake->document(book::document_kind::booth) != nullptr && bake->document(book::document_kind::shell) != nullptr)
            return bake;
    return std::nullopt;
}

/// Oldest first.
std::vector<CheckedPair> pairs_of(book::Book& book, const std::string& booth) {
    const book::BakeRepository bakes(book);
    book::ListFilter logs;
    logs.limit = std::max<std::size_t>(bakes.count(), 1);
    logs.kind = book::BakeKind::logged;
    std::vector<CheckedPair> pairs;
    for (const book::BakeSummary& log : bakes.list(logs)) {
        std::optional<book::Bake> predicted = prediction_of(bakes, log);
        if (!predicted) continue;
        const std::string its = predicted->document(book::document_kind::booth)->name;
        if (booth.empty() || its == booth) pairs.push_back({*std::move(predicted), bakes.get(log.id), its});
    }
    std::stable_sort(pairs.begin(), pairs.end(), [](const CheckedPair& one, const CheckedPair& other) {
        return time_of(one.logged) < time_of(other.logged);
    });
    return pairs;
}

bool was_learned_from(const StoredBake& predicted, const std::string& log) {
    for (const bake::Learned* learned : {&predicted.shell->shell.learned, &predicted.booth->learned})
        if (std::find(learned->from.begin(), learned->from.end(), log) != learned->from.end()) return true;
    return false;
}

/// What one log says, or why it says nothing.
struct Checked {
    std::optional<tune::PlateauError> error;
    std::string why_not;
};

Checked check(book::Book& book, const CheckedPair& pair) {
    try {
        const StoredBake predicted = load_bake(book, pair.predicted.id);
        StoredBake stored = load_bake(book, pair.logged.id);
        const std::string label = bake_label(stored.record);
        if (was_learned_from(predicted, label)) return {{}, "the prediction was learned from it"};
        tune::LoggedBake log{label, std::move(stored.traces), predicted.cycle, stored.probes};
        auto error = tune::plateau_error(predicted.shell->shell, *predicted.booth, log);
        if (!error) return {{}, "no zone was logged while it was hot"};
        return {std::move(error), {}};
    } catch (const InputError& wrong) {
        return {{}, wrong.what()};
    } catch (const SolveError& wrong) {
        return {{}, wrong.what()};
    } catch (const BookError& wrong) {
        return {{}, wrong.what()};
    }
}

/// Checked once in the life of the program: a page asks for every plan.
Checked checked(book::Book& book, const CheckedPair& pair) {
    static std::mutex mutex;
    static std::map<std::string, Checked> known;
    const std::string key = pair.key();
    {
        const std::lock_guard lock(mutex);
        if (const auto at = known.find(key); at != known.end()) return at->second;
    }
    Checked made = check(book, pair);
    const std::lock_guard lock(mutex);
    return known.emplace(key, std::move(made)).first->second;
}

bake::TrackRecord record_of(const std::vector<tune::PlateauError>& errors) {
    const std::size_t skip = errors.size() > kMostLogs ? errors.size() - kMostLogs : 0;
    return tune::record_of(std::span(errors).subspan(skip));
}

const cure::ZoneVerdict* verdict_on(const cure::BakeVerdict& verdict, const std::string& zone) {
    for (const cure::ZoneVerdict& one : verdict.zones)
        if (one.zone == zone) return &one;
    return nullptr;
}

void add_chances(report::CheckedBake& checked, const plan::EnsemblePrediction& ensemble, const cure::BakeVerdict& logged) {
    for (const plan::ZoneChances& zone : ensemble.zones) {
        const cure::ZoneVerdict* verdict = zone.coated ? verdict_on(logged, zone.zone) : nullptr;
        if (verdict == nullptr || verdict->word == cure::Word::not_judged) continue;
        if (verdict->word == cure::Word::check)
            ++checked.left_open;
        else
            checked.chances.push_back({zone.words.good + zone.words.over, verdict->word != cure::Word::under});
    }
}

void add_ranges(report::CheckedBake& checked, const tune::PlateauError& error, const bake::TrackRecord& before) {
    for (std::size_t z = 0; z < error.zones.size(); ++z) {
        ++checked.zones;
        checked.inside += std::abs(error.off_k[z]) <= kTwoSided95 * error.stated_k(z, before) ? 1 : 0;
        if (std::abs(error.off_k[z]) <= std::abs(checked.most_off_k)) continue;
        checked.most_off_k = error.off_k[z];
        checked.most_off = error.zones[z];
    }
}

/// The minutes of zones with a probe, as the log would have been foretold with the records of its prediction and with what the
/// logs before it say of the model's errors; what it says of them itself is not known while it bakes.
void add_minutes(report::CheckedBake& checked, book::Book& book, StoredBake logged, const StoredBake& predicted,
                 const cure::Coating& coating) {
    if (!logged.booth) logged.booth = predicted.booth;
    logged.coating = coating;
    const auto said = foretold_at_mid_hold(logged, {.cycle = predicted.cycle,
                                                    .record = predicted.booth->record.value_or(bake::TrackRecord{}),
                                                    .earlier_evidence = evidence_before(book, logged.record.id)});
    if (!said) return;
    for (report::CheckedMinute& minute : minutes_against(*said, logged, coating))
        if (minute.has_probe) checked.minutes.push_back(std::move(minute));
}

report::CheckedBake checked_bake(book::Book& book, const CheckedPair& pair, const Checked& found,
                                 const std::vector<tune::PlateauError>& before, const CertaintyOptions& how) {
    report::CheckedBake made;
    made.log = bake_label(pair.logged);
    made.booth = pair.booth;
    made.why_not = found.why_not;
    if (!found.error) return made;
    StoredBake predicted = load_bake(book, pair.predicted.id);
    StoredBake logged = load_bake(book, pair.logged.id);
    predicted.booth->record = record_of(before);
    add_ranges(made, *found.error, *predicted.booth->record);
    const std::optional<cure::Coating>& coating = predicted.coating ? predicted.coating : logged.coating;
    if (!coating) return made;
    if (!logged.shell) logged.shell = predicted.shell;
    CertaintyOptions own = how;
    own.book = nullptr;  // the record of then counts
    if (const auto ensemble = ensemble_of(predicted, *coating, own)) add_chances(made, *ensemble, judge(logged, *coating));
    add_minutes(made, book, std::move(logged), predicted, *coating);
    return made;
}

}  // namespace

bake::TrackRecord booth_record(book::Book& book, const std::string& booth, std::optional<book::BakeId> but) {
    std::vector<tune::PlateauError> errors;
    for (const CheckedPair& pair : pairs_of(book, booth)) {
        if (but && pair.has(*but)) continue;
        if (Checked found = checked(book, pair); found.error) errors.push_back(*std::move(found.error));
    }
    return record_of(errors);
}

report::ShopRecord shop_record(book::Book& book, const std::string& booth, const CertaintyOptions& how) {
    report::ShopRecord record;
    record.booth = booth;
    std::map<std::string, std::vector<tune::PlateauError>> errors;  // by booth
    std::vector<cure::CheckedChance> chances;
    for (const CheckedPair& pair : pairs_of(book, booth)) {
        const Checked found = checked(book, pair);
        record.bakes.push_back(checked_bake(book, pair, found, errors[pair.booth], how));
        if (found.error) errors[pair.booth].push_back(*found.error);
        const std::vector<cure::CheckedChance>& its = record.bakes.back().chances;
        chances.insert(chances.end(), its.begin(), its.end());
    }
    for (const auto& [name, of_booth] : errors) record.booths.push_back({name, record_of(of_booth)});
    record.cured = cure::reliability(chances);
    return record;
}

}  // namespace bakewright::services
