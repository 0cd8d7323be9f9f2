// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/book_text.hpp"

#include <fmt/core.h>

#include <cmath>

#include "bakewright/report/plain_text.hpp"

namespace bakewright::report {
namespace {

std::string id_text(book::BakeId id) { return fmt::format("{}", static_cast<std::int64_t>(id)); }

std::string plural(std::uint64_t count, const char* one, const char* many) {
    return fmt::format("{} {}", count, count == 1 ? one : many);
}

Table trace_table(const std::vector<book::TraceSummary>& traces, const Units& units) {
    const std::string symbol(temperature_symbol(units));
    Table table({{"trace", Align::left, true},
                 {"what"},
                 {"samples", Align::right},
                 {"from\nmin", Align::right},
                 {"to\nmin", Align::right},
                 {"least\n" + symbol, Align::right},
                 {"mean\n" + symbol, Align::right},
                 {"most\n" + symbol, Align::right}});
    const auto number = [](double value) { return std::isfinite(value) ? fmt::format("{:.1f}", value) : std::string("n/a"); };
    for (const book::TraceSummary& trace : traces)
        table.add({trace.name, std::string(trace_role_name(trace.role)), fmt::format("{}", trace.sample_count),
                   number(trace.first_time_s / kSecondPerMinute), number(trace.last_time_s / kSecondPerMinute),
                   number(temperature_in(trace.min_temperature_k, units)),
                   number(temperature_in(trace.mean_temperature_k, units)),
                   number(temperature_in(trace.max_temperature_k, units))});
    return table;
}

}  // namespace

std::string bake_list_text(const std::vector<book::BakeSummary>& bakes, std::size_t count, const TextOptions& options) {
    if (bakes.empty()) return "the book holds no such bake\n";
    Table table({{"bake", Align::right},
                 {"uid"},
                 {"kind"},
                 {"kept (UTC)"},
                 {"shell", Align::left, true},
                 {"length", Align::right},
                 {"with", Align::right},
                 {"title", Align::left, true}});
    for (const book::BakeSummary& bake : bakes)
        table.add({id_text(bake.id), bake.uid.substr(0, 8), std::string(book::bake_kind_name(bake.kind)),
                   minute_text(bake.created_at), bake.shell, format_duration(bake.end_s),
                   bake.paired_bake ? id_text(*bake.paired_bake) : "", bake.title});
    std::string text = table.text(options.style);
    if (count > bakes.size()) text += fmt::format("{} of {} bakes\n", bakes.size(), count);
    return text;
}

std::string bake_text(const book::Bake& bake, const std::vector<book::TraceSummary>& traces, const TextOptions& options) {
    std::string text = fmt::format("bake {}, {}: {}\n", id_text(bake.id), book::bake_kind_name(bake.kind), one_line(bake.title));
    text += fmt::format("kept {} (UTC) by bakewright {}, uid {}\n", bake.created_at, one_line(bake.program_version), bake.uid);
    if (!bake.started_at.empty()) text += fmt::format("started {}\n", one_line(bake.started_at));
    if (bake.paired_bake) text += fmt::format("with bake {}\n", id_text(*bake.paired_bake));
    for (const book::DocumentSummary& document : bake.documents)
        text += fmt::format("{:<8} {} ({}), sha256 {}\n", document.kind, one_line(document.name), one_line(document.title),
                            document.sha256.substr(0, 16));
    for (const book::BakeLog& log : bake.logs)
        text += fmt::format("log      {}, sha256 {}, read with {}\n", one_line(log.original_name), log.sha256.substr(0, 16),
                            one_line(log.reading_options_json));
    text += fmt::format("asked    {}\n", one_line(bake.options_json));
    if (bake.replaced)
        text += fmt::format("REPLACED this is an earlier reading of bake {}: {} by {}, {}\n", id_text(bake.replaced->of),
                            minute_text(bake.replaced->replaced_at), one_line(bake.replaced->replaced_by),
                            one_line(bake.replaced->why));
    for (const book::EarlierReading& reading : bake.earlier_readings)
        text += fmt::format("earlier  read otherwise as bake {}, replaced {} (UTC) by {}: {}\n", id_text(reading.bake),
                            minute_text(reading.replaced_at), one_line(reading.replaced_by), one_line(reading.why));
    if (!bake.note.empty()) text += fmt::format("note     {}\n", one_line(bake.note));
    return text + "\n" + trace_table(traces, options.units).text(options.style);
}

std::string verify_text(const book::VerifyReport& report) {
    std::string text;
    for (const std::string& problem : report.problems) text += one_line(problem) + "\n";
    return text + fmt::format("{}: {}, {} with {}, {}, {}\n", report.sound() ? "sound" : "DAMAGED",
                              plural(report.bakes, "bake", "bakes"), plural(report.traces, "trace", "traces"),
                              plural(report.samples, "sample", "samples"), plural(report.documents, "profile", "profiles"),
                              plural(report.raw_files, "probe file", "probe files"));
}

std::string since_text(const std::optional<book::SinceDigest>& since) {
    if (!since) return "no entry of this book's journal has that digest: it was printed from another book\n";
    std::string text;
    for (const std::string& changed : since->changed) text += one_line(changed) + "\n";
    return text + fmt::format("printed {} (UTC): {}; added since: {}\n", minute_text(since->written_at),
                              since->changed.empty() ? "everything the book held then is unchanged"
                                                     : plural(since->changed.size(), "thing was changed", "things were changed"),
                              since->added);
}

std::string merge_text(const book::MergeReport& report) {
    std::string text =
        fmt::format("brought in {}, {}, {}, {}, {} of a history; {} known already\n", plural(report.bakes, "bake", "bakes"),
                    plural(report.documents, "profile", "profiles"), plural(report.raw_files, "probe file", "probe files"),
                    plural(report.coats, "coat", "coats"), plural(report.history_bakes, "entry", "entries"),
                    report.known_bakes == 1 ? "1 bake was" : fmt::format("{} bakes were", report.known_bakes));
    if (report.hand_notes > 0) text += fmt::format("and {} by hand\n", plural(report.hand_notes, "note", "notes"));
    for (const std::string& conflict : report.conflicts) text += "- " + one_line(conflict) + "\n";
    return text;
}

}  // namespace bakewright::report
