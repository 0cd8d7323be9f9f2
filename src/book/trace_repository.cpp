// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/trace_repository.hpp"

#include <algorithm>
#include <deque>
#include <future>
#include <span>
#include <string>
#include <thread>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "rows.hpp"
#include "statement.hpp"
#include "trace_rows.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kReadingTraces = "read the traces of a bake";

void insert_trace(Connection& connection, BakeId bake, std::size_t position, const Trace& trace, const Trace* first_trace) {
    const std::int64_t id = insert_trace_row(connection, bake, position, summarise(trace));
    for (std::size_t first = 0; first < trace.size(); first += codec::kBlockSamples) {
        const std::size_t count = std::min(codec::kBlockSamples, trace.size() - first);
        insert_block(connection, id, first / codec::kBlockSamples, count, codec::pack_block(trace, first, count, first_trace));
    }
}

std::string start_of(Connection& connection, BakeId bake) {
    Statement query(connection, "SELECT started_at FROM bake WHERE bake_id = ?1", kReadingTraces);
    if (!query.bind(bake).step()) no_such_bake(connection, bake);
    return query.text(0);
}

codec::PackedPart pack_part(const codec::PartwiseTraces& traces, std::size_t trace, std::size_t first, std::size_t count) {
    const Trace part = traces.part(trace, first, count);
    part.ensure_well_formed();
    // All traces have the times of the first one.
    const auto times = trace == 0 ? codec::BlockTimes::own : codec::BlockTimes::first_traces;
    const codec::Samples samples = codec::samples_of(part, 0, count);
    return {codec::pack_block(samples, times), codec::statistics_of(samples)};
}

}  // namespace

PackedTraces::PackedTraces(const codec::PartwiseTraces& traces) : traces_(traces) {
    ensure(traces.size() > 0, "traces that are stored part by part have samples");
    const std::size_t ahead = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
    std::deque<std::pair<std::size_t, std::future<codec::PackedPart>>> coming;  // which part each will be
    std::uint64_t offset = 0;
    const auto take_one = [&] {
        const codec::PackedPart made = coming.front().second.get();
        file_.write_at(offset, made.block);
        Part& part = parts_[coming.front().first];
        part.offset = offset;
        part.bytes = made.block.size();
        part.statistics = made.statistics;
        offset += part.bytes;
        coming.pop_front();
    };
    for (std::size_t trace = 0; trace < traces.outline().traces.size(); ++trace)
        for (std::size_t first = 0; first < traces.size(); first += codec::kBlockSamples) {
            Part& part = parts_.emplace_back(Part{.trace = trace, .first = first, .statistics = {}});
            const std::size_t count = std::min(codec::kBlockSamples, traces.size() - first);
            if (const auto packed = traces.packed_part(trace, first, count)) {
                part.statistics = packed->statistics;
                continue;
            }
            if (coming.size() >= ahead) take_one();
            coming.emplace_back(parts_.size() - 1,
                                std::async(std::launch::async, pack_part, std::cref(traces), trace, first, count));
        }
    while (!coming.empty()) take_one();
}

std::string PackedTraces::block(const Part& part) const {
    if (part.bytes == 0) return traces_.packed_part(part.trace, part.first, part.statistics.sample_count)->block;
    std::string block(part.bytes, '\0');
    file_.read_at(part.offset, block);
    return block;
}

void TraceRepository::store(BakeId bake, const PackedTraces& traces) {
    const TraceSet& outline = traces.traces_.outline();
    Transaction transaction(*connection_);
    begin_traces(*connection_, bake, outline.started_at);
    const std::size_t blocks = traces.parts_.size() / std::max<std::size_t>(outline.traces.size(), 1);
    for (std::size_t trace = 0; trace < outline.traces.size(); ++trace) {
        const std::span<const PackedTraces::Part> parts = std::span(traces.parts_).subspan(trace * blocks, blocks);
        codec::PartStatistics whole;
        for (const PackedTraces::Part& part : parts) codec::append(whole, part.statistics);
        const std::int64_t id = insert_trace_row(*connection_, bake, trace, summary_of(outline.traces[trace], whole));
        for (const PackedTraces::Part& part : parts)
            insert_block(*connection_, id, part.first / codec::kBlockSamples, part.statistics.sample_count, traces.block(part));
    }
    transaction.commit();
}

