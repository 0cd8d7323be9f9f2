// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <chrono>
#include <condition_variable>
#include <cstddef>
#include <cstdint>
#include <map>
#include <mutex>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/source_record.hpp"

namespace bakewright::record {

/// One channel's part of a row.
struct Reading {
    std::size_t channel = 0;     ///< index among the channels that the source announced
    double temperature_k = 0.0;  ///< NaN where it has none
    SampleQuality quality = SampleQuality::good;
};

/// What a source brought at one time.
struct SourceRow {
    double arrived_s = 0.0;          ///< Timebase::now_s() when it came
    std::optional<double> told_s{};  ///< its time by the source's own clock, from any zero [s]; nothing where it tells none
    std::vector<Reading> readings{};
};

/// A source says which channels it has. More may follow later; indices go on.
struct Announcement {
    std::vector<probe::SourceChannel> channels{};
};

/// Something happened to a source: it is there, or is not, or brings what it should not.
struct SourceNotice {
    double arrived_s = 0.0;
    bool is_good = false;   ///< it is there, or back
    std::string channel{};  ///< empty: all of it
    std::string what{};     ///< a sentence for people
};

/// From one source, in the order of arrival. Rows that were read together stay together.
struct Arrival {
    std::size_t source = 0;
    std::variant<Announcement, SourceNotice, std::vector<SourceRow>> what{};
};

/// Between sources, each on a thread of its own, and the one that records. Bounded: what does not fit is counted and gone, so
/// that no source ever waits for a disk. Threads may use it freely.
class Inbox {
public:
    /// @param most_readings  that are held at a time; the default is a quarter of an hour of 100 channels at 1 Hz, 10 MB
    explicit Inbox(std::size_t most_readings = 90'000) : most_(most_readings) {}

    void announce(std::size_t source, Announcement announcement);
    /// Of notices that nobody took the first 1000 are held.
    void tell(std::size_t source, SourceNotice notice);
    /// @return false where they did not fit
    bool put(std::size_t source, std::vector<SourceRow> rows);
    /// The same for one that can wait, such as a replay: waits until there is room. @return false where it was closed meanwhile
    bool put_waiting(std::size_t source, std::vector<SourceRow> rows);

    /// What came, after waiting for the first of it at most so long.
    [[nodiscard]] std::vector<Arrival> take(std::chrono::milliseconds wait);
    /// Readings that did not fit since the last time it was asked, by source.
    [[nodiscard]] std::map<std::size_t, std::uint64_t> take_lost();
    /// Readings that wait now, and most that may.
    [[nodiscard]] std::size_t waiting() const;
    [[nodiscard]] std::size_t most() const noexcept { return most_; }
    /// Lets go of those that wait; nothing is taken any more.
    void close();

private:
    [[nodiscard]] static std::size_t size_of(const std::vector<SourceRow>& rows);

    const std::size_t most_;
    mutable std::mutex mutex_;
    std::condition_variable came_, went_;
    std::vector<Arrival> arrivals_;
    std::map<std::size_t, std::uint64_t> lost_;
    std::size_t waiting_ = 0, notices_ = 0;
    bool is_closed_ = false;
};

}  // namespace bakewright::record
