// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/words.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/shell_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {

namespace {

Json texts(const std::vector<std::string>& values) { return Json(values); }

Json problem_json(const Problem& problem) {
    return {{"file", problem.file}, {"line", problem.line}, {"key", problem.key}, {"message", problem.message}};
}

Json check_json(const profile::CheckReport& report) {
    Json problems = Json::array();
    for (const Problem& problem : report.problems) problems.push_back(problem_json(problem));
    return {{"file", report.file},
            {"kind", report.kind ? Json(std::string(profile::kind_name(*report.kind))) : Json(nullptr)},
            {"title", report.title},
            {"good", report.good()},
            {"problems", std::move(problems)},
            {"notes", texts(report.notes)}};
}

Json channel_json(const probe::LogChannel& channel) {
    return {{"name", channel.name},
            {"heading", channel.heading},
            {"column", channel.column},
            {"quantity", std::string(probe::quantity_name(channel.quantity))},
            {"unit", channel.unit},
            {"found", channel.found},
            {"conversion", channel.conversion},
            {"numbers", channel.numbers},
            {"missing", channel.missing},
            {"open_circuit", channel.open_circuit},
            {"out_of_range", channel.out_of_range},
            {"spikes", channel.spikes},
            {"stuck", channel.stuck},
            {"clipped", channel.clipped},
            {"longest_gap_s", channel.longest_gap_s},
            {"longest_gap_from_s", channel.longest_gap_from_s}};
}

Json bake_json(const book::BakeSummary& bake) {
    return {{"bake", static_cast<std::int64_t>(bake.id)},
            {"uid", bake.uid},
            {"kind", std::string(book::bake_kind_name(bake.kind))},
            {"title", bake.title},
            {"created_at", bake.created_at},
            {"started_at", bake.started_at},
            {"shell", bake.shell},
            {"booth", bake.booth},
            {"cycle", bake.cycle},
            {"coating", bake.coating},
            {"log", bake.log_name},
            {"paired_bake", bake.paired_bake ? Json(static_cast<std::int64_t>(*bake.paired_bake)) : Json(nullptr)},
            {"traces", bake.trace_count},
            {"end_s", bake.end_s}};
}

Json document_json(const book::DocumentSummary& document) {
    return {{"kind", document.kind}, {"name", document.name}, {"title", document.title}, {"sha256", document.sha256}};
}

Json reading_json(const book::EarlierReading& reading) {
    return {{"bake", static_cast<std::int64_t>(reading.bake)},
            {"of", static_cast<std::int64_t>(reading.of)},
            {"replaced_at", reading.replaced_at},
            {"replaced_by", reading.replaced_by},
            {"why", reading.why}};
}

Json trace_json(const book::TraceSummary& trace) {
    return {{"name", trace.name},
            {"role", std::string(trace_role_name(trace.role))},
            {"samples", trace.sample_count},
            {"usable_samples", trace.usable_count},
            {"first_time_s", number_or_null(trace.first_time_s)},
            {"last_time_s", number_or_null(trace.last_time_s)},
            {"min_temperature_k", number_or_null(trace.min_temperature_k)},
            {"max_temperature_k", number_or_null(trace.max_temperature_k)},
            {"mean_temperature_k", number_or_null(trace.mean_temperature_k)}};
}

}  // namespace

Json document_of(const std::vector<profile::CheckReport>& reports) {
    return document("bakewright.check", {{"profiles", json_list(reports, check_json)}});
}

Json document_of(const probe::LogReading& reading, const probe::MappingResult& mapping) {
    Json matched = Json::array();
    for (const probe::ChannelMatch& match : mapping.matched)
        matched.push_back({{"channel", match.channel},
                           {"name", match.name},
                           {"role", std::string(trace_role_name(match.role))},
                           {"how", match.how}});
    Json faults = Json::array();
    for (const probe::LogFault& fault : reading.faults)
        faults.push_back({{"message", fault.message}, {"count", fault.count}, {"lines", fault.lines}});
    Json notes = Json::array();
    for (const probe::LogNote& note : reading.notes)
        notes.push_back({{"line", note.line}, {"time", note.time}, {"channel", note.channel}, {"text", note.text}});
    return document("bakewright.log", {{"file", reading.file},
                                       {"encoding", reading.encoding},
                                       {"delimiter", std::string(probe::delimiter_name(reading.delimiter))},
                                       {"decimal_mark", std::string(1, reading.decimal_mark)},
                                       {"preamble", texts(reading.preamble)},
                                       {"heading_line", reading.heading_line},
                                       {"second_heading_line", reading.second_heading_line},
                                       {"units_line", reading.units_line},
                                       {"name_heading", reading.name_heading},
                                       {"value_heading", reading.value_heading},
                                       {"first_data_line", reading.first_data_line},
                                       {"time_heading", reading.time_heading},
                                       {"time_form", std::string(probe::time_form_name(reading.time_form))},
                                       {"time_found", reading.time_found},
                                       {"channels", json_list(reading.channels, channel_json)},
                                       {"rows_read", reading.rows_read},
                                       {"rows_kept", reading.rows_kept},
                                       {"first_time_s", reading.first_time_s},
                                       {"last_time_s", reading.last_time_s},
                                       {"longest_gap_s", reading.longest_gap_s},
                                       {"matched", std::move(matched)},
                                       {"unmatched", texts(mapping.unmatched)},
                                       {"remarks", texts(reading.remarks)},
                                       {"mapping_remarks", texts(mapping.remarks)},
                                       {"faults", std::move(faults)},
                                       {"notes", std::move(notes)}});
}

