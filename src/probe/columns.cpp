#include "columns.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <map>
#include <set>

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

/// The unit from the units row, else from the heading.
void find_unit(Column& column, const Heading& heading, std::string_view units_cell) {
    if (!units_cell.empty() && units_cell != "-") {
        const bool bracketed = units_cell.size() > 2 && (units_cell.front() == '[' || units_cell.front() == '(');
        const std::string_view bare = bracketed ? units_cell.substr(1, units_cell.size() - 2) : units_cell;
        const UnitKind kind = unit_kind(units_cell);
        set_unit(column, kind == UnitKind::none ? UnitKind::other : kind, bare, "units row");
    } else if (heading.kind != UnitKind::none) {
        set_unit(column, heading.kind, heading.unit, "in the name");
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
        std::size_t with = 0, without = 0;
        for (const std::string& heading : layout.headings) {
            if (is_time_unit(split_heading(heading).kind)) continue;
            const bool ends =
                heading.size() > 2 && equals_ignoring_case(std::string_view(heading).substr(heading.size() - 2), suffix);
            ++(ends ? with : without);
        }
        if (with > 0 && without == 0 && with < layout.headings.size()) return suffix;
    }
    return {};
}

Heading heading_of(const std::string& text, std::string_view suffix) {
    Heading heading = split_heading(text);
    if (heading.kind == UnitKind::none && !suffix.empty())
        return {text.substr(0, text.size() - 2), std::string(suffix.substr(1)), unit_kind(suffix.substr(1))};
    return heading;
}

std::string headings_list(const std::vector<Column>& columns) {
    constexpr std::size_t kMost = 20;
    std::string out;
    for (std::size_t i = 0; i < columns.size() && i < kMost; ++i)
        out += fmt::format("{}'{}'", i == 0 ? "" : ", ", columns[i].channel.heading);
    if (columns.size() > kMost) out += fmt::format(" and {} more", columns.size() - kMost);
    return out;
}

}  // namespace

std::vector<Column> plan_columns(const Layout& layout) {
    std::vector<Column> columns(layout.headings.size());
    UniqueNames names;
    const std::string_view suffix = shared_suffix(layout);
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const Heading heading = heading_of(layout.headings[i], suffix);
        LogChannel& channel = columns[i].channel;
        channel.column = static_cast<int>(i) + 1;
        channel.heading = layout.headings[i];
        channel.name = names.take(heading.name.empty() ? fmt::format("column {}", i + 1) : heading.name);
        find_unit(columns[i], heading, layout.units.empty() ? std::string_view{} : layout.units[i]);
        find_quantity(columns[i]);
    }
    return columns;
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
    if (error == std::errc() && end == wanted.data() + wanted.size() && position >= 1 && position <= columns.size())
        return position - 1;
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
    }
    for (const auto& [wanted, unit] : options.channel_units) {
        const auto index = column_of(columns, wanted, "channel unit", problems);
        if (!index) continue;
        columns[*index].unit = unit;
        columns[*index].volts.reset();
        columns[*index].channel.quantity = Quantity::temperature;
        columns[*index].channel.found = "option";
    }
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
