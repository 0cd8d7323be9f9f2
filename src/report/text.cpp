// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/text.hpp"

#include <fmt/format.h>

#include <cctype>
#include <cmath>
#include <string_view>

#include "bakewright/base/units.hpp"
#include "bakewright/report/booth_text.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {

std::string fixed(double value, int decimals) {
    if (!std::isfinite(value)) return "n/a";
    std::string text = fmt::format("{:.{}f}", value, decimals);
    if (text.starts_with('-') && text.find_first_of("123456789") == std::string::npos) text.erase(0, 1);
    return text;
}

std::string temperature_number(double temperature_k, const Units& units, int decimals) {
    return fixed(temperature_in(temperature_k, units), decimals);
}

std::string difference_number(double difference_k, const Units& units, int decimals) {
    return fixed(temperature_difference_in(difference_k, units), decimals);
}

std::string minutes_number(double time_s, int decimals) { return fixed(seconds_to_minutes(time_s), decimals); }

std::string difference_symbol(const Units& units) { return units.temperature == TemperatureUnit::fahrenheit ? "°F" : "K"; }

namespace {

/// Length of the number that ends right before `end`, "62" or "1.5"; 0 where none does.
std::size_t number_before(std::string_view text, std::size_t end) {
    std::size_t begin = end;
    while (begin > 0 && ((text[begin - 1] >= '0' && text[begin - 1] <= '9') || text[begin - 1] == '.')) --begin;
    return begin < end && text[begin] != '.' && text[end - 1] != '.' ? end - begin : 0;
}

/// A unit of the sentence that is not the user's, and what one of it is worth.
struct ForeignUnit {
    std::string_view written;
    bool is_point;
};
constexpr ForeignUnit kForeign[]{{"\u00b0C", true}, {"degC", true}, {"K/min", false}, {"K", false}};

std::string fahrenheit_text(const std::string& number, bool is_point) {
    const double value = std::stod(number);
    return is_point ? fixed(value * 1.8 + 32.0, 0) : fixed(value * 1.8, 1);
}

/// Puts the number that ends at `end` into Fahrenheit, and the one before it in "67 to 70".
void put_fahrenheit(std::string& text, std::size_t end, bool is_point) {
    const std::size_t length = number_before(text, end);
    const std::size_t begin = end - length;
    text.replace(begin, length, fahrenheit_text(text.substr(begin, length), is_point));
    constexpr std::string_view kTo = " to ";
    if (begin < kTo.size() || text.compare(begin - kTo.size(), kTo.size(), kTo) != 0) return;
    const std::size_t low_end = begin - kTo.size(), low = number_before(text, low_end);
    if (low > 0) text.replace(low_end - low, low, fahrenheit_text(text.substr(low_end - low, low), is_point));
}

}  // namespace

std::string in_degrees_of(std::string text, const Units& units) {
    if (units.temperature != TemperatureUnit::fahrenheit) return text;
    for (const ForeignUnit& unit : kForeign) {
        for (std::size_t at = text.find(unit.written); at != std::string::npos; at = text.find(unit.written, at)) {
            const std::size_t after = at + unit.written.size();
            const bool ends = after >= text.size() || std::isalnum(static_cast<unsigned char>(text[after])) == 0;
            const std::size_t number_end = at > 0 && text[at - 1] == ' ' ? at - 1 : at;
            if (!ends || number_before(text, number_end) == 0) {
                at = after;
                continue;
            }
            const std::string own = unit.written == "K/min" ? "\u00b0F/min" : "\u00b0F";
            if (text.compare(after, 2, " (") == 0 &&
                text.find("\u00b0F)", after) < after + 10) {  // "49 °C (120 °F)" says it already
                const std::size_t length = number_before(text, number_end);
                const std::size_t close = text.find(')', after);
                const std::string said = text.substr(after + 2, close - after - 2);
                text.replace(number_end - length, close + 1 - (number_end - length), said);
                at = number_end - length + said.size();
                continue;
            }
            const std::size_t tail = text.size() - after;
            text.replace(at, unit.written.size(), own);
            put_fahrenheit(text, number_end, unit.is_point);
            at = text.size() - tail;
        }
    }
    return text;
}

namespace {

constexpr int kMinutesPerDay = 24 * 60;

bool follows(std::string_view text, std::string_view pattern) noexcept {
    if (text.size() < pattern.size()) return false;
    for (std::size_t i = 0; i < pattern.size(); ++i) {
        const bool digit = text[i] >= '0' && text[i] <= '9';
        if (pattern[i] == '0' ? !digit : (pattern[i] == 'T' ? text[i] != 'T' && text[i] != ' ' : text[i] != pattern[i]))
            return false;
    }
    return true;
}

int two_digits(std::string_view text, std::size_t at) noexcept { return (text[at] - '0') * 10 + (text[at + 1] - '0'); }

}  // namespace

std::string elapsed_text(double time_s) {
    if (!std::isfinite(time_s)) return "n/a";
    const auto minutes = std::llround(std::abs(seconds_to_minutes(time_s)));
    return fmt::format("{}{}:{:02}", time_s < 0.0 && minutes > 0 ? "-" : "", minutes / 60, minutes % 60);
}

