#include "bakewright/report/csv.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
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
    if (text.find_first_of(",\"\r\n") == std::string::npos) return text;
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

std::string time_field(double time_s, bool exact) {
    if (exact) return fmt::format("{}", time_s);
    std::string text = fmt::format("{:.6f}", time_s);
    text.erase(text.find_last_not_of('0') + 1);
    if (text.ends_with('.')) text.pop_back();
    return text == "-0" ? "0" : text;
}

}  // namespace

std::string traces_csv(const TraceSet& traces, const CsvOptions& options) {
    traces.ensure_well_formed();
    const Units units = options.exact ? Units{.temperature = TemperatureUnit::kelvin} : options.units;
    std::string out = options.byte_order_mark ? "\xEF\xBB\xBF" : "";
    out += "time [s]";
    for (const Trace& trace : traces.traces)
        out += ',' + csv_field(fmt::format("{} [{}]", one_line(trace.name), temperature_symbol(units)));
    out += "\r\n";

    std::vector<std::size_t> next(traces.traces.size(), 0);
    for (const double time_s : all_times_s(traces)) {
        out += time_field(time_s, options.exact);
        for (std::size_t i = 0; i < next.size(); ++i) {
            const Trace& trace = traces.traces[i];
            out += ',';
            if (next[i] < trace.size() && trace.time_s[next[i]] == time_s) out += temperature_field(trace, next[i]++, options);
        }
        out += "\r\n";
    }
    return out;
}

std::string samples_csv(const Trace& trace, std::string_view bake_uid) {
    trace.ensure_well_formed();
    const std::string head = fmt::format("{},{},{},", bake_uid, csv_field(one_line(trace.name)), trace_role_name(trace.role));
    std::string out;
    for (std::size_t i = 0; i < trace.size(); ++i) {
        const SampleQuality quality = trace.quality.empty() ? SampleQuality::good : trace.quality[i];
        out += head;
        fmt::format_to(std::back_inserter(out), "{},", trace.time_s[i]);
        if (std::isfinite(trace.temperature_k[i])) fmt::format_to(std::back_inserter(out), "{}", trace.temperature_k[i]);
        fmt::format_to(std::back_inserter(out), ",{}\r\n", sample_quality_name(quality));
    }
    return out;
}

}  // namespace bakewright::report
