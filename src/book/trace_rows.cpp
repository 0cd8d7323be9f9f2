#include "trace_rows.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "bakewright/codec/compression.hpp"
#include "rows.hpp"

namespace bakewright::book {
namespace {

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
    Statement query(connection, "SELECT sample_count, codec, data FROM trace_block WHERE trace_id = ?1 ORDER BY position",
                    "read the samples of a trace");
    query.bind(stored.trace_id);
    while (query.step()) append_block(connection, stored, query, trace, known);
    check_against_row(connection, stored, trace);
    return trace;
}

}  // namespace bakewright::book
