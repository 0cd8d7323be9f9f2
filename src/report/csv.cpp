// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <iterator>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/report/plain_text.hpp"
#include "utf8.hpp"

namespace bakewright::report {
namespace {

bool starts_formula(std::string_view name) {
    const std::size_t first = name.find_first_not_of(' ');
    if (first == std::string_view::npos) return false;
    std::size_t at = first;
    constexpr std::u32string_view kStarters = U"=+-@\uFF1D\uFF0B\uFF0D\uFF20";
    return kStarters.find(next_code_point(name, at)) != std::u32string_view::npos;
}

}  // namespace

std::string csv_field(std::string text) {
    if (starts_formula(text)) text.insert(0, 1, '\'');
    if (text.find_first_of(",;\"\r\n") == std::string::npos) return text;
    std::string quoted = "\"";
    for (const char letter : text) quoted.append(letter == '"' ? 2 : 1, letter);
    return quoted + '"';
}

namespace {

std::vector<double> all_times_s(const TraceSet& traces) {
    std::vector<double> times;
    for (const Trace& trace : traces.traces) times.insert(times.end(), trace.time_s.begin(), trace.time_s.end());
    std::sort(times.begin(), times.end());
    times.erase(std::unique(times.begin(), times.end()), times.end());
    return times;
}

std::string temperature_field(const Trace& trace, std::size_t i, const CsvOptions& options) {
    const double temperature_k = trace.temperature_k[i];
    if (!std::isfinite(temperature_k) || (!options.flagged_samples && !trace.usable(i))) return {};
    return options.exact ? fmt::format("{}", temperature_k) : fmt::format("{:.2f}", temperature_in(temperature_k, options.units));
}

std::string separator(const CsvOptions& options) { return options.semicolons ? ";" : ","; }

std::string decimals(std::string number, const CsvOptions& options) {
    if (options.semicolons) std::replace(number.begin(), number.end(), '.', ',');
    return number;
}

std::string time_field(double time_s, bool exact) {
    if (exact) return fmt::format("{}", time_s);
    std::string text = fmt::format("{:.6f}", time_s);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text == "-0" ? "0" : text;
}

}  // namespace

std::string traces_csv(const TraceSet& traces, const CsvOptions& options) {
    std::vector<std::string> names;
    for (const Trace& trace : traces.traces) names.push_back(trace.name);
    return csv_heading(names, options) + csv_rows(traces, options);
}

std::string csv_heading(const std::vector<std::string>& names, const CsvOptions& options) {
    const Units units = options.exact ? Units{.temperature = TemperatureUnit::kelvin} : options.units;
    std::string out = options.byte_order_mark ? "\xEF\xBB\xBF" : "";
    out += "time [s]";
    for (const std::string& name : names)
        out += separator(options) + csv_field(fmt::format("{} [{}]", one_line(name), temperature_symbol(units)));
    return out + "\r\n";
}

std::string csv_rows(const TraceSet& traces, const CsvOptions& options) {
    traces.ensure_well_formed();
    std::string out;
    std::vector<std::size_t> next(traces.traces.size(), 0);
    for (const double time_s : all_times_s(traces)) {
        out += decimals(time_field(time_s, options.exact), options);
        for (std::size_t i = 0; i < next.size(); ++i) {
            const Trace& trace = traces.traces[i];
            out += separator(options);
            if (next[i] < trace.size() && trace.time_s[next[i]] == time_s)
                out += decimals(temperature_field(trace, next[i]++, options), options);
        }
        out += "\r\n";
    }
    return out;
}

std::string clock_time(std::string_view started_at, double time_s) {
    using namespace std::chrono;
    constexpr std::string_view kForm = "dddd-dd-ddTdd:dd:dd";
    const bool is_moment = started_at.size() >= kForm.size() && std::isfinite(time_s) && std::abs(time_s) < 1e10 &&
                           std::equal(kForm.begin(), kForm.end(), started_at.begin(),
                                      [](char form, char c) { return form == 'd' ? c >= '0' && c <= '9' : form == c; });
    if (!is_moment) return {};
    const auto number = [&](std::size_t at, std::size_t count) {
        int value = 0;
        for (const char c : started_at.substr(at, count)) value = 10 * value + (c - '0');
        return value;
    };
    const year_month_day day{year(number(0, 4)), month(static_cast<unsigned>(number(5, 2))),
                             std::chrono::day(static_cast<unsigned>(number(8, 2)))};
    if (!day.ok()) return {};
    std::string_view rest = started_at.substr(kForm.size());
    double fraction_s = 0.0;
    if (rest.starts_with('.')) {
        const std::size_t end = std::min(rest.find_first_not_of("0123456789", 1), rest.size());
        fraction_s = std::strtod(("0" + std::string(rest.substr(0, end))).c_str(), nullptr);
        rest.remove_prefix(end);
    }
    const auto moment = sys_days(day) + hours(number(11, 2)) + minutes(number(14, 2)) + seconds(number(17, 2)) +
                        milliseconds(std::llround((fraction_s + time_s) * 1000.0));
    const auto date = floor<days>(moment);
    const year_month_day then{date};
    const hh_mm_ss clock{floor<milliseconds>(moment - date)};
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:03}{}", static_cast<int>(then.year()),
                       static_cast<unsigned>(then.month()), static_cast<unsigned>(then.day()), clock.hours().count(),
                       clock.minutes().count(), clock.seconds().count(), clock.subseconds().count(), rest);
}

std::string samples_csv(const Trace& trace, std::string_view bake_uid, std::string_view started_at) {
    trace.ensure_well_formed();
    const std::string head = fmt::format("{},{},{},", bake_uid, csv_field(one_line(trace.name)), trace_role_name(trace.role));
    std::string out;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        const SampleQuality quality = trace.quality.empty() ? SampleQuality::good : trace.quality[i];
        out += head;
        fmt::format_to(std::back_inserter(out), "{},", trace.time_s[i]);
        if (std::isfinite(trace.temperature_k[i])) fmt::format_to(std::back_inserter(out), "{}", trace.temperature_k[i]);
        fmt::format_to(std::back_inserter(out), ",{},{}\r\n", sample_quality_name(quality),
                       clock_time(started_at, trace.time_s[i]));
    }
    return out;
}

}  // namespace bakewright::report
