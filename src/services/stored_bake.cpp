// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/stored_bake.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>
#include <filesystem>
#include <nlohmann/json.hpp>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/book/document_repository.hpp"
#include "bakewright/book/live_log.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/cure/condense.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/hand_notes.hpp"
#include "bakewright/services/track_record.hpp"

namespace bakewright::services {

namespace {

/// The newest document of a kind and name in the user's book; nothing where there is no book or none in it.
std::optional<book::Document> in_book(const std::string& path, std::string_view kind, const std::string& name) {
    std::error_code error;
    if (!std::filesystem::exists(path, error)) return std::nullopt;
    book::Book book = book::Book::open(path, book::Mode::read_only);
    book::DocumentRepository documents(book);
    for (const book::DocumentSummary& summary : documents.list(kind))
        if (summary.name == name) return documents.get(summary.id);
    return std::nullopt;
}

template <class Record>
profile::Located<Record> find(const RecordSources& sources, const std::string& name, profile::Kind kind,
                              profile::Located<Record> (*load)(std::string_view, const profile::Library&),
                              Record (*read)(std::string_view, const std::string&)) {
    std::string path;
    try {
        path = sources.takes_paths ? sources.library.find(kind, name) : sources.library.find_name(kind, name);
    } catch (const InputError&) {
        const std::string_view word = profile::kind_name(kind);
        const std::optional<book::Document> document = in_book(sources.book_path, word, name);
        if (!document) throw;
        const std::string origin = fmt::format("{} '{}' of the book", word, name);
        return {read(document->text, origin), origin, {}, {}, {}};
    }
    return load(path, sources.library);
}

}  // namespace

std::string shell_of_history(const std::string& name) {
    return name.find('/') == std::string::npos ? name.substr(0, name.find(" #")) : name;
}

profile::Located<profile::ShellProfile> find_shell(const RecordSources& sources, const std::string& name) {
    return find(sources, shell_of_history(name), profile::Kind::shell, profile::load_shell, profile::shell_from_toml);
}

profile::Located<bake::Booth> find_booth(const RecordSources& sources, const std::string& name) {
    auto booth = find(sources, name, profile::Kind::booth, profile::load_booth, profile::booth_from_toml);
    booth.record.record = bake::TrackRecord{};
    std::error_code error;
    if (!std::filesystem::exists(sources.book_path, error)) return booth;
    book::Book book = book::Book::open(sources.book_path, book::Mode::read_only);
    booth.record.record = booth_record(book, booth.record.id);
    return booth;
}

std::string options_json(const bake::PredictOptions& asked, const std::string& air_channel) {
    report::Json fields = {{"start_temperature_k", asked.start_temperature_k},
                           {"output_interval_s", asked.output_interval_s},
                           {"after_s", asked.after_s},
                           {"film_factor", asked.film_factor},
                           {"relative_tolerance", asked.relative_tolerance},
                           {"absolute_tolerance_k", asked.absolute_tolerance_k}};
    if (!air_channel.empty()) fields["air_from_channel"] = air_channel;
    return report::json_text(fields, -1);
}

bake::PredictOptions predict_options_from(const std::string& text) {
    const nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
    if (!json.is_object()) throw BookError("what a prediction was asked is not readable in the book: " + text.substr(0, 80));
    bake::PredictOptions asked;
    const auto read = [&](const char* key, double& value) {
        if (const auto at = json.find(key); at != json.end() && at->is_number()) value = at->get<double>();
    };
    read("start_temperature_k", asked.start_temperature_k);
    read("output_interval_s", asked.output_interval_s);
    read("after_s", asked.after_s);
    read("film_factor", asked.film_factor);
    read("relative_tolerance", asked.relative_tolerance);
    read("absolute_tolerance_k", asked.absolute_tolerance_k);
    return asked;
}

namespace {

namespace kind = book::document_kind;

book::DocumentId store(book::Book& book, std::string_view document_kind, const std::string& name, const std::string& title,
                       std::string text) {
    return book::DocumentRepository(book).store({std::string(document_kind), name, title, std::move(text)});
}

/// Reads a document of a bake with a reader of its kind; nothing where the bake has none.
template <class Record>
std::optional<Record> read_document(book::Book& book, const book::Bake& bake, std::string_view document_kind,
                                    Record (*reader)(std::string_view, const std::string&)) {
    const book::DocumentSummary* summary = bake.document(document_kind);
    if (summary == nullptr) return std::nullopt;
    const book::Document document = book::DocumentRepository(book).get(summary->id);
    return reader(document.text,
                  fmt::format("{} '{}' of bake {}", document_kind, document.name, static_cast<std::int64_t>(bake.id)));
}

}  // namespace

namespace {

/// What is too long to be held whole is condensed a block at a time.
void load_condensed(StoredBake& stored, const book::TraceRepository& traces, const book::TraceSummary& summary) {
    cure::TraceCondenser condenser(summary.name, summary.role, summary.first_time_s, summary.last_time_s);
    traces.read_parts(stored.record.id, summary.name, [&](const Trace& part) { condenser.add(part); });
    auto [extremes, means] = condenser.take();
    stored.traces.traces.push_back(std::move(extremes));
    stored.means.traces.push_back(std::move(means));
    stored.condensed_span_s = std::max(stored.condensed_span_s, condenser.span_s());
}

void load_traces(StoredBake& stored, const book::TraceRepository& traces) {
    const std::vector<book::TraceSummary> summaries = traces.summaries(stored.record.id);
    const auto is_long = [](const book::TraceSummary& one) { return one.sample_count > cure::kMostSamplesJudged; };
    if (std::none_of(summaries.begin(), summaries.end(), is_long)) {
        stored.traces = traces.load(stored.record.id);
        return;
    }
    stored.traces.started_at = stored.means.started_at = stored.record.started_at;
    for (const book::TraceSummary& summary : summaries) {
        if (is_long(summary)) {
            load_condensed(stored, traces, summary);
        } else if (auto trace = traces.load_one(stored.record.id, summary.name)) {
            stored.means.traces.push_back(*trace);
            stored.traces.traces.push_back(*std::move(trace));
        }
        stored.longest_samples = std::max(stored.longest_samples, summary.sample_count);
    }
}

}  // namespace

std::string StoredBake::condensed_text() const {
    if (condensed_span_s <= 0.0) return {};
    return fmt::format("its channels have up to {} samples: of every {:.2g} s the first, least, greatest and last were read",
                       longest_samples, condensed_span_s);
}

std::vector<cure::HeatSensitiveItem> StoredBake::item_limits() const {
    return shell ? shell->heat_sensitive() : std::vector<cure::HeatSensitiveItem>{};
}

std::vector<std::string> StoredBake::coated_places() const {
    return shell ? shell->shell.coated_place_names() : std::vector<std::string>{};
}

book::BakeId bake_id(const std::string& text, const std::string& what) {
    const std::string digits = !text.empty() && text.front() == '#' ? text.substr(1) : text;
    std::int64_t number = 0;
    const auto [end, status] = std::from_chars(digits.data(), digits.data() + digits.size(), number);
    if (status != std::errc{} || end != digits.data() + digits.size() || number < 1)
        throw InputError(Problem{{},
                                 0,
                                 what,
                                 fmt::format("'{}' is not the number of a bake, such as 12, or its uid; `bakewright book "
                                             "list` shows them",
                                             text)});
    return static_cast<book::BakeId>(number);
}

book::BakeId bake_id(book::Book& book, const std::string& text, const std::string& what) {
    if (const auto found = book::BakeRepository(book).find_by_uid(text)) return *found;
    return bake_id(text, what);
}

std::vector<std::string> leave_out(TraceSet& traces, const std::vector<LeftOut>& channels) {
    std::vector<std::string> sentences;
    for (const LeftOut& one : channels) {
        const auto at = std::find_if(traces.traces.begin(), traces.traces.end(),
                                     [&](const Trace& trace) { return trace.name == one.channel; });
        if (at == traces.traces.end()) continue;
        sentences.push_back(fmt::format("{} is left out{}, as somebody decided when the log was read", one.channel,
                                        one.from_s ? " from " + format_duration(*one.from_s) + " on" : ""));
        if (!one.from_s) {
            traces.traces.erase(at);
            continue;
        }
        at->quality.resize(at->size(), SampleQuality::good);
        for (std::size_t i = 0; i < at->size(); ++i)
            if (at->time_s[i] >= *one.from_s) at->quality[i] = SampleQuality::missing;
    }
    return sentences;
}

StoredBake load_bake(book::Book& book, book::BakeId id) {
    StoredBake stored;
    stored.record = book::BakeRepository(book).get(id);
    load_traces(stored, book::TraceRepository(book));
    for (const book::BakeLog& log : stored.record.logs) {
        const std::vector<LeftOut> decided = left_out(reading_options_from_json(log.reading_options_json));
        for (std::string& said : leave_out(stored.traces, decided)) stored.left_out.push_back(std::move(said));
        leave_out(stored.means, decided);
    }
    stored.shell = read_document(book, stored.record, kind::shell, profile::shell_from_toml);
    stored.booth = read_document(book, stored.record, kind::booth, profile::booth_from_toml);
    stored.cycle = read_document(book, stored.record, kind::cycle, profile::cycle_from_toml);
    stored.coating = read_document(book, stored.record, kind::coating, profile::coating_from_toml);
    stored.probes = read_document(book, stored.record, profile::kind_name(profile::Kind::probes), profile::probes_from_toml);
    stored.noted = book::HandNoteRepository(book).notes(id);
    add_hand_channels(stored);
    stored.doubts = book.damage();
    if (const auto& replaced = stored.record.replaced)
        stored.doubts.push_back(
            fmt::format("bake {} is an earlier reading of bake {}, replaced {} by {}: {}; judge bake {} instead",
                        static_cast<std::int64_t>(id), static_cast<std::int64_t>(replaced->of), replaced->replaced_at,
                        replaced->replaced_by, replaced->why, static_cast<std::int64_t>(replaced->of)));
    if (const auto recording = book::recording_of(book, id); recording && !recording->sealed_at)
        stored.doubts.push_back(
            fmt::format("bake {} is still being recorded, or its recording broke off: this is of what was there a minute ago",
                        static_cast<std::int64_t>(id)));
    return stored;
}

book::DocumentId keep(book::Book& book, const profile::ShellProfile& shell) {
    return store(book, kind::shell, shell.shell.id, shell.shell.title, profile::to_toml(shell));
}
book::DocumentId keep(book::Book& book, const bake::Booth& booth) {
    return store(book, kind::booth, booth.id, booth.title, profile::to_toml(booth));
}
book::DocumentId keep(book::Book& book, const bake::Cycle& cycle) {
    return store(book, kind::cycle, cycle.id, cycle.title, profile::to_toml(cycle));
}
book::DocumentId keep(book::Book& book, const cure::Coating& coating) {
    return store(book, kind::coating, coating.id, coating.title, profile::to_toml(coating));
}

book::DocumentId keep(book::Book& book, const probe::ProbeSet& probes) {
    return store(book, profile::kind_name(profile::Kind::probes), probes.id, probes.title, profile::to_toml(probes));
}

book::DocumentId keep(book::Book& book, const probe::SourceRecord& source) {
    return store(book, profile::kind_name(profile::Kind::source), source.id, source.title, profile::to_toml(source));
}

book::BakeId keep_prediction(book::Book& book, const PredictedBake& predicted) {
    book::NewBake bake;
    bake.kind = book::BakeKind::predicted;
    bake.title = entered_text("--title", predicted.title);
    bake.program_version = predicted.program_version;
    bake.options_json = options_json(predicted.asked, predicted.air_channel);
    bake.started_at = predicted.started_at;
    bake.paired_bake = predicted.log;
    book::Transaction transaction(book);
    bake.documents = {keep(book, predicted.shell), keep(book, predicted.booth)};
    if (predicted.cycle != nullptr) bake.documents.push_back(keep(book, *predicted.cycle));
    if (predicted.coating != nullptr) bake.documents.push_back(keep(book, *predicted.coating));
    const book::BakeId id = book::BakeRepository(book).add(bake);
    book::TraceRepository(book).store(id, predicted.traces);
    transaction.commit();
    return id;
}

}  // namespace bakewright::services
