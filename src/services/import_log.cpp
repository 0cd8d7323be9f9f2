// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/import_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <future>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/cold_places.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/cure/condense.hpp"
#include "bakewright/probe/channel_fault.hpp"
#include "bakewright/report/estimate_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/log_text.hpp"
#include "bakewright/services/entered.hpp"

namespace bakewright::services {

std::vector<probe::MappingTarget> mapping_targets(const bake::Shell& shell) {
    std::vector<probe::MappingTarget> targets;
    for (const bake::Zone& zone : shell.zones)
        targets.push_back({zone.name, zone.role == bake::ZoneRole::test_panel ? TraceRole::test_panel : TraceRole::zone});
    for (const bake::ColdPlace& place : bake::cold_places(shell)) targets.push_back({place.name, TraceRole::zone});
    for (const bake::Cavity& cavity : shell.cavities) targets.push_back({cavity.name, TraceRole::cavity_air});
    for (const bake::Item& item : shell.items) targets.push_back({item.name, TraceRole::item});
    return targets;
}

probe::ChannelMapping mapping_to(const std::string& channel, const std::string& name, const std::optional<bake::Shell>& shell,
                                 const std::string& option) {
    if (name == "booth air") return {channel, TraceRole::booth_air, name};
    if (bake::booth_surface_of(name)) return {channel, TraceRole::booth_wall, name};
    if (!shell) return {channel, TraceRole::zone, name};
    std::vector<std::string> known{"booth air"};
    for (const std::string_view surface : words_of(bake::BoothSurface{})) known.emplace_back(surface);
    for (const probe::MappingTarget& target : mapping_targets(*shell)) {
        if (target.name == name) return {channel, target.role, name};
        known.push_back(target.name);
    }
    refuse_option(option,
                  fmt::format("'{}' is not a zone, cavity or item of shell '{}'{}", name, shell->id, did_you_mean(name, known)));
}

namespace {

/// --map COLUMN=NAME
probe::ChannelMapping mapping(const std::string& text, const std::optional<bake::Shell>& shell) {
    const auto [column, name] = assignment(text, "--map");
    return mapping_to(column, name, shell, "--map");
}

/// @param air  channel of the booth's air that is known already; may be empty
probe::MappingResult map_all(TraceSet& traces, const ImportTask& task, const std::string& air) {
    std::optional<bake::Shell> body;
    if (task.shell) body = task.shell->shell;
    std::vector<probe::ChannelMapping> given;
    for (const std::string& text : task.reading.texts("map")) given.push_back(mapping(text, body));
    const auto is_air = [](const probe::ChannelMapping& entry) { return entry.role == TraceRole::booth_air; };
    if (task.reading.has("air"))
        given.push_back({task.reading.text("air"), TraceRole::booth_air, "booth air"});
    else if (!air.empty() && std::none_of(given.begin(), given.end(), is_air))
        given.push_back({air, TraceRole::booth_air, {}});
    return probe::map_channels(traces, given, body ? mapping_targets(*body) : std::vector<probe::MappingTarget>{});
}

/// Where the shell is known, what its parts can do bounds what is a reading of them.
probe::ReadOptions options_for(const ImportTask& task, const GivenOptions& how) {
    probe::ReadOptions options = read_options(how);
    if (!task.shell) return options;
    auto& parts = options.quality.part_time_constant_s;
    for (const bake::Zone& zone : task.shell->shell.zones) parts[zone.name] = bake::shortest_time_constant_s(zone);
    for (const std::string& text : how.texts("map")) {
        const auto [column, name] = assignment(text, "--map");
        if (const bake::Zone* zone = task.shell->shell.find_zone(bake::zone_of_place(task.shell->shell, name)))
            parts[column] = bake::shortest_time_constant_s(*zone);
        else
            parts.erase(column);
    }
    return options;
}

/// Of all that is said of the first file only the answer to what neither says holds for the second.
GivenOptions options_for_second(const GivenOptions& first) {
    if (!first.has("temperature-unit")) return {};
    return GivenOptions({{"temperature-unit", first.text("temperature-unit")}});
}

ReadLog read_one(const ImportTask& task, const LogFile& file, const GivenOptions& how) {
    return {file.name, file.bytes, reading_options_json(how), probe::read_log(file.bytes, file.path, options_for(task, how)), {}};
}

/// Corrects the readings by the records of the probes.
void use_probes(ImportedLog& imported, probe::ProbeSet set) {
    for (probe::ProbeRecord& record : set.probes)
        for (const probe::ChannelMatch& match : imported.mapped.matched)
            if (match.channel == record.channel) record.channel = match.name;
    imported.probe_use = probe::apply_probes(imported.traces, set, imported.traces.started_at);
    imported.probes = std::move(set);
}

/// A log that was read page by page, under the names its channels were mapped to and corrected by the records of its probes.
class MappedSource final : public codec::PartwiseTraces {
public:
    MappedSource(std::shared_ptr<const codec::PartwiseTraces> from, const ImportedLog& imported)
        : from_(std::move(from)), outline_(imported.traces), probes_(imported.probes) {}

