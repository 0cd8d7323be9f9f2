// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/record_text.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

/// What stays the same for so long is worth a look: frozen, or no longer connected. Common practice, no source.
constexpr double kSameS = 600.0;

std::string ago(double seconds) { return std::isfinite(seconds) ? format_duration(std::max(0.0, std::round(seconds))) : "never"; }

/// Nothing of what went wrong with a channel is left out; "" where nothing did.
std::string remark_of(const record::ChannelStatus& channel, double now_s) {
    if (!std::isfinite(channel.latest_s)) return "no reading yet";
    const double silent_s = now_s - channel.latest_s;
    if (silent_s > std::max(3.0 * channel.interval_s, 5.0)) return "SILENT for " + ago(silent_s);
    if (channel.quality != SampleQuality::good) return std::string(sample_quality_name(channel.quality));
    if (now_s - channel.same_since_s > kSameS) return "the same for " + ago(now_s - channel.same_since_s);
    return {};
}

Table channel_table(const record::RecorderStatus& status, const TextOptions& options) {
    Table table({{"channel"},
                 {"from"},
                 {"newest\n" + std::string(temperature_symbol(options.units)), Align::right},
                 {"ago", Align::right},
                 {"", Align::left, true}});
    // What wants a look goes first: a screen may be too low for all.
    std::vector<record::ChannelStatus> channels = status.channels;
    std::ranges::stable_partition(channels,
                                  [&](const record::ChannelStatus& one) { return !remark_of(one, status.now_s).empty(); });
    for (const record::ChannelStatus& channel : channels) {
        const std::string remark = remark_of(channel, status.now_s);
        table.add({channel.channel.name, channel.channel.source,
                   std::isfinite(channel.latest_k) ? temperature_number(channel.latest_k, options.units) : "-",
                   ago(status.now_s - channel.latest_s), Cell(remark, remark.empty() ? Mark::none : Mark::strong)});
    }
    return table;
}

std::string counts_of(const record::SourceStatus& source) {
    std::string text;
    const auto count = [&](std::uint64_t number, const char* what) {
        if (number > 0) text += fmt::format("{}{} {}", text.empty() ? "" : ", ", number, what);
    };
    count(source.gaps, source.gaps == 1 ? "gap" : "gaps");
    count(source.late, "late");
    count(source.duplicates, "twice");
    count(source.lost, "LOST");
    if (source.gain_s_per_h && std::abs(*source.gain_s_per_h) >= 0.1)
        text += fmt::format("{}clock {} {:.1f} s/h", text.empty() ? "" : ", ", *source.gain_s_per_h > 0.0 ? "gains" : "loses",
                            std::abs(*source.gain_s_per_h));
    return text;
}

Table source_table(const record::RecorderStatus& status) {
    Table table({{"source"}, {"rows", Align::right}, {"so far", Align::left, true}, {"state", Align::left, true}});
    for (const record::SourceStatus& source : status.sources)
        table.add({source.name, fmt::format("{}", source.rows), counts_of(source),
                   Cell(source.what, source.is_good ? Mark::none : Mark::strong)});
    return table;
}

std::string book_sentence(const record::RecorderStatus& status) {
    std::string text = fmt::format("{} readings in the book, last written {} ago; {} not written yet, queue {} of {}.",
                                   status.kept, ago(status.since_kept_s), status.in_memory, status.waiting, status.most_waiting);
    if (!status.trouble.empty())
        text +=
            fmt::format(" THE BOOK REFUSES: {}. Readings stay in memory, room for {}.", status.trouble, status.most_in_memory);
    return text;
}

std::string head_of(const record::RecorderStatus& status, const std::string& booth) {
    const std::string which =
        status.bake ? fmt::format("as bake {}", static_cast<std::int64_t>(*status.bake)) : "no bake yet: nothing has come";
    return fmt::format("Recording '{}' {}, {}{}.", booth, which, format_duration(status.now_s),
                       status.goes_on ? ", going on where it broke off" : "");
}

}  // namespace

