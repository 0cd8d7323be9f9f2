// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <cstdint>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/book/live_log.hpp"
#include "bakewright/record/inbox.hpp"

namespace bakewright::record {

/// What is known of one channel of a recording now.
struct ChannelStatus {
    book::RecordedChannel channel{};
    double latest_s = std::numeric_limits<double>::quiet_NaN();  ///< time of its newest reading; NaN before the first
    double latest_k = std::numeric_limits<double>::quiet_NaN();  ///< that reading; NaN where it is missing
    SampleQuality quality = SampleQuality::missing;
    double same_since_s = std::numeric_limits<double>::quiet_NaN();  ///< since when it has been the same to the last digit
    double interval_s = 1.0;
};

/// What is known of one source now.
struct SourceStatus {
    std::string name{};
    bool is_good = false;  ///< by what it told last
    std::string what{};    ///< that, for people
    std::uint64_t rows = 0;
    std::uint64_t late = 0;        ///< readings that came after later ones
    std::uint64_t duplicates = 0;  ///< readings whose time is there already
    std::uint64_t lost = 0;        ///< readings for which there was no room
    std::uint64_t gaps = 0;
    double latest_s = std::numeric_limits<double>::quiet_NaN();  ///< when its last row came
    std::optional<double> gain_s_per_h{};                        ///< of its clock on the recording's
    bool has_ended = false;                                      ///< it brings nothing more
};

/// What came, ready to be kept.
struct Taken {
    std::vector<book::RecordedSample> samples{};
    std::vector<book::RecordingEvent> events{};
};

/// Puts what several sources bring on one clock, and notices gaps, repetitions, lateness and clocks that were set. Knows neither
/// threads nor the book. All times are those of the recording.
class Intake {
public:
    Intake();
    Intake(Intake&&) noexcept;
    Intake& operator=(Intake&&) noexcept;
    ~Intake();

    /// @param is_steady  its told times are on the recording's clock but for an offset, such as those of a replay
    /// @return its index
    std::size_t add_source(std::string name, double interval_s, bool is_steady = false);
    /// The next channels of a source. @param indices  of each, among the recording's channels
    void add_channels(std::size_t source, const std::vector<book::RecordedChannel>& channels,
                      const std::vector<std::size_t>& indices);
    /// A channel that was recorded before this program began: when its newest sample was.
    void seed(std::size_t channel, double latest_s);

    void take(std::size_t source, std::vector<SourceRow> rows, Taken& taken);
    void notice(std::size_t source, const SourceNotice& notice, Taken& taken);
    void lost(std::size_t source, std::uint64_t readings, double now_s, Taken& taken);
    void ended(std::size_t source);
    /// What was late or there already since the last time it was asked, as events; and, at the end, what is still held.
    void sum_up(double now_s, Taken& taken, bool is_end = false);

    [[nodiscard]] const std::vector<ChannelStatus>& channels() const noexcept;
    [[nodiscard]] std::vector<SourceStatus> sources() const;

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace bakewright::record
