// SPDX-License-Identifier: Apache-2.0
#include "columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <set>
#include <span>

#include "cell.hpp"
#include "unit_text.hpp"
#include "voltage.hpp"

namespace bakewright::probe {
namespace {

// Words in a heading without unit that tell a quantity other than temperature.
constexpr std::array<std::string_view, 22> kOtherWords = {
    "flux", "hrr",  "pressure", "humidity", "rh",  "voltage", "volts", "volt", "current", "power", "battery",
    "batt", "duty", "percent",  "speed",    "rpm", "flow",    "co2",   "o2",   "weight",  "alarm", "status"};
// Headings that, standing alone, name a counter or a note.
constexpr std::array<std::string_view, 16> kCounterNames = {"no",      "nr",    "index", "id",     "scan", "record",
                                                            "sample",  "count", "row",   "number", "mass", "event",
                                                            "comment", "note",  "notes", "line"};
constexpr std::array<std::string_view, 4> kTimeWords = {"time", "date", "timestamp", "elapsed"};

template <std::size_t N>
bool contains(const std::array<std::string_view, N>& list, std::string_view word) {
    return std::find(list.begin(), list.end(), word) != list.end();
}

std::string_view unit_symbol(TemperatureUnit unit) { return temperature_symbol({unit, LengthUnit::metric}); }

/// A quantity that the heading's words alone show not to be a temperature; empty reason where they do not.
std::string other_reason(std::string_view name) {
    if (name == "#") return "its heading names a counter";
    const std::vector<std::string> words = words_of(name);
    if (words.size() == 1 && contains(kCounterNames, words[0])) return "its heading names a counter, a mass or a note";
    for (const std::string& word : words) {
        if (word == "temp" || word == "temperature") return {};
        if (contains(kOtherWords, word)) return fmt::format("its heading says '{}'", word);
    }
    return {};
}

bool is_further_time(std::string_view name) {
    for (const std::string& word : words_of(name))
        if (contains(kTimeWords, word)) return true;
    return false;
}

/// Volts that are of no thermocouple, whatever their size.
bool is_of_supply(std::string_view name) {
    static constexpr std::array<std::string_view, 6> kWords = {"battery", "batt", "supply", "excitation", "bus", "mains"};
    const std::vector<std::string> words = words_of(name);
    return std::any_of(words.begin(), words.end(), [](const std::string& word) { return contains(kWords, word); });
}

void set_unit(Column& column, UnitKind kind, std::string_view written, std::string_view found) {
    column.unit_kind = kind;
    column.unit = temperature_unit(kind);
    column.volts = volts_of_one(kind);
    column.channel.unit = column.unit ? std::string(unit_symbol(*column.unit)) : std::string(written);
    column.channel.found = found;
}

/// The unit from the units row, else from the heading. Where both name one and they differ, neither is taken.
void find_unit(Column& column, const Heading& heading, std::string_view units_cell) {
    column.unexplained = heading.unexplained;
    if (!units_cell.empty() && units_cell != "-") {
        const bool bracketed = units_cell.size() > 2 && (units_cell.front() == '[' || units_cell.front() == '(');
        const std::string_view bare = bracketed ? units_cell.substr(1, units_cell.size() - 2) : units_cell;
        const Heading cell = split_heading(units_cell);
        const UnitKind kind = unit_kind(units_cell) != UnitKind::none ? unit_kind(units_cell) : cell.kind;
        if (temperature_unit(kind) && temperature_unit(heading.kind) && kind != heading.kind) {
            column.unexplained = fmt::format("{}, {}", heading.unit, bare);
            return;
        }
        set_unit(column, kind == UnitKind::none ? UnitKind::other : kind, bare, "units row");
        column.scale = unit_kind(units_cell) == UnitKind::none ? cell.scale : 1.0;
        if (temperature_unit(kind) && cell.unexplained.empty()) column.unexplained.clear();
    } else if (heading.kind != UnitKind::none) {
        set_unit(column, heading.kind, heading.unit, "in the name");
        column.scale = heading.scale;
    } else if (is_time_unit(unit_kind(column.channel.heading)) && column.channel.heading.size() > 2) {
        set_unit(column, unit_kind(column.channel.heading), column.channel.heading, "in the name");
    }
}

void find_quantity(Column& column) {
    LogChannel& channel = column.channel;
    if (column.unit) {
        channel.quantity = Quantity::temperature;
    } else if (column.volts) {
        channel.quantity = is_of_supply(channel.name) ? Quantity::other : Quantity::voltage;
    } else if (column.unit_kind != UnitKind::none) {
        channel.quantity = is_time_unit(column.unit_kind) ? Quantity::time : Quantity::other;
    } else if (std::string reason = other_reason(channel.name); !reason.empty()) {
        channel.quantity = Quantity::other;
        channel.found = std::move(reason);
    } else if (is_further_time(channel.name)) {
        channel.quantity = Quantity::time;
        channel.found = "its heading names a time";
    } else {
        channel.quantity = Quantity::temperature;
        channel.found = "assumed";
    }
}

/// Names that stand once each; a name that comes again gets a number.
class UniqueNames {
public:
    std::string take(const std::string& plain) {
        std::string name = plain;
        int& number = last_number_[plain];
        while (!taken_.insert(name).second) name = fmt::format("{} ({})", plain, number = std::max(number, 1) + 1);
        return name;
    }

private:
    std::set<std::string> taken_;
    std::map<std::string, int> last_number_;  ///< so that 100,000 columns of one heading are not tried from 2 on each time
};

/// Code-made logs end every heading in the same unit: "time_s,roof_c,sill_c". A letter that all channels share is a unit.
std::string_view shared_suffix(const Layout& layout) {
    for (const std::string_view suffix : {"_c", "_f", "_k"}) {
        std::size_t with = 0;
        const auto has_it = [&](const std::string& heading) {
            const bool ends =
                heading.size() > 2 && equals_ignoring_case(std::string_view(heading).substr(heading.size() - 2), suffix);
            if (is_time_unit(split_heading(heading).kind)) return true;
            with += ends ? 1 : 0;
            return ends;
        };
        // Ends at the first heading without it: taking 100,000 of them apart takes its time.
        const bool all_have = std::all_of(layout.headings.begin(), layout.headings.end(), has_it);
        if (all_have && with > 0 && with < layout.headings.size()) return suffix;
    }
    return {};
}

/// "Bay F" beside "Bay A": the same heading but for the letter stands there with a letter or a digit that is no unit.
bool is_lettered(const std::vector<std::string>& headings, const std::string& text) {
    for (const UnitMention& mention : temperature_mentions(text)) {
        if (mention.end != mention.begin + 1) continue;
        constexpr std::size_t kMostCompared = 4096;
        for (const std::string& other : std::span(headings).first(std::min(headings.size(), kMostCompared))) {
            if (other.size() != text.size() || other == text) continue;
            const char here = lower(other[mention.begin]);
            const bool is_label = (is_letter(here) || is_digit(here)) && here != 'c' && here != 'f' && here != 'k';
            if (is_label && other.compare(0, mention.begin, text, 0, mention.begin) == 0 &&
                other.compare(mention.end, std::string::npos, text, mention.end, std::string::npos) == 0)
                return true;
        }
    }
    return false;
}

Heading heading_of(const Layout& layout, const std::string& text, std::string_view suffix) {
    Heading heading = split_heading(text, suffix.empty() && is_lettered(layout.headings, text));
    if (heading.kind == UnitKind::none && !suffix.empty())
        return {text.substr(0, text.size() - 2), std::string(suffix.substr(1)), unit_kind(suffix.substr(1)), 1.0, {}};
    return heading;
}

bool is_words_column(const Layout& layout, std::size_t c) {
    std::size_t words = 0, filled = 0;
    for (const SampleRow& row : layout.sample) {
        if (c >= row.fields.size() || row.fields[c].empty()) continue;
        ++filled;
        words += read_cell(row.fields[c], layout.decimal_mark).kind == CellKind::text;
    }
    return 2 * words > filled;
}

/// A column of cells that are all one unit of temperature speaks for the columns to its left that say nothing themselves, as far
/// as the next such column; a word before the number that never changes is the name of a column without heading.
void take_from_beside(std::vector<Column>& columns, const Layout& layout) {
    const auto only_text = [&layout](std::size_t c) {
        std::string text;
        for (const SampleRow& row : layout.sample) {
            if (c >= row.fields.size() || row.fields[c].empty()) continue;
            if (!text.empty() && row.fields[c] != text) return std::string("\n");
            text = row.fields[c];
        }
        return text;
    };
    std::size_t from = 0;
    for (std::size_t c = 0; c < columns.size(); ++c) {
        const std::string text = only_text(c);
        if (text.empty() || text == "\n") continue;
        const Heading unit = split_heading(text);
        const UnitKind kind = unit_kind(text) != UnitKind::none ? unit_kind(text)
                              : unit.name == text               ? unit.kind
                                                                : UnitKind::none;
        if (!temperature_unit(kind) || text == "K") continue;  // a lone K may be the type of the thermocouples
        for (std::size_t left = from; left < c; ++left) {
            Column& column = columns[left];
            const bool is_open = column.channel.found == "assumed" && column.unexplained.empty();
            if (!is_open || only_text(left).empty() || is_words_column(layout, left)) continue;
            set_unit(column, kind, {}, "in the cells beside");
            column.scale = unit.scale;
            column.unit_beside = c;
            const std::string name = left > 0 ? only_text(left - 1) : std::string();
            const bool is_free =
                std::none_of(columns.begin(), columns.end(), [&](const Column& other) { return other.channel.name == name; });
            const bool is_open_name = column.channel.heading.empty() || names_value(column.channel.heading);
            if (!is_open_name || name.empty() || name == "\n" || !is_free || !is_words_column(layout, left - 1)) continue;
            column.channel.name = name;
            column.name_beside = left - 1;
        }
        from = c + 1;
    }
}

/// What the lines above the headings say of the unit of all columns.
struct SaidAbove {
    UnitKind kind = UnitKind::none;
    std::string unexplained;  ///< a unit that is named there, but not as that of the readings
};

/// "Unit: °F" and "Temperature (°F)" tell a unit; "Set point 150 °F" only mentions it.
bool tells_unit(std::string_view line, const std::vector<UnitMention>& mentions) {
    static constexpr std::array<std::string_view, 12> kUnitWords = {"unit",         "units",         "einheit", "einheiten",
                                                                    "unit\xC3\xA9", "unit\xC3\xA9s", "unidad",  "unidades",
                                                                    "eenheid",      "eenheden",      "scale",   "skala"};
    static constexpr std::array<std::string_view, 18> kPlainWords = {
        "temp", "temps",  "temperature", "temperatures", "temperatur", "temperaturen", "temperatura", "temperatuur", "in",
        "all",  "values", "readings",    "channels",     "are",        "degrees",      "display",     "deg",         "of"};
    bool says_unit = false, is_plain = true;
    for (const std::string& word : words_of(line)) {
        says_unit |= contains(kUnitWords, word);
        const bool is_mention = std::any_of(mentions.begin(), mentions.end(), [&](const UnitMention& mention) {
            return line.substr(mention.begin, mention.end - mention.begin).size() < 24 &&
                   words_of(line.substr(mention.begin, mention.end - mention.begin)) == std::vector<std::string>{word};
        });
        is_plain &= is_mention || contains(kPlainWords, word) || contains(kUnitWords, word);
    }
    const bool any_digit = std::any_of(line.begin(), line.end(), is_digit);
    return (says_unit && !any_digit) || is_plain;
}

SaidAbove said_above(const Layout& layout) {
    SaidAbove said;
    for (const std::string& line : layout.preamble) {
        const std::vector<UnitMention> mentions = temperature_mentions(line);
        if (mentions.empty()) continue;
        const bool tells = tells_unit(line, mentions);
        for (const UnitMention& mention : mentions) {
            if (mention.kind == UnitKind::other || (!mention.certain && !tells)) continue;
            if (tells && mention.kind != UnitKind::none && (said.kind == UnitKind::none || said.kind == mention.kind))
                said.kind = mention.kind;
            else if (tells || mention.kind != UnitKind::celsius)
                said.unexplained = line.substr(mention.begin, mention.end - mention.begin);
        }
    }
    return said;
}

/// The lines above speak for columns that say nothing themselves.
void take_from_above(std::vector<Column>& columns, const SaidAbove& said) {
    for (Column& column : columns) {
        if (column.channel.quantity != Quantity::temperature || column.channel.found != "assumed" || !column.unexplained.empty())
            continue;
        if (said.kind != UnitKind::none && said.unexplained.empty())
            set_unit(column, said.kind, {}, "in the lines above");
        else
            column.unexplained = said.unexplained;
    }
}

std::string headings_list(const std::vector<Column>& columns) {
    constexpr std::size_t kMost = 20;
    std::string out;
    for (std::size_t i = 0; i < columns.size() && i < kMost; ++i)
        out += fmt::format("{}'{}'", i == 0 ? "" : ", ", columns[i].channel.heading);
    if (columns.size() > kMost) out += fmt::format(" and {} more", columns.size() - kMost);
    return out;
}

void leave_out(Column& column) {
    column.unit.reset();
    column.volts.reset();
    column.channel.quantity = Quantity::other;
    column.channel.found = "option";
}

}  // namespace

std::vector<Column> plan_columns(const Layout& layout) {
    std::vector<Column> columns(layout.headings.size());
    UniqueNames names;
    const std::string_view suffix = shared_suffix(layout);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Heading heading = heading_of(layout, layout.headings[i], suffix);
        LogChannel& channel = columns[i].channel;
        channel.column = static_cast<int>(i) + 1;
        channel.heading = layout.headings[i];
        channel.name = names.take(heading.name.empty() ? fmt::format("column {}", i + 1) : heading.name);
        find_unit(columns[i], heading, layout.units.empty() ? std::string_view{} : layout.units[i]);
        find_quantity(columns[i]);
    }
    return columns;
}