std::vector<std::string> recording_events(const std::vector<book::RecordingEvent>& events) {
    std::vector<std::string> lines;
    for (const book::RecordingEvent& event : events) {
        std::string who = event.source;
        if (!event.channel.empty()) who += (who.empty() ? "" : ", ") + event.channel;
        lines.push_back(one_line(fmt::format("{} {}{}{}", elapsed_text(event.time_s), who, who.empty() ? "" : ": ", event.what)));
    }
    return lines;
}

std::string recording_text(const book::Recording& recording, const TextOptions& options) {
    const std::string state = recording.sealed_at ? fmt::format("ended {} (UTC)", minute_text(*recording.sealed_at))
                                                  : "IS STILL BEING RECORDED, or broke off";
    const std::string head = one_line(fmt::format("recorded live in '{}' from {} (UTC), {}", recording.booth,
                                                  minute_text(recording.began_at), state)) +
                             "\n";
    return head + list_text("Meanwhile", recording_events(recording.events), options);
}

std::string recording_screen(const record::RecorderStatus& status, const std::string& booth, const TextOptions& options) {
    return joined_blocks(
        {paragraph_text(head_of(status, booth), options), channel_table(status, options).text(options.style),
         source_table(status).text(options.style), paragraph_text(book_sentence(status), options),
         list_text("Last", recording_events(status.events), options),
         paragraph_text("Ctrl-C ends the recording. It records and switches nothing: no safety device.", options)});
}

std::string recording_line(const record::RecorderStatus& status, const TextOptions& options) {
    std::string text = elapsed_text(status.now_s);
    for (const record::ChannelStatus& channel : status.channels) {
        const std::string remark = remark_of(channel, status.now_s);
        text += fmt::format(", {} {}{}", channel.channel.name, format_temperature(channel.latest_k, options.units),
                            remark.empty() ? "" : " (" + remark + ")");
    }
    return one_line(fmt::format("{}; {} kept{}", text, status.kept, status.trouble.empty() ? "" : "; " + status.trouble)) + "\n";
}

std::string recording_summary(const record::RecorderStatus& status, const TextOptions& options) {
    if (!status.bake) return paragraph_text("Nothing came, and nothing was kept.", options);
    std::uint64_t gaps = 0, lost = 0, late = 0;
    for (const record::SourceStatus& source : status.sources) gaps += source.gaps, lost += source.lost, late += source.late;
    const auto number = static_cast<std::int64_t>(*status.bake);
    return joined_blocks(
        {paragraph_text(fmt::format("Kept as bake {}: {} of {} channels, {} readings; {} gaps, {} late, {} lost.", number,
                                    format_duration(status.now_s), status.channels.size(), status.kept, gaps, late, lost),
                        options),
         paragraph_text(fmt::format("Next: `bakewright judge {}`.", number), options)});
}

Json recording_document(const record::RecorderStatus& status, const std::string& booth) {
    const auto number = [](double value) { return std::isfinite(value) ? Json(value) : Json(nullptr); };
    Json channels = Json::array(), sources = Json::array();
    for (const record::ChannelStatus& channel : status.channels)
        channels.push_back({{"name", channel.channel.name},
                            {"role", trace_role_name(channel.channel.role)},
                            {"source", channel.channel.source},
                            {"latest_s", number(channel.latest_s)},
                            {"temperature_k", number(channel.latest_k)},
                            {"quality", sample_quality_name(channel.quality)}});
    for (const record::SourceStatus& source : status.sources)
        sources.push_back({{"name", source.name},
                           {"good", source.is_good},
                           {"state", source.what},
                           {"rows", source.rows},
                           {"gaps", source.gaps},
                           {"late", source.late},
                           {"duplicates", source.duplicates},
                           {"lost", source.lost},
                           {"clock_gain_s_per_h", source.gain_s_per_h ? Json(*source.gain_s_per_h) : Json(nullptr)}});
    return document("bakewright.recording",
                    {{"bake", status.bake ? Json(static_cast<std::int64_t>(*status.bake)) : Json(nullptr)},
                     {"booth", booth},
                     {"time_s", status.now_s},
                     {"samples", status.kept},
                     {"not_written", status.in_memory},
                     {"trouble", status.trouble},
                     {"channels", std::move(channels)},
                     {"sources", std::move(sources)}});
}

}  // namespace bakewright::report
