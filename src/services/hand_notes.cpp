// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/hand_notes.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/services/certainty.hpp"
#include "bakewright/services/entered.hpp"

namespace bakewright::services {
namespace {

using book::HandNoteKind;

constexpr double kHandCoverage = 2.0;
constexpr const char* kByHand = " (by hand)";

/// What a note may say, the ends included.
struct Accepted {
    const char* option;
    double least, most;
    const char* text;
};
constexpr Accepted kTemperature{"--read", celsius_to_kelvin(-40.0), celsius_to_kelvin(400.0), "-40 to 400 degC"};
constexpr Accepted kUncertainty{"--uncertainty", 0.01, 50.0, "0.01 to 50 K"};
constexpr Accepted kMoment{"--at", -86400.0, 7 * 86400.0, "a time since the start of the bake, up to 7 d"};
constexpr Accepted kAfter{"--after", 0.0, 365 * 86400.0, "a time since the end of the bake, 0 to 365 d"};
constexpr Accepted kFilm{"--read", 1e-6, 5e-3, "1 um to 5 mm"};

void require(const Accepted& accepted, const std::optional<double>& value) {
    if (!value) refuse_option(accepted.option, fmt::format("is missing; accepted is {}", accepted.text));
    if (!(*value >= accepted.least && *value <= accepted.most))
        refuse_option(accepted.option, fmt::format("accepts {}", accepted.text));
}

void require_one_of(const char* option, const std::string& word, const std::vector<std::string>& words) {
    if (std::find(words.begin(), words.end(), word) != words.end()) return;
    refuse_option(option, fmt::format("'{}' is not {}{}", word, fmt::join(words, ", "), did_you_mean(word, words)));
}

void check_numbers(const book::NewHandNote& note) {
    switch (note.kind) {
        case HandNoteKind::temperature:
            require(kTemperature, note.value);
            require(kUncertainty, note.uncertainty);
            return require(kMoment, note.time_s);
        case HandNoteKind::cure_test:
            if (!note.found) refuse_option("--found", "is missing; accepted is hard or soft");
            return require(kAfter, note.time_s);
        case HandNoteKind::film_build:
            break;
    }
    require(kFilm, note.value);
}

std::vector<const book::HandNote*> temperatures_on(const StoredBake& bake, const std::string& zone) {
    std::vector<const book::HandNote*> found;
    for (const book::HandNote& note : bake.noted)
        if (note.kind == HandNoteKind::temperature && note.zone == zone) found.push_back(&note);
    return found;
}

/// Readings in the order of time, those of one moment as their mean.
Trace channel_of(const std::vector<const book::HandNote*>& readings, std::string name, TraceRole role) {
    std::map<double, std::pair<double, double>> sums;
    for (const book::HandNote* reading : readings) {
        auto& [sum_k, count] = sums[*reading->time_s];
        sum_k += *reading->value;
        count += 1.0;
    }
    Trace trace{std::move(name), role, {}, {}, {}};
    const auto add = [&](double time_s, double temperature_k, SampleQuality quality) {
        trace.time_s.push_back(time_s);
        trace.temperature_k.push_back(temperature_k);
        trace.quality.push_back(quality);
    };
    for (const auto& [time_s, sum] : sums) {
        // Nobody looked in between: the rule for gaps applies.
        if (!trace.time_s.empty() && time_s - trace.time_s.back() > cure::kLongestBridgedGapS)
            add(0.5 * (time_s + trace.time_s.back()), std::numeric_limits<double>::quiet_NaN(), SampleQuality::missing);
        add(time_s, sum.first / sum.second, SampleQuality::good);
    }
    return trace;
}

double logged_at_k(const StoredBake& bake, const book::HandNote& note) {
    const Trace* logged = bake.traces.find(note.zone);
    const bool is_own = logged == nullptr || bake.hand_standard_k.contains(note.zone);
    return is_own ? std::numeric_limits<double>::quiet_NaN() : temperature_at_k(*logged, *note.time_s);
}

void hold_against_log(report::HandRow& row, const StoredBake& bake) {
    const double logged_k = logged_at_k(bake, row.note);
    if (!std::isfinite(logged_k)) return;
    row.logged_k = logged_k;
    const double own_k = row.note.uncertainty.value_or(usual_hand_standard_k(row.note.method));
    const bool is_logged = bake.record.kind == book::BakeKind::logged;
    const double other_k = is_logged ? probe_standard_k(bake, row.note.zone) : usual_model().standard_k;
    row.is_doubt = std::abs(logged_k - *row.note.value) > kHandCoverage * std::hypot(own_k, other_k);
}

void hold_against_sheet(report::HandRow& row, const cure::Coating* coating) {
    if (coating == nullptr) return;
    row.sheet_least_m = coating->film_build_minimum_m;
    row.sheet_most_m = coating->film_build_maximum_m;
    row.is_doubt = *row.note.value < row.sheet_least_m.value_or(0.0) ||
                   *row.note.value > row.sheet_most_m.value_or(std::numeric_limits<double>::infinity());
}

void hold_against_verdict(report::HandRow& row, const cure::BakeVerdict* verdict) {
    row.is_doubt = row.note.found == book::CureTestResult::soft;
    if (verdict == nullptr) return;
    for (const cure::ZoneVerdict& zone : verdict->zones)
        if (zone.zone == row.note.zone) row.word = zone.found_soft ? zone.found_soft->readings_word : zone.word;
}

/// A later test of the zone takes the place of an earlier one; the notes come in the order of time.
void drop_earlier_tests(std::vector<report::HandRow>& rows) {
    std::set<std::string> later;
    for (auto row = rows.rbegin(); row != rows.rend(); ++row)
        if (row->note.found && !later.insert(row->note.zone).second) row->is_doubt = false;
}

}  // namespace

const std::vector<std::string>& hand_methods(HandNoteKind kind) {
    static const std::vector<std::string> thermometers{"infrared", "contact"}, tests{"thumb", "tape", "rub", "hardness"},
        gauges{"magnetic", "eddy current", "ultrasonic", "wet film comb"};
    if (kind == HandNoteKind::temperature) return thermometers;
    return kind == HandNoteKind::cure_test ? tests : gauges;
}

double usual_hand_standard_k(const std::string& method) { return method == "contact" ? 1.0 : 2.0; }

std::vector<std::string> notable_zones(const StoredBake& bake) {
    std::vector<std::string> names;
    const auto add = [&](const std::string& name) {
        if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
    };
    if (bake.shell)
        for (const bake::Zone& zone : bake.shell->shell.zones) add(zone.name);
    for (const Trace& trace : bake.traces.traces)
        if (trace.role == TraceRole::zone || trace.role == TraceRole::test_panel) add(trace.name);
    return names;
}

std::string enter_hand_note(book::Book& book, book::NewHandNote note) {
    const StoredBake bake = load_bake(book, note.bake);
    require_one_of("--zone", note.zone, notable_zones(bake));
    const std::vector<std::string>& methods = hand_methods(note.kind);
    if (note.method.empty()) note.method = methods.front();
    require_one_of("--how", note.method, methods);
    if (note.kind == HandNoteKind::temperature && !note.uncertainty) note.uncertainty = usual_hand_standard_k(note.method);
    check_numbers(note);
    note.noted_by = entered_text("--by", note.noted_by);
    note.note = entered_text("--note", note.note, kLongestNote);
    return book::HandNoteRepository(book).add(note);
}

void add_hand_channels(StoredBake& bake) {
    if (bake.record.kind != book::BakeKind::logged) return;
    for (const std::string& zone : notable_zones(bake)) {
        const auto readings = temperatures_on(bake, zone);
        if (readings.empty()) continue;
        const bool has_probe = bake.traces.find(zone) != nullptr;
        const std::string name = has_probe ? zone + kByHand : zone;
        if (bake.traces.find(name) != nullptr) continue;
        double standard_k = 0.0;
        for (const book::HandNote* reading : readings)
            standard_k = std::max(standard_k, reading->uncertainty.value_or(usual_hand_standard_k(reading->method)));
        bake.hand_standard_k[name] = standard_k;
        bake.traces.traces.push_back(channel_of(readings, name, has_probe ? TraceRole::unmapped : TraceRole::zone));
        if (bake.condensed_span_s > 0.0) bake.means.traces.push_back(bake.traces.traces.back());
    }
}

std::vector<report::HandRow> hand_rows(const StoredBake& bake, const cure::Coating* coating, const cure::BakeVerdict* verdict) {
    std::vector<report::HandRow> rows;
    for (const book::HandNote& note : bake.noted) {
        report::HandRow row{.note = note};
        if (note.kind == HandNoteKind::temperature)
            hold_against_log(row, bake);
        else if (note.kind == HandNoteKind::film_build)
            hold_against_sheet(row, coating);
        else
            hold_against_verdict(row, verdict);
        rows.push_back(std::move(row));
    }
    drop_earlier_tests(rows);
    return rows;
}

std::vector<report::HandRow> hand_rows(const StoredBake& bake) {
    if (bake.noted.empty()) return {};
    if (!bake.coating) return hand_rows(bake, nullptr, nullptr);
    const cure::BakeVerdict verdict = cure::judge_bake(bake.traces, *bake.coating, bake.item_limits(), bake.coated_places());
    return hand_rows(bake, &*bake.coating, &verdict);
}

double most_share(std::size_t count, std::size_t tested) {
    if (count >= tested) return 1.0;
    const auto n = static_cast<double>(tested);
    // The chance of no more than `count` where each is soft with the probability `share`.
    const auto chance = [&](double share) {
        double sum = 0.0;
        for (std::size_t k = 0; k <= count; ++k) {
            const auto soft = static_cast<double>(k);
            sum += std::exp(std::lgamma(n + 1.0) - std::lgamma(soft + 1.0) - std::lgamma(n - soft + 1.0) +
                            soft * std::log(share) + (n - soft) * std::log1p(-share));
        }
        return sum;
    };
    double low = 0.0, high = 1.0;
    for (int i = 0; i < 50; ++i) {
        const double middle = 0.5 * (low + high);
        (chance(middle) > 1.0 - cure::kSure ? low : high) = middle;
    }
    return high;
}

std::vector<cure::FilmTest> film_tests(const StoredBake& bake) {
    std::vector<cure::FilmTest> tests;
    for (const book::HandNote& note : bake.noted)
        if (note.found) tests.push_back({note.zone, note.method, *note.time_s, note.found == book::CureTestResult::soft});
    return tests;
}

std::vector<report::SoftCount> soft_counts(book::Book& book) {
    std::map<std::pair<std::string, int>, report::SoftCount> counts;
    for (const book::BakeId id : book::HandNoteRepository(book).bakes_with(HandNoteKind::cure_test)) {
        const StoredBake bake = load_bake(book, id);
        if (bake.record.replaced) continue;
        std::map<std::string, report::HandRow> last;  // the notes come in the order of time
        for (report::HandRow& row : hand_rows(bake))
            if (row.note.found) last.insert_or_assign(row.note.zone, std::move(row));
        for (const auto& [zone, row] : last) {
            const cure::Word word = row.word.value_or(cure::Word::not_judged);
            const std::string coating = bake.coating ? bake.coating->title : std::string();
            report::SoftCount& count = counts[{coating, -cure::word_rank(word)}];
            count.coating = coating;
            count.word = word;
            ++count.tested;
            if (row.note.found == book::CureTestResult::soft) ++count.soft;
        }
    }
    std::vector<report::SoftCount> list;
    for (auto& [key, count] : counts) {
        count.most_share = most_share(count.soft, count.tested);
        list.push_back(std::move(count));
    }
    return list;
}

}  // namespace bakewright::services
