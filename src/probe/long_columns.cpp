// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>

#include "cell.hpp"
#include "long_rows.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

// Headings of the two columns. Common practice, no source.
constexpr std::array<std::string_view, 15> kNameWords = {"channel", "ch",       "probe",     "sensor", "tag",
                                                         "point",   "variable", "parameter", "series", "signal",
                                                         "kanal",   "canal",    "name",      "source", "thermocouple"};
constexpr std::array<std::string_view, 6> kValueWords = {"value", "reading", "wert", "valeur", "valor", "measurement"};

template <std::size_t N>
bool says(const Column& column, const std::array<std::string_view, N>& list) {
    const std::vector<std::string> words = words_of(column.channel.name);
    return std::any_of(words.begin(), words.end(),
                       [&](const std::string& word) { return std::find(list.begin(), list.end(), word) != list.end(); });
}

/// What the sampled cells of a column are.
struct Look {
    std::size_t filled = 0, numbers = 0, whole = 0, words = 0, units = 0;
    std::set<std::string_view> distinct;

    [[nodiscard]] bool are(std::size_t count) const { return filled > 0 && 10 * count >= 9 * filled; }
};

Look look_at(const Layout& layout, std::size_t column) {
    Look look;
    for (const SampleRow& row : layout.sample) {
        if (column >= row.fields.size() || row.fields[column].empty()) continue;
        const std::string& field = row.fields[column];
        const Cell cell = read_cell(field, layout.decimal_mark);
        ++look.filled;
        look.numbers += cell.kind != CellKind::text;
        look.whole += cell.kind == CellKind::number && std::all_of(field.begin(), field.end(), is_digit);
        look.words += cell.kind == CellKind::text && !read_time(field, layout.decimal_mark).readable;
        look.units += unit_kind(field) != UnitKind::none;
        look.distinct.insert(field);
    }
    return look;
}

bool may_be_name(const Column& column, const Look& look) {
    if (look.are(look.units)) return false;
    return look.are(look.words) || (look.are(look.whole) && says(column, kNameWords));
}

bool may_be_value(const Column& column, const Look& look) {
    const Quantity quantity = column.channel.quantity;
    return look.are(look.numbers) && (quantity == Quantity::temperature || quantity == Quantity::voltage);
}

/// How names and times go together in the sampled rows.
struct Evidence {
    std::size_t rows = 0;
    bool pairs_are_unique = false;
    bool times_repeat = false;
    bool names_cycle = false;
};

std::string_view field_of(const SampleRow& row, std::size_t column) {
    return column < row.fields.size() ? std::string_view(row.fields[column]) : std::string_view{};
}

Evidence evidence_of(const Layout& layout, const TimeColumns& time, std::size_t name, std::size_t channels) {
    std::vector<std::string_view> names;
    std::multiset<std::string> times;
    std::set<std::string> pairs;
    std::vector<std::string> row_times;
    for (const SampleRow& row : layout.sample) {
        if (field_of(row, name).empty()) continue;
        std::string at = fmt::format("{}|{}", time.date ? field_of(row, *time.date) : "", field_of(row, time.time));
        names.push_back(field_of(row, name));
        pairs.insert(fmt::format("{}|{}", at, names.back()));
        times.insert(at);
        row_times.push_back(std::move(at));
    }
    Evidence evidence;
    evidence.rows = names.size();
    std::size_t shared = 0, cyclic = 0;
    for (const std::string& at : row_times) shared += times.count(at) > 1;
    for (std::size_t i = channels; i < names.size(); ++i) cyclic += names[i] == names[i - channels] && names[i] != names[i - 1];
    evidence.pairs_are_unique = 20 * pairs.size() >= 19 * evidence.rows;
    evidence.times_repeat = 2 * shared >= evidence.rows;
    evidence.names_cycle = channels >= 2 && evidence.rows >= 2 * channels && 10 * cyclic >= 9 * (evidence.rows - channels);
    return evidence;
}