void take_units_around(std::vector<Column>& columns, const Layout& layout) {
    take_from_beside(columns, layout);
    take_from_above(columns, said_above(layout));
}

std::optional<std::size_t> column_of(const std::vector<Column>& columns, const std::string& wanted, const std::string& option,
                                     ProblemList& problems) {
    for (std::size_t i = 0; i < columns.size(); ++i)
        if (columns[i].channel.name == wanted) return i;
    for (std::size_t i = 0; i < columns.size(); ++i)
        if (equals_ignoring_case(columns[i].channel.name, wanted) || equals_ignoring_case(columns[i].channel.heading, wanted))
            return i;
    std::size_t position = 0;
    const auto [end, error] = std::from_chars(wanted.data(), wanted.data() + wanted.size(), position);
    if (error == std::errc() && end == wanted.data() + wanted.size() && position >= 1)
        for (std::size_t i = 0; i < columns.size(); ++i)
            if (static_cast<std::size_t>(columns[i].channel.column) == position) return i;
    problems.add(0, option,
                 fmt::format("the file has no column '{}'; it has {}, or a position from 1 to {}", wanted, headings_list(columns),
                             columns.size()));
    return {};
}

void apply_options(std::vector<Column>& columns, const ReadOptions& options, ProblemList& problems) {
    for (Column& column : columns) {
        if (!options.temperature_unit || column.unit || column.channel.quantity != Quantity::temperature) continue;
        column.unit = options.temperature_unit;
        column.channel.found = "option";
        column.unexplained.clear();
    }
    for (const auto& [wanted, unit] : options.channel_units) {
        const auto index = column_of(columns, wanted, "channel unit", problems);
        if (!index) continue;
        columns[*index].unit = unit;
        columns[*index].volts.reset();
        columns[*index].channel.quantity = Quantity::temperature;
        columns[*index].channel.found = "option";
        columns[*index].unexplained.clear();
    }
    for (const auto& [wanted, scale] : options.channel_scales)
        if (const auto index = column_of(columns, wanted, "scale", problems)) columns[*index].scale = scale;
    for (const std::string& wanted : options.not_temperatures)
        if (const auto index = column_of(columns, wanted, "channel unit", problems)) leave_out(columns[*index]);
    apply_thermocouples(columns, options, problems);
    for (Column& column : columns)
        if (column.unit) column.channel.unit = unit_symbol(*column.unit);
    if (options.channels.empty()) return;
    std::set<std::size_t> chosen;
    for (const std::string& wanted : options.channels)
        if (const auto index = column_of(columns, wanted, "channels", problems)) chosen.insert(*index);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        LogChannel& channel = columns[i].channel;
        if (channel.quantity == Quantity::temperature && !chosen.contains(i)) channel.quantity = Quantity::unread;
        const bool assumed_other = chosen.contains(i) && channel.quantity != Quantity::temperature && channel.unit.empty();
        if (!assumed_other) continue;
        channel.quantity = Quantity::temperature;
        channel.found = "assumed";
    }
}

}  // namespace bakewright::probe
