#include "bakewright/report/json_commands.hpp"

#include "json_records.hpp"

namespace bakewright::report {
namespace {

Json texts(const std::vector<std::string>& values) { return Json(values); }

Json json_of(const Problem& problem) {
    return {{"file", problem.file}, {"line", problem.line}, {"key", problem.key}, {"message", problem.message}};
}

Json check_json(const profile::CheckReport& report) {
    Json problems = Json::array();
    for (const Problem& problem : report.problems) problems.push_back(json_of(problem));
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

std::string to_json_text(const std::vector<profile::CheckReport>& reports, const JsonOptions& options) {
    return document_text("bakewright.check", {{"profiles", json_list(reports, check_json)}}, options);
}

std::string to_json_text(const probe::LogReading& reading, const probe::MappingResult& mapping, const JsonOptions& options) {
    Json matched = Json::array();
    for (const probe::ChannelMatch& match : mapping.matched)
        matched.push_back({{"channel", match.channel},
                           {"name", match.name},
                           {"role", std::string(trace_role_name(match.role))},
                           {"how", match.how}});
    Json faults = Json::array();
    for (const probe::LogFault& fault : reading.faults)
        faults.push_back({{"message", fault.message}, {"count", fault.count}, {"lines", fault.lines}});
    return document_text("bakewright.log",
                         {{"file", reading.file},
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
                          {"faults", std::move(faults)}},
                         options);
}

std::string to_json_text(const std::vector<book::BakeSummary>& bakes, const JsonOptions& options) {
    return document_text("bakewright.bakes", {{"bakes", json_list(bakes, bake_json)}}, options);
}

std::string to_json_text(const book::Bake& bake, const std::vector<book::TraceSummary>& traces, const JsonOptions& options) {
    Json logs = Json::array();
    for (const book::BakeLog& log : bake.logs)
        logs.push_back({{"name", log.original_name},
                        {"sha256", log.sha256},
                        {"reading_options", Json::parse(log.reading_options_json, nullptr, false)}});
    return document_text("bakewright.bake",
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
                          {"traces", json_list(traces, trace_json)}},
                         options);
}

std::string to_json_text(const book::VerifyReport& report, const JsonOptions& options) {
    return document_text("bakewright.book-check",
                         {{"sound", report.sound()},
                          {"bakes", report.bakes},
                          {"traces", report.traces},
                          {"samples", report.samples},
                          {"documents", report.documents},
                          {"raw_files", report.raw_files},
                          {"problems", texts(report.problems)}},
                         options);
}

std::string to_json_text(const std::optional<book::SinceDigest>& since, const JsonOptions& options) {
    return document_text("bakewright.book-since",
                         {{"known", since.has_value()},
                          {"printed_at", since ? Json(since->written_at) : Json(nullptr)},
                          {"changed", since ? texts(since->changed) : Json::array()},
                          {"added", since ? since->added : 0}},
                         options);
}

std::string to_json_text(const tune::Comparison& comparison, const std::vector<JudgedBake>& verdicts,
                         const JsonOptions& options) {
    Json fields = fields_of(comparison);
    Json list = Json::array();
    for (const JudgedBake& judged : verdicts) {
        Json entry = {{"label", judged.label}};
        entry.update(fields_of(judged.verdict));
        list.push_back(std::move(entry));
    }
    fields["verdicts"] = std::move(list);
    return document_text("bakewright.comparison", fields, options);
}

std::string json_object(const JsonFields& fields) {
    Json object = Json::object();
    for (const auto& [name, value] : fields) {
        Json entry = std::visit([](const auto& held) { return Json(held); }, value);
        if (!object.contains(name))
            object[name] = std::move(entry);
        else if (object[name].is_array())
            object[name].push_back(std::move(entry));
        else
            object[name] = Json::array({object[name], std::move(entry)});
    }
    return dump(object, -1);
}

std::string with_bake_number(const std::string& document, std::int64_t number) {
    const Json read = Json::parse(document);
    Json json = Json::object();
    for (const auto& [key, value] : read.items()) {
        json[key] = value;
        if (key == "format_version") json["bake"] = number > 0 ? Json(number) : Json(nullptr);
    }
    return dump(json, 2) + '\n';
}

std::string with_probes(const std::string& document, const probe::ProbeSet& set, const probe::ProbeUse& use) {
    Json records = Json::array();
    for (const probe::ProbeRecord& record : set.probes)
        records.push_back(
            {{"channel", record.channel},
             {"id", record.id},
             {"type", std::string(probe::thermocouple_name(record.type))},
             {"class", record.tolerance ? Json(std::string(probe::tolerance_class_name(*record.tolerance))) : Json(nullptr)},
             {"attachment", std::string(probe::attachment_name(record.attachment))},
             {"air_share", record.air_share},
             {"calibrated_on", record.calibrated_on},
             {"due_on", record.due_on}});
    Json json = Json::parse(document);
    json["probes"] = {{"title", set.title},
                      {"records", std::move(records)},
                      {"corrected", texts(use.corrected)},
                      {"remarks", texts(use.remarks)}};
    return dump(json, 2) + '\n';
}

std::string with_second_log(const std::string& document, const probe::LogReading& second, const probe::MergedLogs& merged) {
    const probe::LogAlignment& found = merged.alignment;
    Json renamed = Json::array();
    for (const auto& [old_name, new_name] : merged.renamed) renamed.push_back({{"channel", old_name}, {"name", new_name}});
    const auto if_aligned = [&](double value) { return found.is_given ? Json(nullptr) : number_or_null(value); };
    Json json = Json::parse(document);
    json["second"] = Json::parse(to_json_text(second, probe::MappingResult{}));
    json["merge"] = {{"shift_s", found.shift_s},
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
    return dump(json, 2) + '\n';
}

}  // namespace bakewright::report