    [[nodiscard]] const TraceSet& outline() const override { return outline_; }
    [[nodiscard]] std::size_t size() const override { return from_->size(); }
    [[nodiscard]] Trace part(std::size_t trace, std::size_t first, std::size_t count) const override {
        TraceSet one;
        one.traces.push_back(from_->part(trace, first, count));
        one.traces[0].name = outline_.traces[trace].name;
        one.traces[0].role = outline_.traces[trace].role;
        if (probes_) static_cast<void>(probe::apply_probes(one, *probes_, outline_.started_at));
        return std::move(one.traces[0]);
    }
    [[nodiscard]] std::optional<codec::PackedPart> packed_part(std::size_t trace, std::size_t first,
                                                               std::size_t count) const override {
        return probes_ ? std::nullopt : from_->packed_part(trace, first, count);
    }

private:
    std::shared_ptr<const codec::PartwiseTraces> from_;
    TraceSet outline_;
    std::optional<probe::ProbeSet> probes_;
};

std::string hash_of(const ReadLog& read) { return read.packed ? read.packed->sha256() : book::sha256_hex(read.bytes); }

book::RawFileId keep_raw(book::Book& book, const ReadLog& read) {
    book::RawFileRepository files(book);
    return read.packed ? files.store(read.file_name, *read.packed) : files.store(read.file_name, read.bytes);
}

/// The bake that these files were imported as before, the same part of the first one; nothing where there is none.
std::optional<book::BakeId> find_known(book::Book& book, const ImportedLog& imported) {
    std::vector<std::string> hashes;
    for (const ReadLog& read : imported.files) hashes.push_back(hash_of(read));
    book::BakeRepository bakes(book);
    for (const book::BakeId id : bakes.find_by_raw_file(hashes.front())) {
        const book::Bake bake = bakes.get(id);
        const bool same_files = std::equal(bake.logs.begin(), bake.logs.end(), hashes.begin(), hashes.end(),
                                           [](const book::BakeLog& log, const std::string& hash) { return log.sha256 == hash; });
        if (same_files && same_part(bake.logs.front().reading_options_json, imported.files.front().options_json)) return id;
    }
    return std::nullopt;
}

std::vector<std::string> options_of(const GivenOptions& given) {
    std::vector<std::string> words;
    for (const auto& [name, value] : given.all()) words.push_back("--" + name + (value.empty() ? "" : " " + value));
    return words;
}

std::vector<book::DocumentId> keep_records(book::Book& book, const ImportTask& task, const ImportedLog& imported) {
    std::vector<book::DocumentId> documents;
    if (task.shell) documents.push_back(keep(book, *task.shell));
    if (task.booth) documents.push_back(keep(book, *task.booth));
    if (task.coating) documents.push_back(keep(book, *task.coating));
    if (imported.probes) documents.push_back(keep(book, *imported.probes));
    return documents;
}

std::vector<book::LogSource> keep_files(book::Book& book, const ImportedLog& imported) {
    std::vector<book::LogSource> logs;
    for (const ReadLog& read : imported.files) logs.push_back({keep_raw(book, read), read.options_json});
    return logs;
}

void store_traces(book::Book& book, book::BakeId bake, const ImportedLog& imported) {
    book::TraceRepository traces(book);
    if (imported.packed)
        traces.store(bake, *imported.packed);
    else
        traces.store(bake, imported.traces);
}

book::BakeId keep_new(book::Book& book, const ImportTask& task, const ImportedLog& imported) {
    book::NewBake bake;
    bake.kind = book::BakeKind::logged;
    bake.title = task.title.empty() ? imported.files[0].file_name : entered_text("--title", task.title);
    bake.started_at = imported.traces.started_at;
    bake.program_version = task.program_version;
    bake.documents = keep_records(book, task, imported);
    bake.paired_bake = task.of;
    bake.logs = keep_files(book, imported);
    if (imported.merged) bake.options_json = merge_json(imported.merged->alignment);
    const book::BakeId id = book::BakeRepository(book).add(bake);
    store_traces(book, id, imported);
    return id;
}

}  // namespace

namespace {

void refuse_unknown_left_out(const ImportedLog& imported, const GivenOptions& reading) {
    for (const LeftOut& one : left_out(reading))
        if (imported.traces.find(one.channel) == nullptr)
            throw InputError(
                Problem{{}, 0, "--leave-out", fmt::format("'{}' is the name of no channel of this log", one.channel)});
}

}  // namespace

ImportedLog read_log(const ImportTask& task) {
    ImportedLog imported;
    imported.files.push_back(read_one(task, task.file, task.reading));
    imported.traces = imported.files[0].log.traces;
    std::string air;
    if (task.second) {
        imported.files.push_back(read_one(task, *task.second, options_for_second(task.reading)));
        imported.merged = probe::merge_logs(imported.traces, imported.files[1].log.traces, task.merge);
        imported.traces = imported.merged->traces;
        air = imported.merged->alignment.first_air;  // both have an air channel: the first one's is the booth's
    }
    imported.mapped = map_all(imported.traces, task, air);
    refuse_unknown_left_out(imported, task.reading);
    if (task.probes) use_probes(imported, *task.probes);
    return imported;
}

ImportedLog read_paged_log(const ImportTask& task, bool keep, const Progress& progress) {
    const FileBytes file(task.file.path);
    std::future<std::shared_ptr<const book::PackedFile>> packing;
    if (keep) packing = std::async(std::launch::async, [&file] { return std::make_shared<const book::PackedFile>(file); });
    const std::shared_ptr<const probe::PagedLog> log =
        probe::PagedLog::read(file, task.file.path, options_for(task, task.reading), progress);
    ImportedLog imported;
    imported.files.push_back({task.file.name, {}, reading_options_json(task.reading), {log->reading(), {}}, {}});
    imported.traces = log->outline();
    imported.mapped = map_all(imported.traces, task, {});
    refuse_unknown_left_out(imported, task.reading);
    if (task.probes) use_probes(imported, *task.probes);
    imported.paged = std::make_shared<const MappedSource>(log, imported);
    if (keep) {
        imported.packed = std::make_shared<const book::PackedTraces>(*imported.paged);
        imported.files[0].packed = packing.get();
    }
    file.ensure_unchanged();
    return imported;
}

report::Json log_document(const ImportedLog& imported) {
    report::Json made = report::document_of(imported.files[0].log.reading, imported.mapped);
    if (imported.merged) {
        made["second"] = report::document_of(imported.files[1].log.reading, probe::MappingResult{});
        made["merge"] = report::json_of(*imported.merged);
    }
    if (imported.probes) made["probes"] = report::json_of(*imported.probes, imported.probe_use);
    return made;
}

std::string log_words(const ImportedLog& imported, const report::TextOptions& how) {
    std::string text = report::log_text(imported.files[0].log.reading, imported.mapped, how);
    if (imported.merged)
        text += "\n" + report::log_text(imported.files[1].log.reading, imported.mapped, how, imported.merged->renamed) + "\n" +
                report::merge_text(*imported.merged, how);
    if (imported.probes) text += "\n" + report::probes_text(*imported.probes, imported.probe_use, how);
    return text;
}

namespace {

/// A channel of a log that was read page by page, as a model would be held to it.
Trace means_of(const codec::PartwiseTraces& paged, std::size_t channel) {
    constexpr std::size_t kPart = std::size_t{1} << 16;
    const Trace first = paged.part(channel, 0, 1), last = paged.part(channel, paged.size() - 1, 1);
    if (paged.size() < 2) return first;
    cure::TraceCondenser condenser(first.name, first.role, first.time_s.front(), last.time_s.front());
    for (std::size_t begin = 0; begin < paged.size(); begin += kPart)
        condenser.add(paged.part(channel, begin, std::min(kPart, paged.size() - begin)));
    return condenser.take().means;
}

/// What was read, without what somebody left out, to look for channels that read something else than they are named after. Of a
/// log that was read page by page no channel where none is of the shell or booth: there is nothing to look for.
TraceSet readings_to_examine(const ImportedLog& imported) {
    TraceSet counted = imported.traces;
    if (imported.paged) {
        std::vector<Trace>& channels = counted.traces;
        const bool is_of_shell = std::any_of(channels.begin(), channels.end(), [](const Trace& one) {
            return one.role != TraceRole::unmapped && one.role != TraceRole::booth_air && one.role != TraceRole::booth_wall;
        });
        if (!is_of_shell) channels.clear();
        for (std::size_t i = 0; i < channels.size(); ++i) channels[i] = means_of(*imported.paged, i);
    }
    leave_out(counted, left_out(reading_options_from_json(imported.files.front().options_json)));
    return counted;
}

}  // namespace

report::Answer log_answer(const ImportedLog& imported, const std::string& kept, const std::string& next,
                          const report::TextOptions& how) {
    constexpr std::size_t kBriefRemarks = 5, kBriefRows = 14;
    report::Answer answer(how);
    answer.say(kept);
    std::vector<std::string> remarks;
    std::string tables;
    for (std::size_t i = 0; i < imported.files.size(); ++i) {
        probe::LogReading reading = imported.files[i].log.reading;
        answer.say(report::log_sentence(reading));
        for (std::string& remark : report::log_remarks(reading, imported.mapped)) remarks.push_back(std::move(remark));
        if (i > 0) continue;
        tables = report::brief_table(report::channel_summary(reading, imported.mapped, how.units), how, kBriefRows, "reading");
    }
    if (imported.merged) {
        const std::string merged = report::merge_text(*imported.merged, how);
        answer.put(merged.substr(0, merged.find("\nRemarks")));  // which channels were renamed stands in the part
    }
    const std::vector<std::string> faulty =
        report::channel_fault_sentences(probe::channel_faults(readings_to_examine(imported)), how.units);
    answer.say_all(faulty);
    if (!faulty.empty())
        answer.say(
            "Nothing was changed by it. To decide: --leave-out NAME, or NAME=TIME from a moment on, and it stays with the bake.");
    answer.say(next).brief(tables);
    const std::size_t more = remarks.size() > kBriefRemarks ? remarks.size() - kBriefRemarks : 0;
    if (more > 0) remarks.resize(kBriefRemarks), remarks.push_back(fmt::format("and {} more: --details reading", more));
    answer.brief(report::list_text("Remarks", remarks, how));
    return answer.part("reading", log_words(imported, how));
}

TraceSet first_samples(const ImportedLog& imported, std::size_t count) {
    TraceSet first = imported.traces;
    for (std::size_t i = 0; i < first.traces.size(); ++i) {
        Trace& trace = first.traces[i];
        if (imported.paged) {
            trace = imported.paged->part(i, 0, std::min(count, imported.paged->size()));
            continue;
        }
        const std::size_t kept = std::min(count, trace.size());
        trace.time_s.resize(kept);
        trace.temperature_k.resize(kept);
        trace.quality.resize(std::min(kept, trace.quality.size()));
    }
    return first;
}

KeptLog keep_log(book::Book& book, const ImportTask& task, const ImportedLog& imported) {
    book::Transaction transaction(book);
    if (const auto known = find_known(book, imported)) return {*known, true};
    const book::BakeId id = keep_new(book, task, imported);
    transaction.commit();
    return {id, false};
}

std::optional<KnownLog> known_log(book::Book& book, const ImportedLog& imported) {
    const auto id = find_known(book, imported);
    if (!id) return std::nullopt;
    KnownLog known{*id, false, {}};
    const book::Bake bake = book::BakeRepository(book).get(*id);
    for (std::size_t i = 0; i < bake.logs.size(); ++i) {
        const GivenOptions before = reading_options_from_json(bake.logs[i].reading_options_json);
        const GivenOptions now = reading_options_from_json(imported.files[i].options_json);
        auto one = before.all(), other = now.all();
        std::sort(one.begin(), one.end());
        std::sort(other.begin(), other.end());
        known.reads_otherwise = known.reads_otherwise || one != other;
        for (std::string& word : options_of(before)) known.read_with.push_back(std::move(word));
    }
    return known;
}

std::optional<book::BakeId> to_read_again(book::Book& book, const ImportTask& task, const ImportedLog& imported, bool is_said) {
    const std::optional<KnownLog> known = known_log(book, imported);
    if (!known) {
        if (is_said) refuse_option("--again", "serves with a log that is in the book: this one is not");
        return std::nullopt;
    }
    const bool is_other = known->reads_otherwise && !task.reading.all().empty();
    return is_other || is_said ? std::optional(known->bake) : std::nullopt;
}

bool complete_from(ImportTask& task, book::Book& book, book::BakeId bake) {
    if (task.shell && task.probes) return false;
    const StoredBake stored = load_bake(book, bake);
    const bool has_more = (!task.shell && stored.shell) || (!task.probes && stored.probes);
    if (!task.shell) task.shell = stored.shell;
    if (!task.probes) task.probes = stored.probes;
    return has_more;
}

book::BakeId keep_again(book::Book& book, const ImportTask& task, const ImportedLog& imported, book::BakeId bake,
                        const std::string& who, const std::string& why) {
    const std::vector<std::string> words = options_of(task.reading);
    const std::string how =
        words.empty() ? std::string("read again without options") : fmt::format("read again with {}", fmt::join(words, " "));
    book::NewReading reading;
    reading.started_at = imported.traces.started_at;
    reading.program_version = task.program_version;
    reading.who = entered_text("--by", who);
    reading.why = why.empty() ? how : entered_text("--why", why) + " (" + how + ")";
    if (imported.merged) reading.options_json = merge_json(imported.merged->alignment);
    book::Transaction transaction(book);
    reading.documents = keep_records(book, task, imported);
    reading.logs = keep_files(book, imported);
    const book::BakeId former = book::BakeRepository(book).read_again(bake, reading);
    store_traces(book, bake, imported);
    transaction.commit();
    return former;
}

}  // namespace bakewright::services
