#include <algorithm>
#include <deque>
#include <future>
#include <span>
#include <string>
#include <thread>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/codec/block.hpp"
#include "trace_summary.hpp"
#include "trace_write.hpp"

namespace bakewright::book {
namespace {

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

}  // namespace bakewright::book