void store_traces(Connection& connection, BakeId bake, const TraceSet& traces) {
    traces.ensure_well_formed();
    Transaction transaction(connection);
    begin_traces(connection, bake, traces.started_at);
    std::size_t position = 0;
    for (const Trace& trace : traces.traces) {
        const Trace* first_trace = position == 0 ? nullptr : &traces.traces.front();
        insert_trace(connection, bake, position++, trace, first_trace);
    }
    transaction.commit();
}

TraceSet load_traces(Connection& connection, BakeId bake) {
    const ReadScope scope(connection);
    TraceSet set;
    set.started_at = start_of(connection, bake);
    Statement query(connection, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position", kReadingTraces);
    query.bind(bake);
    const codec::FirstTrace first_trace = [&]() -> const Trace& { return set.traces.front(); };
    while (query.step()) {
        const codec::FirstTrace& known = set.traces.empty() ? codec::FirstTrace{} : first_trace;
        Trace trace = load_trace(connection, stored_trace_of(connection, query), known);
        set.traces.push_back(std::move(trace));
    }
    return set;
}

void TraceRepository::store(BakeId bake, const TraceSet& traces) { store_traces(*connection_, bake, traces); }
TraceSet TraceRepository::load(BakeId bake) const { return load_traces(*connection_, bake); }

std::optional<Trace> TraceRepository::load_one(BakeId bake, std::string_view name) const {
    const ReadScope scope(*connection_);
    Statement query(*connection_, std::string(kSelectTrace) + "WHERE bake_id = ?1 AND name = ?2", kReadingTraces);
    if (!query.bind(bake, name).step()) return std::nullopt;
    return load_trace(*connection_, stored_trace_of(*connection_, query));
}

namespace {

std::vector<StoredTrace> stored_traces(Connection& connection, BakeId bake) {
    Statement query(connection, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position", kReadingTraces);
    query.bind(bake);
    std::vector<StoredTrace> stored;
    while (query.step()) stored.push_back(stored_trace_of(connection, query));
    return stored;
}

/// Whether every block rests on the times of the first trace's block beside it, as the newest codec stores times that are the
/// same.
bool has_one_time(Connection& connection, const std::vector<StoredTrace>& stored) {
    for (const StoredTrace& trace : stored) {
        if (trace.summary.sample_count != stored.front().summary.sample_count) return false;
        BlockReader blocks(connection, trace, stored.front());
        while (blocks.next())
            if (!blocks.had_first_times()) return false;
    }
    return true;
}

}  // namespace

void TraceRepository::read_parts(BakeId bake, std::string_view name, const std::function<void(const Trace&)>& take) const {
    const ReadScope scope(*connection_);
    const std::vector<StoredTrace> stored = stored_traces(*connection_, bake);
    const auto found =
        std::find_if(stored.begin(), stored.end(), [&](const StoredTrace& one) { return one.summary.name == name; });
    if (found == stored.end()) return;
    BlockReader blocks(*connection_, *found, stored.front());
    while (const auto part = blocks.next()) take(*part);
}

bool TraceRepository::read_rows(BakeId bake, const std::function<void(const TraceSet&)>& take) const {
    const ReadScope scope(*connection_);
    const std::vector<StoredTrace> stored = stored_traces(*connection_, bake);
    if (stored.empty() || !has_one_time(*connection_, stored)) return false;
    TraceSet rows;
    rows.started_at = start_of(*connection_, bake);
    std::deque<BlockReader> readers;  // they hold statements and stay where they are
    for (const StoredTrace& one : stored) readers.emplace_back(*connection_, one, stored.front());
    for (;;) {
        rows.traces.clear();
        for (BlockReader& reader : readers)
            if (auto part = reader.next()) rows.traces.push_back(*std::move(part));
        if (rows.traces.size() != stored.size()) return true;
        take(rows);
    }
}

std::vector<TraceSummary> TraceRepository::summaries(BakeId bake) const {
    Statement query(*connection_, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position", kReadingTraces);
    query.bind(bake);
    std::vector<TraceSummary> summaries;
    while (query.step()) summaries.push_back(stored_trace_of(*connection_, query).summary);
    return summaries;
}

std::vector<std::string> TraceRepository::names(BakeId bake) const {
    Statement query(*connection_, "SELECT name FROM trace WHERE bake_id = ?1 ORDER BY position", kReadingTraces);
    query.bind(bake);
    std::vector<std::string> names;
    while (query.step()) names.push_back(query.text(0));
    return names;
}

}  // namespace bakewright::book