Json document_of(const std::vector<book::BakeSummary>& bakes) {
    return document("bakewright.bakes", {{"bakes", json_list(bakes, bake_json)}});
}

Json document_of(const book::Bake& bake, const std::vector<book::TraceSummary>& traces) {
    Json logs = Json::array();
    for (const book::BakeLog& log : bake.logs)
        logs.push_back({{"name", log.original_name},
                        {"sha256", log.sha256},
                        {"reading_options", Json::parse(log.reading_options_json, nullptr, false)}});
    return document("bakewright.bake",
                    {{"bake", static_cast<std::int64_t>(bake.id)},
                     {"uid", bake.uid},
                     {"kind", std::string(book::bake_kind_name(bake.kind))},
                     {"title", bake.title},
                     {"created_at", bake.created_at},
                     {"started_at", bake.started_at},
                     {"program_version", bake.program_version},
                     {"options", Json::parse(bake.options_json, nullptr, false)},
                     {"note", bake.note},
                     {"replaced", bake.replaced ? reading_json(*bake.replaced) : Json(nullptr)},
                     {"earlier_readings", json_list(bake.earlier_readings, reading_json)},
                     {"paired_bake", bake.paired_bake ? Json(static_cast<std::int64_t>(*bake.paired_bake)) : Json(nullptr)},
                     {"documents", json_list(bake.documents, document_json)},
                     {"logs", std::move(logs)},
                     {"traces", json_list(traces, trace_json)}});
}

Json document_of(const book::VerifyReport& report) {
    return document("bakewright.book-check", {{"sound", report.sound()},
                                              {"bakes", report.bakes},
                                              {"traces", report.traces},
                                              {"samples", report.samples},
                                              {"documents", report.documents},
                                              {"raw_files", report.raw_files},
                                              {"problems", texts(report.problems)}});
}

Json document_of(const std::optional<book::SinceDigest>& since) {
    return document("bakewright.book-since", {{"known", since.has_value()},
                                              {"printed_at", since ? Json(since->written_at) : Json(nullptr)},
                                              {"changed", since ? texts(since->changed) : Json::array()},
                                              {"added", since ? since->added : 0}});
}

Json document_of(const tune::Comparison& comparison, const std::vector<JudgedBake>& verdicts) {
    Json fields = fields_of(comparison);
    Json list = Json::array();
    for (const JudgedBake& judged : verdicts) {
        Json entry = {{"label", judged.label}};
        entry.update(fields_of(judged.verdict));
        list.push_back(std::move(entry));
    }
    fields["verdicts"] = std::move(list);
    return document("bakewright.comparison", fields);
}

Json json_of(const probe::ProbeSet& set, const probe::ProbeUse& use) {
    Json records = Json::array();
    for (const probe::ProbeRecord& record : set.probes)
        records.push_back({{"channel", record.channel},
                           {"id", record.id},
                           {"type", std::string(word_of(record.type))},
                           {"class", record.tolerance ? Json(std::string(word_of(*record.tolerance))) : Json(nullptr)},
                           {"attachment", std::string(word_of(record.attachment))},
                           {"air_share", record.air_share},
                           {"calibrated_on", record.calibrated_on},
                           {"due_on", record.due_on}});
    return {{"title", set.title},
            {"records", std::move(records)},
            {"corrected", texts(use.corrected)},
            {"remarks", texts(use.remarks)}};
}

