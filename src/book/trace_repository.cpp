#include "bakewright/book/trace_repository.hpp"

#include <algorithm>

#include "bakewright/codec/block.hpp"
#include "rows.hpp"
#include "statement.hpp"
#include "trace_rows.hpp"
#include "trace_summary.hpp"
#include "trace_write.hpp"

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

}  // namespace

void TraceRepository::store(BakeId bake, const TraceSet& traces) {
    traces.ensure_well_formed();
    Transaction transaction(*connection_);
    begin_traces(*connection_, bake, traces.started_at);
    std::size_t position = 0;
    for (const Trace& trace : traces.traces) {
        const Trace* first_trace = position == 0 ? nullptr : &traces.traces.front();
        insert_trace(*connection_, bake, position++, trace, first_trace);
    }
    transaction.commit();
}

TraceSet TraceRepository::load(BakeId bake) const {
    const ReadScope scope(*connection_);
    TraceSet set;
    set.started_at = start_of(*connection_, bake);
    Statement query(*connection_, std::string(kSelectTrace) + "WHERE bake_id = ?1 ORDER BY position", kReadingTraces);
    query.bind(bake);
    const codec::FirstTrace first_trace = [&]() -> const Trace& { return set.traces.front(); };
    while (query.step()) {
        const codec::FirstTrace& known = set.traces.empty() ? codec::FirstTrace{} : first_trace;
        Trace trace = load_trace(*connection_, stored_trace_of(*connection_, query), known);
        set.traces.push_back(std::move(trace));
    }
    return set;
}

std::optional<Trace> TraceRepository::load_one(BakeId bake, std::string_view name) const {
    const ReadScope scope(*connection_);
    Statement query(*connection_, std::string(kSelectTrace) + "WHERE bake_id = ?1 AND name = ?2", kReadingTraces);
    if (!query.bind(bake, name).step()) return std::nullopt;
    return load_trace(*connection_, stored_trace_of(*connection_, query));
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
