#pragma once

#include <cstdint>
#include <limits>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/base/trace_source.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// What is known about a stored trace without unpacking it. Times [s] are NaN for a trace without samples; temperatures [K]
/// are over the usable samples and NaN where there are none.
struct TraceSummary {
    std::string name{};
    TraceRole role = TraceRole::unmapped;
    std::uint64_t sample_count = 0;
    std::uint64_t usable_count = 0;
    double first_time_s = std::numeric_limits<double>::quiet_NaN();
    double last_time_s = std::numeric_limits<double>::quiet_NaN();
    double min_temperature_k = std::numeric_limits<double>::quiet_NaN();
    double max_temperature_k = std::numeric_limits<double>::quiet_NaN();
    double mean_temperature_k = std::numeric_limits<double>::quiet_NaN();  ///< of the straight lines between the usable samples
    std::uint64_t stored_bytes = 0;
};

/// The traces of bakes, as packed blocks that come back bit for bit: times, temperatures (NaN too) and flags.
/// Every call may throw BookError.
class TraceRepository {
public:
    explicit TraceRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// Stores the traces of a bake, which must have none yet. A start time in the set becomes the bake's.
    /// @throws PromiseError where the set is not well formed or the bake has traces; InputError where there is no such bake
    void store(BakeId bake, const TraceSet& traces);
    /// The same of traces that are not held whole: part by part, packed on several threads. The bake's traces come back as those
    /// that a TraceSet of the same samples would give.
    void store(BakeId bake, const TraceSource& traces);
    /// All traces in the order they were stored, with the bake's start time. @throws InputError where there is no such bake;
    /// BookError where a block is damaged (load_one() still gets the others)
    [[nodiscard]] TraceSet load(BakeId bake) const;
    /// One trace; nothing where the bake has none of that name.
    [[nodiscard]] std::optional<Trace> load_one(BakeId bake, std::string_view name) const;
    /// In the order they were stored; empty where the bake has none or is not there.
    [[nodiscard]] std::vector<TraceSummary> summaries(BakeId bake) const;
    /// The same, of their names alone: no block is looked at, so that a book whose blocks are lost still tells them.
    [[nodiscard]] std::vector<std::string> names(BakeId bake) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