Json json_of(const probe::MergedLogs& merged) {
    const probe::LogAlignment& found = merged.alignment;
    Json renamed = Json::array();
    for (const auto& [old_name, new_name] : merged.renamed) renamed.push_back({{"channel", old_name}, {"name", new_name}});
    const auto if_aligned = [&](double value) { return found.is_given ? Json(nullptr) : number_or_null(value); };
    return {{"shift_s", found.shift_s},
            {"shift_given", found.is_given},
            {"clocks_compared", found.clocks_compared},
            {"clock_offset_s", found.clock_offset_s},
            {"first_air", found.first_air},
            {"second_air", found.second_air},
            {"overlap_s", if_aligned(found.overlap_s)},
            {"correlation", if_aligned(found.correlation)},
            {"difference_k", if_aligned(found.difference_k)},
            {"half_width_s", if_aligned(found.half_width_s)},
            {"drift_s_per_h", found.drift_s_per_h ? Json(*found.drift_s_per_h) : Json(nullptr)},
            {"renamed", std::move(renamed)}};
}

namespace {

std::string_view source_name(cure::TraceSource source) {
    if (source == cure::TraceSource::log) return "log";
    return source == cure::TraceSource::prediction ? "prediction" : "nothing";
}

Json bake_or_null(const cure::ShellVerdict& verdict, const std::optional<std::size_t>& bake) {
    return bake ? Json(verdict.bake_names[*bake]) : Json(nullptr);
}

Json share_json(const cure::ShellVerdict& verdict, const cure::BakeShare& share) {
    return {{"bake", verdict.bake_names[share.bake]},
            {"source", source_name(share.source)},
            {"dose", {{"at_low", share.dose.at_low}, {"at_value", share.dose.at_value}, {"at_high", share.dose.at_high}}},
            {"peak_temperature_k", share.peak_temperature_k > 0.0 ? Json(share.peak_temperature_k) : Json(nullptr)},
            {"word_after", cure::word_text(share.word_after)}};
}

Json coat_json(const cure::ShellVerdict& verdict, const cure::CoatVerdict& coat) {
    Json shares = Json::array();
    for (const cure::BakeShare& share : coat.shares) shares.push_back(share_json(verdict, share));
    return {{"coat", coat.coat},
            {"zone", coat.total.zone},
            {"word", cure::word_text(coat.total.word)},
            {"reason", coat.reason},
            {"cured_in", bake_or_null(verdict, coat.cured_in)},
            {"too_much_since", bake_or_null(verdict, coat.over_since)},
            {"peak_in", bake_or_null(verdict, coat.peak_in)},
            {"covered_before_cured_by", coat.covered_by.empty() ? Json(nullptr) : Json(coat.covered_by)},
            {"bakes", std::move(shares)},
            {"readings", json_of(coat.total)}};
}

Json item_json(const cure::ShellVerdict& verdict, const cure::ItemHistoryVerdict& item) {
    Json aboard = Json::array();
    for (std::size_t i = 0; i < item.aboard.size(); ++i)
        aboard.push_back({{"bake", verdict.bake_names[item.aboard[i]]},
                          {"source", source_name(item.sources[i])},
                          {"word_after", cure::word_text(item.word_after[i])}});
    return {{"item", item.total.item},
            {"word", cure::word_text(item.total.word)},
            {"reason", item.reason},
            {"aboard", std::move(aboard)},
            {"passed_in", bake_or_null(verdict, item.passed_in)},
            {"remove_before", bake_or_null(verdict, item.remove_before)},
            {"readings", json_of(item.total)}};
}

Json recoat_json(const cure::RecoatWarning& warning) {
    const bool soon = warning.kind == cure::RecoatWarningKind::recoated_too_soon;
    return {{"warning", soon ? "recoated too soon" : "recoated too late"},
            {"coat", warning.coat},
            {"next_coat", warning.next_coat},
            {"zones", warning.zones},
            {"found_s", warning.found_s},
            {"accepted_s", warning.accepted_s},
            {"reason", warning.reason}};
}

Json heat_json(const cure::CoatHeatWarning& warning) {
    return {{"warning", cure::heat_warning_text(warning.warning.kind)},
            {"coat", warning.coat},
            {"bake", warning.bake},
            {"found_s", warning.warning.found},
            {"accepted_s", warning.warning.accepted},
            {"reason", warning.reason}};
}

}  // namespace

