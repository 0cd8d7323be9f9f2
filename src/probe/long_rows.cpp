// SPDX-License-Identifier: Apache-2.0
#include "long_rows.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "cell.hpp"
#include "unit_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kMostChannels = 4096;

class LongReader {
public:
    LongReader(const Layout& layout, const TimeColumns& time, const LongColumns& where, const ReadOptions& options,
               ProblemList& problems)
        : layout_(layout), time_(time), where_(where), options_(options), problems_(problems) {
        short_.message = "rows end before their value and were passed over";
        again_.message = "rows repeat the headings or units and were passed over";
        words_.message = "lines without a time were not read: words, or a summary behind the data";
        nameless_.message = "rows name no channel and were passed over";
    }

    LongTable read(RowScanner& rows) {
        while (rows.next())
            if (is_in_part(rows.line(), options_)) take_row(rows);
        if (rows.open_quote_line() > 0)
            problems_.fail(rows.open_quote_line(), "", "a quotation mark opens here and is never closed");
        for (LogFault* fault : {&short_, &again_, &words_, &nameless_})
            if (fault->count > 0) out_.faults.push_back(std::move(*fault));
        return std::move(out_);
    }

private:
    void take_row(const RowScanner& rows) {
        const auto fields = rows.fields();
        const auto repeats = [&](const std::vector<std::string>& row) {
            return !row.empty() && std::equal(fields.begin(), fields.end(), row.begin(), row.end());
        };
        if (repeats(layout_.heading_row) || repeats(layout_.units)) return count_fault(again_, rows.line());
        const TimeText time = time_of(fields, time_, layout_.decimal_mark);
        const auto is_data = [this](std::string_view field) { return is_data_cell(field, layout_.decimal_mark); };
        if (!time.readable && (is_summary_row(fields, time_) || std::none_of(fields.begin(), fields.end(), is_data)))
            return count_fault(words_, rows.line());
        if (fields.size() <= std::max(where_.name, where_.value)) return count_fault(short_, rows.line());
        if (fields[where_.name].empty()) return count_fault(nameless_, rows.line());
        take_sample(channel_of(fields[where_.name], rows.line()), time, fields, rows.line());
    }

    std::size_t channel_of(std::string_view name, int line) {
        const auto [at, is_new] = index_.try_emplace(std::string(name), out_.names.size());
        if (!is_new) return at->second;
        if (out_.names.size() == kMostChannels)
            problems_.fail(
                line, layout_.headings[where_.name],
                fmt::format("more than {} different names: is this the column that names the channel?", kMostChannels));
        out_.names.emplace_back(name);
        out_.cells.emplace_back();
        out_.rows.emplace_back();
        return at->second;
    }

    void take_sample(std::size_t channel, const TimeText& time, std::span<const std::string_view> fields, int line) {
        out_.rows[channel].push_back(out_.lines.size());
        out_.lines.push_back(line);
        out_.times.push_back(time);
        append_cell(out_.cells[channel], fields[where_.value], layout_.decimal_mark, {line, time.text, options_.missing_words});
        if (where_.unit && *where_.unit < fields.size() && !fields[*where_.unit].empty())
            append_unit(out_.cells[channel], fields[*where_.unit], fields[where_.value], line);
    }

    const Layout& layout_;
    const TimeColumns& time_;
    const LongColumns& where_;
    const ReadOptions& options_;
    ProblemList& problems_;
    LongTable out_;
    std::map<std::string, std::size_t, std::less<>> index_;
    LogFault short_, again_, words_, nameless_;
};

}  // namespace

bool LongTable::is_in_blocks() const {
    std::size_t neighbours = 0;
    for (const std::vector<std::size_t>& own : rows)
        for (std::size_t i = 1; i < own.size(); ++i) neighbours += own[i] == own[i - 1] + 1;
    return 2 * neighbours > lines.size();
}

LongTable read_long_table(RowScanner& rows, const Layout& layout, const TimeColumns& time, const LongColumns& where,
                          const ReadOptions& options, ProblemList& problems) {
    return LongReader(layout, time, where, options, problems).read(rows);
}

std::vector<Column> plan_long_columns(const LongTable& table, const std::vector<Column>& columns, const LongColumns& where,
                                      const Layout& layout) {
    const Column& value = columns[where.value];
    Layout as_wide;
    as_wide.headings = table.names;
    as_wide.preamble = layout.preamble;
    if (value.unit || value.volts) as_wide.units.assign(table.names.size(), value.channel.unit);
    std::vector<Column> out = plan_columns(as_wide);
    take_units_around(out, as_wide);
    for (Column& column : out) {
        column.channel.column = value.channel.column;
        if (column.channel.found == "assumed" && column.unexplained.empty()) column.unexplained = value.unexplained;
        if (column.scale == 1.0) column.scale = value.scale;
        if (column.channel.found == "units row") column.channel.found = value.channel.found;
    }
    return out;
}

}  // namespace bakewright::probe