std::optional<int> clock_minutes(std::string_view started_at) noexcept {
    if (!follows(started_at, "0000-00-00T00:00")) return std::nullopt;
    const int hour = two_digits(started_at, 11);
    const int minute = two_digits(started_at, 14);
    if (hour > 23 || minute > 59) return std::nullopt;
    return 60 * hour + minute;
}

std::string clock_text(std::string_view started_at, double time_s) {
    const std::optional<int> start = clock_minutes(started_at);
    if (!start || !std::isfinite(time_s)) return {};
    const long long seconds = follows(started_at, "0000-00-00T00:00:00") ? two_digits(started_at, 17) : 0;
    const double since_midnight_min = *start + seconds_to_minutes(static_cast<double>(seconds) + time_s);
    const auto minutes = std::llround(since_midnight_min);
    const auto days = static_cast<long long>(std::floor(static_cast<double>(minutes) / kMinutesPerDay));
    const auto of_day = minutes - days * kMinutesPerDay;
    std::string text = fmt::format("{:02}:{:02}", of_day / 60, of_day % 60);
    if (days != 0) text += fmt::format(" ({:+} day{})", days, std::abs(days) == 1 ? "" : "s");
    return text;
}

namespace {

constexpr std::string_view kBullet = "- ";

std::string title_line(std::string_view title, const TextOptions& options) {
    std::string out;
    for (const std::string& line : wrap(one_line(title), options.style.width))
        out += (options.style.ansi ? "\x1b[1m" + line + "\x1b[0m" : line) + '\n';
    return out;
}

std::string paragraph(std::string_view text, std::size_t width, std::string_view first = {}) {
    const std::string indent(first.size(), ' ');
    std::string out;
    for (const std::string& line : wrap(one_line(text), width > first.size() + 20 ? width - first.size() : 20)) {
        out += (out.empty() ? std::string(first) : indent) + line + '\n';
    }
    return out;
}

std::string list(const std::vector<std::string>& sentences, const TextOptions& options) {
    std::string out;
    for (const std::string& sentence : sentences)
        out += paragraph(in_degrees_of(sentence, options.units), options.style.width, kBullet);
    return out;
}

}  // namespace

std::string table_block(std::string_view title, const Table& table, const TextOptions& options) {
    if (table.empty()) return {};
    return title_line(title, options) + '\n' + table.text(options.style);
}

std::string list_text(std::string_view title, const std::vector<std::string>& sentences, const TextOptions& options) {
    return sentences.empty() ? std::string() : title_line(title, options) + '\n' + list(sentences, options);
}

std::string cycle_text(const std::vector<bake::ResolvedStage>& stages, const TextOptions& options, std::string_view started_at,
                       bool booth_purges) {
    return table_block("Cycle", cycle_table(stages, options.units, started_at, booth_purges), options);
}

std::string prediction_text(const bake::Prediction& prediction, const TextOptions& options) {
    return joined_blocks({cycle_text(prediction.stages, options, prediction.traces.started_at),
                          table_block("Predicted temperatures, last to arrive first",
                                      zone_table(prediction.traces, prediction.stages, options.units), options),
                          list_text("Burner and air", booth_run_sentences(prediction, options.units), options),
                          list_text("Zones split through their thickness", split_sentences(prediction.summary.splits), options)});
}

std::string verdict_text(const cure::BakeVerdict& verdict, const TextOptions& options) {
    return joined_blocks(
        {list_text("A question first", question_sentences(verdict), options),
         paragraph(worst_place_sentence(verdict, options.units), options.style.width),
         table_block("Cure by zone, worst first: " + verdict.coating_title, verdict_table(verdict, options.units), options),
         list_text("How sure", certainty_sentences(verdict, options.units), options),
         list_text("Heating rate", warning_sentences(verdict, options.units), options),
         table_block("Heat-sensitive items, worst first", item_table(verdict, options.units), options),
         list_text("Degree of cure by a rate law; it changes no word", conversion_sentences(verdict, options.units), options),
         list_text("Assumed", verdict_sentences(verdict), options)});
}

std::string comparison_text(const tune::Comparison& comparison, const TextOptions& options) {
    const Table table = comparison_table(comparison, options.units);
    return joined_blocks(
        {table_block("Predicted against logged (predicted minus logged; lag: the log runs behind)", table, options),
         list(unmatched_sentences(comparison), options)});
}

std::string paragraph_text(const std::string& text, const TextOptions& options) {
    return paragraph(in_degrees_of(text, options.units), options.style.width);
}

std::string cautions_text(const TextOptions& options) {
    std::vector<std::string> sentences;
    for (const Caution& caution : cautions())
        sentences.push_back(std::string(caution.subject) + ": " + std::string(caution.text));
    return list_text("Cautions", sentences, options);
}

std::string joined_blocks(std::initializer_list<std::string> blocks) {
    std::string out;
    for (const std::string& block : blocks) {
        if (block.empty()) continue;
        if (!out.empty()) out += '\n';
        out += block;
    }
    return out;
}

std::string minute_text(const std::string& stamp) {
    return stamp.size() >= 16 ? stamp.substr(0, 10) + " " + stamp.substr(11, 5) : stamp;
}

}  // namespace bakewright::report