Json document_of(const cure::ShellVerdict& verdict) {
    Json coats = Json::array(), items = Json::array(), recoats = Json::array(), heat = Json::array();
    for (const cure::CoatVerdict& coat : verdict.coats) coats.push_back(coat_json(verdict, coat));
    for (const cure::ItemHistoryVerdict& item : verdict.items) items.push_back(item_json(verdict, item));
    for (const cure::RecoatWarning& warning : verdict.recoats) recoats.push_back(recoat_json(warning));
    for (const cure::CoatHeatWarning& warning : verdict.heat_warnings) heat.push_back(heat_json(warning));
    return document("bakewright.shell-verdict", {{"worst", cure::word_text(verdict.worst())},
                                                 {"bakes", verdict.bake_names},
                                                 {"coats", std::move(coats)},
                                                 {"items", std::move(items)},
                                                 {"recoat_warnings", std::move(recoats)},
                                                 {"flash_off_warnings", std::move(heat)},
                                                 {"uncertainty", verdict.uncertainty_origins},
                                                 {"questions", verdict.questions},
                                                 {"remarks", verdict.remarks}});
}

Json document_of(const std::vector<book::StoredCoat>& coats) {
    Json list = Json::array();
    for (const book::StoredCoat& coat : coats)
        list.push_back({{"coat", static_cast<std::int64_t>(coat.id)},
                        {"shell", coat.shell},
                        {"name", coat.name},
                        {"applied_at", coat.applied_at},
                        {"over", coat.over},
                        {"sanded_at", coat.sanded_at ? Json(*coat.sanded_at) : Json(nullptr)},
                        {"zones", coat.zones},
                        {"note", coat.note}});
    return document("bakewright.coats", {{"coats", std::move(list)}});
}

Json document_of(const std::vector<book::Vehicle>& vehicles) {
    Json list = Json::array();
    for (const book::Vehicle& vehicle : vehicles)
        list.push_back({{"uid", vehicle.uid},
                        {"history", vehicle.shell},
                        {"job_number", vehicle.job_number},
                        {"maker_number", vehicle.maker_number}});
    return document("bakewright.vehicles", {{"vehicles", std::move(list)}});
}

Json document_of(const std::vector<book::HistoryEntry>& entries) {
    Json list = Json::array();
    for (const book::HistoryEntry& entry : entries)
        list.push_back({{"bake", static_cast<std::int64_t>(entry.bake)},
                        {"shell", entry.shell},
                        {"began_at", entry.began_at},
                        {"zones", entry.zones},
                        {"items_aboard", entry.items}});
    return document("bakewright.history", {{"bakes", std::move(list)}});
}

Json json_of(const HandRow& row) {
    const book::HandNote& note = row.note;
    const bool is_temperature = note.kind == book::HandNoteKind::temperature,
               is_film = note.kind == book::HandNoteKind::film_build;
    const auto if_of = [&](bool is_of, const std::optional<double>& value) {
        return is_of ? number_or_null(value) : Json(nullptr);
    };
    return {{"uid", note.uid},
            {"bake", static_cast<std::int64_t>(note.bake)},
            {"zone", note.zone},
            {"kind", std::string(word_of(note.kind))},
            {"how", note.method},
            {"at_s", if_of(is_temperature, note.time_s)},
            {"after_bake_s", if_of(note.kind == book::HandNoteKind::cure_test, note.time_s)},
            {"temperature_k", if_of(is_temperature, note.value)},
            {"standard_uncertainty_k", if_of(is_temperature, note.uncertainty)},
            {"logged_k", number_or_null(row.logged_k)},
            {"film_build_m", if_of(is_film, note.value)},
            {"sheet_least_m", number_or_null(row.sheet_least_m)},
            {"sheet_most_m", number_or_null(row.sheet_most_m)},
            {"found", note.found ? Json(std::string(word_of(*note.found))) : Json(nullptr)},
            {"word", row.word ? Json(std::string(cure::word_text(*row.word))) : Json(nullptr)},
            {"is_doubt", row.is_doubt},
            {"noted_by", note.noted_by},
            {"noted_at", note.noted_at},
            {"text", note.note}};
}

namespace {

Json soft_json(const SoftCount& count) {
    return {{"coating", count.coating},
            {"word", std::string(cure::word_text(count.word))},
            {"tested", count.tested},
            {"soft", count.soft},
            {"most_share", count.most_share}};
}

}  // namespace

Json document_of(const std::vector<HandRow>& rows) { return document("bakewright.hand-notes", {{"notes", json_list(rows)}}); }

Json document_of(const std::vector<SoftCount>& counts) {
    return document("bakewright.cure-tests", {{"counts", json_list(counts, soft_json)}});
}

}  // namespace bakewright::report
