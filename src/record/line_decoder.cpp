// SPDX-License-Identifier: Apache-2.0
#include "line_decoder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <set>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/record/source.hpp"

namespace bakewright::record {
namespace {

constexpr std::size_t kLongestLine = std::size_t{1} << 16U;
/// Headings and rows from which a form must have been found; what is older is let go of.
constexpr std::size_t kMostHeadLines = 200, kLeastRows = 2;
/// Lines that are read at a time where many have come.
constexpr std::size_t kTogether = 500;

/// No line of a logger has such bytes; a line at the wrong speed is full of them.
bool is_garbage(std::string_view line) {
    return std::ranges::any_of(line, [](char c) { return (static_cast<unsigned char>(c) < 0x20 && c != '\t') || c == 0x7f; });
}

std::size_t delimiters_in(std::string_view line, char delimiter) {
    return static_cast<std::size_t>(std::ranges::count(line, delimiter));
}

char guessed_delimiter(std::string_view line) {
    for (const char candidate : {'\t', ';'})
        if (line.find(candidate) != std::string_view::npos) return candidate;
    return line.find(',') != std::string_view::npos && line.find(", ") == std::string_view::npos &&
                   line.find(' ') == std::string_view::npos
               ? ','
           : line.find(", ") != std::string_view::npos ? ','
                                                       : ' ';
}

std::vector<std::string> cells_of(std::string_view line, char delimiter) {
    std::vector<std::string> cells;
    std::string cell;
    for (const char c : std::string(line) + delimiter) {
        if (c != delimiter) {
            if (c != ' ' || delimiter == ' ') cell += c == ',' ? '.' : c;
            continue;
        }
        if (delimiter != ' ' || !cell.empty()) cells.push_back(cell);
        cell.clear();
    }
    return cells;
}

/// A sign of plus is written by many instruments; from_chars knows none.
std::optional<double> number_of_cell(std::string_view cell) {
    if (cell.starts_with('+')) cell.remove_prefix(1);
    double value = 0.0;
    const auto [end, error] = std::from_chars(cell.data(), cell.data() + cell.size(), value);
    if (error != std::errc{} || end != cell.data() + cell.size()) return std::nullopt;
    return value;
}

const std::string& column_of(const probe::SourceChannel& channel) {
    return channel.column.empty() ? channel.name : channel.column;
}

TemperatureUnit unit_of(probe::ReadingUnit unit) {
    switch (unit) {
        case probe::ReadingUnit::deg_f:
            return TemperatureUnit::fahrenheit;
        case probe::ReadingUnit::k:
            return TemperatureUnit::kelvin;
        case probe::ReadingUnit::deg_c:
            break;
    }
    return TemperatureUnit::celsius;
}

/// A reading kept for files, with what the source's record says of its channels.
probe::ReadOptions options_for(const probe::SourceRecord& record, probe::ReadOptions options) {
    options.quality.enabled = false;  // asked of the whole log, not of two lines
    options.from_line.reset();
    options.to_line.reset();
    for (const probe::SourceChannel& channel : record.channels) {
        if (channel.unit) options.channel_units[column_of(channel)] = unit_of(*channel.unit);
        if (channel.scale != 1.0) options.channel_scales[column_of(channel)] = channel.scale;
    }
    return options;
}

}  // namespace

LineDecoder::LineDecoder(const probe::SourceRecord& record, probe::ReadOptions reading, probe::LineTime time)
    : record_(record), asked_(options_for(record, std::move(reading))), time_(time) {}

void LineDecoder::break_off() {
    partial_.clear();
    skips_to_end_ = true;
}

void LineDecoder::begin_anew() {
    partial_.clear();
    head_.clear();
    skips_to_end_ = is_known_ = false;
}

void LineDecoder::refuse(const Line& line, std::string why, Decoded& decoded) const {
    ++decoded.refused;
    std::string shown = line.text.substr(0, 60);
    std::ranges::replace_if(
        shown, [](char c) { return static_cast<unsigned char>(c) < 0x20 || static_cast<unsigned char>(c) >= 0x7f; }, '?');
    decoded.why = fmt::format("'{}': {}", shown, why);
}

LineDecoder::Decoded LineDecoder::take(std::string_view bytes, double arrived_s) {
    Decoded decoded;
    std::vector<Line> lines;
    for (std::size_t at = 0; at < bytes.size();) {
        const std::size_t end = bytes.find_first_of("\r\n", at);
        partial_ += bytes.substr(at, std::min(end, bytes.size()) - at);
        if (partial_.size() > kLongestLine) {
            partial_.resize(60);
            refuse({partial_, arrived_s}, "a line without an end", decoded);
            break_off();
        }
        if (end == std::string_view::npos) break;
        at = end + 1;
        std::string line = std::exchange(partial_, {});
        if (std::exchange(skips_to_end_, false) || line.empty()) continue;
        Line whole{std::move(line), arrived_s};
        if (is_garbage(whole.text))
            refuse(whole, "it is no text: wrong speed, or a bad cable", decoded);
        else
            lines.push_back(std::move(whole));
    }
    if (time_ == probe::LineTime::on_arrival)
        for (const Line& line : lines) decode_numbers(line, decoded);
    else if (!lines.empty() && !is_known_)
        find_form(std::move(lines), decoded);
    else
        decode(lines, decoded);
    return decoded;
}

probe::ProbeLog LineDecoder::read(const std::string& text, const probe::ReadOptions& options) const {
    return probe::read_log(text, record_.title.empty() ? "the source" : record_.title, options);
}

void LineDecoder::find_form(std::vector<Line> lines, Decoded& decoded) {
    for (Line& line : lines) head_.push_back(std::move(line));
    std::string text;
    for (const Line& line : head_) text += line.text + '\n';
    try {
        const probe::ProbeLog log = read(text, asked_);
        if (log.reading.rows_kept < kLeastRows) return;
        learn(log, decoded);
    } catch (const InputError& error) {
        decoded.why = error.problems().front().text();
        if (head_.size() > kMostHeadLines) {
            decoded.refused += head_.size() / 2;
            head_.erase(head_.begin(), head_.begin() + static_cast<std::ptrdiff_t>(head_.size() / 2));
        }
    }
}

/// Everything that was found is laid down, so that two lines alone are read as all of them were.
void LineDecoder::learn(const probe::ProbeLog& log, Decoded& decoded) {
    const probe::LogReading& reading = log.reading;
    found_ = asked_;
    found_.delimiter = reading.delimiter;
    found_.decimal_mark = reading.decimal_mark;
    found_.time_form = reading.time_form;
    found_.skip_lines.reset();
    std::set<std::string> wanted;
    for (const probe::SourceChannel& channel : record_.channels) wanted.insert(column_of(channel));
    channels_.clear();
    index_.clear();
    for (const probe::LogChannel& channel : reading.channels) {
        if (channel.quantity != probe::Quantity::temperature) continue;
        if (channel.conversion.empty())
            found_.channel_units[channel.name] = channel.unit == "°F"  ? TemperatureUnit::fahrenheit
                                                 : channel.unit == "K" ? TemperatureUnit::kelvin
                                                                       : TemperatureUnit::celsius;
        const auto told = std::ranges::find_if(record_.channels, [&](const probe::SourceChannel& one) {
            const std::string& column = column_of(one);
            return column == channel.name || column == channel.heading || column == std::to_string(channel.column);
        });
        if (!record_.channels.empty() && told == record_.channels.end()) continue;
        index_[channel.name] = channels_.size();
        channels_.push_back(told != record_.channels.end() ? *told : probe::SourceChannel{.name = channel.name});
    }
    for (const probe::SourceChannel& channel : record_.channels)
        if (std::ranges::none_of(channels_, [&](const probe::SourceChannel& one) { return one.name == channel.name; }))
            throw InputError(Problem{.file = {},
                                     .line = 0,
                                     .key = column_of(channel),
                                     .message = "there is no such column of temperatures among the lines"});
    is_long_ = !reading.name_heading.empty();
    is_elapsed_ = !probe::is_clock_form(reading.time_form);
    heading_.clear();
    for (std::size_t i = 0; i < head_.size() && static_cast<int>(i) + 1 < reading.first_data_line; ++i)
        heading_ += head_[i].text + '\n';
    anchor_ = head_.back().text;
    delimiters_ = delimiters_in(anchor_, reading.delimiter);
    if (!std::exchange(is_announced_, true)) {
        decoded.announced = channels_;
        decoded.form = fmt::format("{} channels, separated by {}, time in '{}'", channels_.size(),
                                   probe::delimiter_name(reading.delimiter), reading.time_heading);
    }
    is_known_ = true;
    put_rows(log, 0.0, -HUGE_VAL, head_, decoded);
    anchor_told_s_ = decoded.rows.empty() ? reading.last_time_s : *decoded.rows.back().told_s;
    head_.clear();
}

std::vector<Reading> LineDecoder::readings_at(const probe::ProbeLog& log, double time_s) const {
    std::vector<Reading> readings;
    for (const Trace& trace : log.traces.traces) {
        const auto channel = index_.find(trace.name);
        const auto at = std::ranges::lower_bound(trace.time_s, time_s) - trace.time_s.begin();
        const auto i = static_cast<std::size_t>(at);
        if (channel == index_.end() || i >= trace.size() || trace.time_s[i] != time_s) continue;
        const probe::SourceChannel& told = channels_[channel->second];
        const double offset_k = told.unit == probe::ReadingUnit::deg_f ? told.offset / 1.8 : told.offset;
        Reading reading{channel->second, trace.temperature_k[i] + offset_k,
                        trace.quality.empty() ? SampleQuality::good : trace.quality[i]};
        if (reading.quality == SampleQuality::good &&
            !(reading.temperature_k >= record_.least_k && reading.temperature_k <= record_.most_k))
            reading.quality = std::isnan(reading.temperature_k) ? SampleQuality::missing : SampleQuality::out_of_range;
        readings.push_back(reading);
    }
    return readings;
}

/// @param told_zero_s  told time of the log's zero  @param after_s  rows up to this time of the log are not new
void LineDecoder::put_rows(const probe::ProbeLog& log, double told_zero_s, double after_s, const std::vector<Line>& lines,
                           Decoded& decoded) {
    std::set<double> times;
    for (const Trace& trace : log.traces.traces)
        for (const double time_s : trace.time_s)
            if (time_s > after_s) times.insert(time_s);
    const std::size_t count = times.size();
    std::size_t i = 0;
    for (const double time_s : times) {
        // Lines that were read together came when they came; the last rows are those of the last lines.
        const std::size_t line = lines.size() - std::min(lines.size(), count - i++);
        decoded.rows.push_back({.arrived_s = lines[std::min(line, lines.size() - 1)].arrived_s,
                                .told_s = told_zero_s + time_s,
                                .readings = readings_at(log, time_s)});
    }
}

void LineDecoder::decode(const std::vector<Line>& lines, Decoded& decoded) {
    std::vector<Line> rows;
    for (const Line& line : lines) {
        const bool counts = *found_.delimiter != ' ';  // blanks may stand in any number
        if (counts && delimiters_in(line.text, *found_.delimiter) != delimiters_)
            refuse(line, "it has not as many fields as the others", decoded);
        else
            rows.push_back(line);
    }
    for (std::size_t first = 0; first < rows.size(); first += kTogether) {
        const std::vector<Line> part(rows.begin() + static_cast<std::ptrdiff_t>(first),
                                     rows.begin() + static_cast<std::ptrdiff_t>(std::min(rows.size(), first + kTogether)));
        if (decode_together(part, decoded)) continue;
        for (const Line& line : part)
            if (!decode_together({line}, decoded) && !decode_earlier(line, decoded)) refuse(line, decoded.why, decoded);
    }
}

bool LineDecoder::decode_together(const std::vector<Line>& lines, Decoded& decoded) {
    std::string text = heading_ + anchor_ + '\n';
    for (const Line& line : lines) text += line.text + '\n';
    try {
        const probe::ProbeLog log = read(text, found_);
        const std::size_t had = decoded.rows.size();
        if (is_long_) {
            // The anchor's own sample comes again, and is passed over as one that is there.
            put_rows(log, is_elapsed_ ? 0.0 : anchor_told_s_, is_elapsed_ ? std::nextafter(anchor_told_s_, -HUGE_VAL) : -1e-9,
                     lines, decoded);
        } else {
            if (log.reading.rows_read != lines.size() + 1) return false;
            put_rows(log, is_elapsed_ ? 0.0 : anchor_told_s_, is_elapsed_ ? anchor_told_s_ : 0.0, lines, decoded);
            if (lines.size() > 1 && decoded.rows.size() - had != lines.size()) {
                decoded.rows.resize(had);
                return false;
            }
            if (lines.size() == 1 && decoded.rows.size() == had)  // the same time again
                decoded.rows.push_back({.arrived_s = lines[0].arrived_s,
                                        .told_s = anchor_told_s_,
                                        .readings = readings_at(log, is_elapsed_ ? anchor_told_s_ : 0.0)});
        }
        if (decoded.rows.size() > had) anchor_told_s_ = *decoded.rows.back().told_s;
        anchor_ = lines.back().text;
        return true;
    } catch (const InputError& error) {
        decoded.why = error.problems().front().message;
        return false;
    }
}

/// A line whose time lies before that of the line before it: read in front of it.
bool LineDecoder::decode_earlier(const Line& line, Decoded& decoded) {
    try {
        const probe::ProbeLog log = read(heading_ + line.text + '\n' + anchor_ + '\n', found_);
        if (is_long_ || log.reading.rows_kept != 2) return false;
        const double first_s = log.reading.first_time_s;
        const double told_s = is_elapsed_ ? first_s : anchor_told_s_ - (log.reading.last_time_s - first_s);
        decoded.rows.push_back({.arrived_s = line.arrived_s, .told_s = told_s, .readings = readings_at(log, first_s)});
        anchor_ = line.text;
        anchor_told_s_ = told_s;
        return true;
    } catch (const InputError&) {
        return false;
    }
}

void LineDecoder::decode_numbers(const Line& line, Decoded& decoded) {
    if (delimiter_ == 0) delimiter_ = asked_.delimiter.value_or(guessed_delimiter(line.text));
    const std::vector<std::string> cells = cells_of(line.text, delimiter_);
    std::vector<std::optional<double>> numbers;
    for (const std::string& cell : cells) numbers.push_back(number_of_cell(cell));
    if (std::ranges::none_of(numbers, [](const auto& number) { return number.has_value(); }))
        return refuse(line, "it holds no number", decoded);
    if (!is_known_) {
        delimiters_ = cells.size();
        channels_ = record_.channels;
        is_known_ = true;
        if (!std::exchange(is_announced_, true)) {
            decoded.announced = channels_;
            decoded.form = fmt::format("{} numbers a line", cells.size());
        }
    }
    if (cells.size() != delimiters_)
        return refuse(line, fmt::format("it has {} fields, not {}", cells.size(), delimiters_), decoded);
    SourceRow row{.arrived_s = line.arrived_s};
    for (std::size_t i = 0; i < channels_.size(); ++i) {
        const std::string& column = channels_[i].column;
        std::size_t position = i + 1;
        if (!column.empty() && std::from_chars(column.data(), column.data() + column.size(), position).ec != std::errc{})
            position = i + 1;
        const bool is_there = position >= 1 && position <= numbers.size() && numbers[position - 1];
        row.readings.push_back(reading_of(record_, i, is_there ? *numbers[position - 1] : std::nan("")));
    }
    decoded.rows.push_back(std::move(row));
}

}  // namespace bakewright::record
