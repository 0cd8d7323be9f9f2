#include "trace_write.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/codec/block.hpp"
#include "journal.hpp"
#include "rows.hpp"

namespace bakewright::book {
namespace {

constexpr std::string_view kStoringTraces = "store the traces of a bake";

}  // namespace

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

}  // namespace bakewright::book
