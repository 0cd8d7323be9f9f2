// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <memory>
#include <stop_token>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/probe/source_record.hpp"
#include "bakewright/record/inbox.hpp"
#include "bakewright/record/timebase.hpp"

namespace bakewright::record {

/// What a source is given to bring its readings with.
class SourceLink {
public:
    SourceLink(Inbox& inbox, std::size_t source, const Timebase& clock) : inbox_(&inbox), source_(source), clock_(&clock) {}

    [[nodiscard]] double now_s() const { return clock_->now_s(); }
    [[nodiscard]] double speed() const { return clock_->speed(); }
    void announce(std::vector<probe::SourceChannel> channels) const { inbox_->announce(source_, {std::move(channels)}); }
    void tell_good(std::string what) const { inbox_->tell(source_, {now_s(), true, {}, std::move(what)}); }
    void tell_bad(std::string what, std::string channel = {}) const {
        inbox_->tell(source_, {now_s(), false, std::move(channel), std::move(what)});
    }
    bool put(std::vector<SourceRow> rows) const { return inbox_->put(source_, std::move(rows)); }
    bool put_waiting(std::vector<SourceRow> rows) const { return inbox_->put_waiting(source_, std::move(rows)); }

private:
    Inbox* inbox_;
    std::size_t source_;
    const Timebase* clock_;
};

/// Where live readings come from. It announces its channels, then brings rows, and tells when it is lost and when it is back;
/// what is lost it looks for again by itself.
class Source {
public:
    Source() = default;
    Source(const Source&) = delete;
    Source& operator=(const Source&) = delete;
    virtual ~Source() = default;

    /// Runs on a thread of its own until it is told to stop, which it heeds within a second, or until there is nothing more.
    /// What it throws ends it and is told.
    virtual void run(const std::stop_token& stop, const SourceLink& link) = 0;
    /// Its told times are on the recording's clock but for an offset.
    [[nodiscard]] virtual bool is_steady() const { return false; }
};

/// What sources need beside their record.
struct SourceNeeds {
    probe::ReadOptions reading{};  ///< of lines: what a saved reading says; empty: found from the first lines
    TraceSet replayed{};           ///< of a replay: the stored log
};

/// The source that a record describes. Nothing is opened before it runs.
[[nodiscard]] std::unique_ptr<Source> make_source(const probe::SourceRecord& record, SourceNeeds needs);

/// Waits unless it is told to stop. @return false where it was
bool wait_for(const std::stop_token& stop, double seconds);

/// A reading of a channel: its temperature, flagged where the number is none or lies outside of what the source accepts.
[[nodiscard]] Reading reading_of(const probe::SourceRecord& record, std::size_t channel, double number);

}  // namespace bakewright::record
