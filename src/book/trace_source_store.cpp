#include <algorithm>
#include <deque>
#include <future>
#include <string>
#include <thread>

#include "bakewright/base/error.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "trace_codec.hpp"
#include "trace_statistics.hpp"
#include "trace_write.hpp"

namespace bakewright::book {
namespace {

/// A part of a trace, ready to be stored.
struct PackedPart {
    std::string block;
    PartStatistics statistics;
};

PackedPart pack_part(const TraceSource& traces, std::size_t trace, std::size_t first, std::size_t count) {
    const Trace part = traces.part(trace, first, count);
    part.ensure_well_formed();
    // All traces have the times of the first one.
    return {pack_block(part, 0, count, trace == 0 ? nullptr : &part), statistics_of_part(part, 0, count)};
}

/// Packs part after part ahead of the one that is stored, as many at a time as there are cores.
class PackedParts {
public:
    explicit PackedParts(const TraceSource& traces) : traces_(traces) {}

    /// The parts come in the order of the traces and, in each, of time.
    PackedPart next() {
        while (coming_.size() < ahead_ && trace_ < traces_.outline().traces.size()) begin_one();
        PackedPart part = coming_.front().get();
        coming_.pop_front();
        return part;
    }

private:
    void begin_one() {
        const std::size_t count = std::min(kBlockSamples, traces_.size() - first_);
        coming_.push_back(std::async(std::launch::async, pack_part, std::cref(traces_), trace_, first_, count));
        first_ += count;
        if (first_ < traces_.size()) return;
        first_ = 0;
        ++trace_;
    }

    const TraceSource& traces_;
    std::size_t ahead_ = std::clamp(std::thread::hardware_concurrency(), 1U, 8U);
    std::size_t trace_ = 0, first_ = 0;  ///< of the part to be begun next
    std::deque<std::future<PackedPart>> coming_;
};

}  // namespace

void TraceRepository::store(BakeId bake, const TraceSource& traces) {
    ensure(traces.size() > 0, "traces that are stored part by part have samples");
    Transaction transaction(*connection_);
    begin_traces(*connection_, bake, traces.outline().started_at);
    PackedParts parts(traces);
    std::size_t position = 0;
    for (const Trace& trace : traces.outline().traces) {
        const std::int64_t id = insert_trace_row(*connection_, bake, position++, summary_of(trace, {}));
        PartStatistics whole;
        for (std::size_t first = 0; first < traces.size(); first += kBlockSamples) {
            const PackedPart part = parts.next();
            append(whole, part.statistics);
            insert_block(*connection_, id, first / kBlockSamples, part.statistics.sample_count, part.block);
        }
        set_summary(*connection_, id, summary_of(trace, whole));
    }
    transaction.commit();
}

}  // namespace bakewright::book
