// SPDX-License-Identifier: Apache-2.0
#include "trace_rows.hpp"

#include <algorithm>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/codec/compression.hpp"
#include "journal.hpp"
#include "rows.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kStoringTraces = "store the traces of a bake";
constexpr std::string_view kReadingSamples = "read the samples of a trace";
constexpr std::string_view kBlocks = "SELECT sample_count, codec, data FROM trace_block WHERE trace_id = ?1 ORDER BY position";

void append_block(const Connection& connection, const StoredTrace& stored, const Statement& row, Trace& trace,
                  const codec::FirstTrace& first_trace) {
    try {
        codec::unpack_block(static_cast<int>(row.integer(1)), row.blob(2), row.count(0), trace, first_trace);
    } catch (const codec::DamagedBytes& damage) {
        connection.damaged(stored.label() + ": a block of it: " + damage.what());
    }
}

Trace load_first_trace(Connection& connection, const StoredTrace& stored) {
    Statement query(connection, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position LIMIT 1",
                    "read the samples of a trace");
    if (!query.bind(stored.bake).step()) return {};
    const StoredTrace first = stored_trace_of(connection, query);
    if (first.trace_id == stored.trace_id) throw codec::DamagedBytes("its times are said to be its own");
    return load_trace(connection, first);
}

/// A block may be whole and yet belong elsewhere.
void check_against_row(const Connection& connection, const StoredTrace& stored, const Trace& trace) {
    const TraceSummary& row = stored.summary;
    bool same = trace.size() == row.sample_count;
    if (same && trace.size() > 0) same = trace.time_s.front() == row.first_time_s && trace.time_s.back() == row.last_time_s;
    if (!same) connection.damaged(stored.label() + ": its blocks do not hold the samples its row speaks of");
    try {
        trace.ensure_well_formed();
    } catch (const PromiseError& broken) {
        connection.damaged(stored.label() + ": " + broken.what());
    }
}

}  // namespace

TraceSummary summary_of(const Trace& named, const codec::PartStatistics& whole) {
    TraceSummary summary;
    summary.name = named.name;
    summary.role = named.role;
    summary.sample_count = whole.sample_count;
    summary.usable_count = whole.usable_count;
    summary.first_time_s = whole.first_time_s;
    summary.last_time_s = whole.last_time_s;
    if (whole.usable_count == 0) return summary;
    summary.min_temperature_k = whole.min_temperature_k;
    summary.max_temperature_k = whole.max_temperature_k;
    const double span_s = whole.last_usable->time_s - whole.first_usable->time_s;
    summary.mean_temperature_k = whole.usable_count == 1 ? whole.first_usable->temperature_k : whole.area_ks / span_s;
    return summary;
}

TraceSummary summarise(const Trace& trace) {
    codec::PartStatistics whole;
    for (std::size_t first = 0; first < trace.size(); first += codec::kBlockSamples)
        codec::append(
            whole, codec::statistics_of(codec::samples_of(trace, first, std::min(codec::kBlockSamples, trace.size() - first))));
    return summary_of(trace, whole);
}

void begin_traces(Connection& connection, BakeId bake, std::string_view started_at) {
    require_bake(connection, bake);
    Statement query(connection, "SELECT 1 FROM trace WHERE bake_id = ?1", kStoringTraces);
    ensure(!query.bind(bake).step(), "the traces of a bake are stored once");
    about_to_change(connection, aggregate_of(connection, bake));
    if (started_at.empty()) return;
    Statement(connection, "UPDATE bake SET started_at = ?2 WHERE bake_id = ?1", kStoringTraces).bind(bake, started_at).run();
}

std::int64_t insert_trace_row(Connection& connection, BakeId bake, std::size_t position, const TraceSummary& summary) {
    Statement(connection,
              "INSERT INTO trace (bake_id, position, name, role, sample_count, usable_count, first_time_s, last_time_s, "
              "min_temperature_k, max_temperature_k, mean_temperature_k) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, ?10, ?11)",
              kStoringTraces)
        .bind(bake, position, summary.name, trace_role_name(summary.role), summary.sample_count, summary.usable_count,
              summary.first_time_s, summary.last_time_s, summary.min_temperature_k, summary.max_temperature_k,
              summary.mean_temperature_k)
        .run();
    return connection.last_insert_id();
}

void insert_block(Connection& connection, std::int64_t trace_id, std::size_t position, std::size_t samples,
                  std::string_view block) {
    Statement(connection,
              "INSERT INTO trace_block (trace_id, position, sample_count, codec, sha256, data) VALUES (?1, ?2, ?3, ?4, ?5, ?6)",
              kStoringTraces)
        .bind(trace_id, position, samples, codec::kNewestCodec, sha256_hex(block), Blob{block})
        .run();
}

std::string StoredTrace::label() const { return "trace '" + summary.name + "' of bake " + number_text(bake); }

StoredTrace stored_trace_of(const Connection& connection, const Statement& row) {
    const auto role = trace_role_from_name(row.text(3));
    if (!role)
        connection.damaged("trace '" + row.text(2) + "' of bake " + row.text(1) + " has the unknown role '" + row.text(3) + "'");
    return {.trace_id = row.integer(0),
            .bake = row.id<BakeId>(1),
            .summary = {.name = row.text(2),
                        .role = *role,
                        .sample_count = row.count(4),
                        .usable_count = row.count(5),
                        .first_time_s = row.real(6),
                        .last_time_s = row.real(7),
                        .min_temperature_k = row.real(8),
                        .max_temperature_k = row.real(9),
                        .mean_temperature_k = row.real(10),
                        .stored_bytes = row.count(11)}};
}

Trace load_trace(Connection& connection, const StoredTrace& stored, const codec::FirstTrace& first_trace) {
    Trace first;
    const codec::FirstTrace from_book = [&]() -> const Trace& {
        if (first.size() == 0) first = load_first_trace(connection, stored);
        return first;
    };
    const codec::FirstTrace& known = first_trace ? first_trace : from_book;
    Trace trace;
    trace.name = stored.summary.name;
    trace.role = stored.summary.role;
    Statement query(connection, kBlocks, kReadingSamples);
    query.bind(stored.trace_id);
    while (query.step()) append_block(connection, stored, query, trace, known);
    check_against_row(connection, stored, trace);
    return trace;
}

BlockReader::BlockReader(Connection& connection, StoredTrace stored, const StoredTrace& first)
    : connection_(&connection),
      stored_(std::move(stored)),
      blocks_(connection, kBlocks, kReadingSamples),
      first_blocks_(connection, kBlocks, kReadingSamples),
      is_first_(stored_.trace_id == first.trace_id) {
    blocks_.bind(stored_.trace_id);
    first_blocks_.bind(first.trace_id);
}

std::optional<Trace> BlockReader::next() {
    if (!blocks_.step()) return std::nullopt;
    const bool has_first = !is_first_ && first_blocks_.step();
    Trace times;
    had_first_times_ = is_first_;
    const codec::FirstTrace first = [&]() -> const Trace& {
        if (!has_first || first_blocks_.count(0) != blocks_.count(0))
            throw codec::DamagedBytes("the first trace has no block beside it");
        if (times.size() == 0)
            codec::unpack_block(static_cast<int>(first_blocks_.integer(1)), first_blocks_.blob(2), first_blocks_.count(0), times);
        had_first_times_ = true;
        return times;
    };
    Trace part;
    part.name = stored_.summary.name;
    part.role = stored_.summary.role;
    append_block(*connection_, stored_, blocks_, part, first);
    return part;
}

}  // namespace bakewright::book