struct Candidates {
    std::vector<std::size_t> values;
    std::vector<Look> looks;
};

/// The one column that may hold the value, or the one of several whose heading says so.
std::optional<std::size_t> only_value(const std::vector<Column>& columns, const Candidates& candidates, std::size_t name) {
    std::vector<std::size_t> all, named;
    for (const std::size_t index : candidates.values) {
        if (index == name) continue;
        all.push_back(index);
        if (says(columns[index], kValueWords)) named.push_back(index);
    }
    if (all.size() == 1) return all.front();
    return named.size() == 1 ? std::optional<std::size_t>(named.front()) : std::nullopt;
}

std::optional<std::size_t> unit_column(const std::vector<Look>& looks, std::size_t name, std::size_t value) {
    for (std::size_t i = 0; i < looks.size(); ++i)
        if (i != name && i != value && looks[i].are(looks[i].units)) return i;
    return {};
}

void ask_for_value(const std::vector<Column>& columns, const Candidates& candidates, std::size_t name, ProblemList& problems) {
    std::string list;
    for (const std::size_t index : candidates.values)
        if (index != name) list += fmt::format("{}'{}'", list.empty() ? "" : ", ", columns[index].channel.heading);
    problems.fail(0, "value column",
                  list.empty()
                      ? fmt::format("column '{}' names channels, but no column holds their values", columns[name].channel.heading)
                      : fmt::format("each row is a sample of the channel that column '{}' names, and its value may stand in "
                                    "any of {}; name the value column",
                                    columns[name].channel.heading, list));
}

}  // namespace

bool names_value(std::string_view heading) {
    const std::vector<std::string> words = words_of(heading);
    const auto is_value = [](const std::string& word) {
        return std::find(kValueWords.begin(), kValueWords.end(), word) != kValueWords.end();
    };
    return !words.empty() && std::all_of(words.begin(), words.end(), is_value);
}

std::optional<LongColumns> find_long_columns(const std::vector<Column>& columns, const TimeColumns& time, const Layout& layout,
                                             const ReadOptions& options, ProblemList& problems) {
    Candidates candidates;
    for (std::size_t i = 0; i < columns.size(); ++i) {
        candidates.looks.push_back(look_at(layout, i));
        const bool tells_time = i == time.time || i == time.date || columns[i].channel.quantity == Quantity::time;
        if (!tells_time && may_be_value(columns[i], candidates.looks.back())) candidates.values.push_back(i);
    }
    std::optional<std::size_t> given_value;
    if (!options.value_column.empty()) {
        given_value = column_of(columns, options.value_column, "value column", problems);
        if (options.name_column.empty()) problems.add(0, "value column", "name the name column too");
    }
    const auto with = [&](std::size_t name) -> std::optional<LongColumns> {
        const auto value = given_value ? given_value : only_value(columns, candidates, name);
        if (!value) ask_for_value(columns, candidates, name, problems);
        return LongColumns{name, *value, unit_column(candidates.looks, name, *value)};
    };
    if (!options.name_column.empty()) {
        const auto name = column_of(columns, options.name_column, "name column", problems);
        problems.throw_if_any();
        return with(*name);
    }
    problems.throw_if_any();
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Look& look = candidates.looks[i];
        if (i == time.time || i == time.date || !may_be_name(columns[i], look)) continue;
        const Evidence evidence = evidence_of(layout, time, i, look.distinct.size());
        const auto value = only_value(columns, candidates, i);
        const bool said = says(columns[i], kNameWords) && value && says(columns[*value], kValueWords);
        const bool shown = look.distinct.size() >= 2 && 2 * look.distinct.size() <= evidence.rows &&
                           (evidence.times_repeat || evidence.names_cycle);
        if (evidence.pairs_are_unique && (said || (shown && !candidates.values.empty()))) return with(i);
    }
    return {};
}

}  // namespace bakewright::probe
