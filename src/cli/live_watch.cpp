// SPDX-License-Identifier: Apache-2.0
#include "live_watch.hpp"

#include <fmt/core.h>

#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::cli {
namespace {

constexpr double kEveryS = 60.0;  // of the recording
constexpr std::chrono::seconds kMovesEvery{1};

}  // namespace

LiveWatch::LiveWatch(services::LiveOptions options, const std::string& program)
    : options_(std::move(options)), command_(program) {
    options_.moves_each_second = true;
}

LiveWatch::~LiveWatch() = default;

void LiveWatch::hear(std::span<const book::RecordedSample> samples, const std::vector<record::ChannelStatus>& channels) {
    TraceSet fresh;
    for (const record::ChannelStatus& one : channels) fresh.traces.push_back({one.channel.name, one.channel.role, {}, {}, {}});
    for (const book::RecordedSample& sample : samples) {
        Trace& trace = fresh.traces[sample.channel];
        trace.time_s.push_back(sample.time_s);
        trace.temperature_k.push_back(sample.temperature_k);
        trace.quality.push_back(sample.quality);
    }
    services::add_recent(recent_, fresh);
}

void LiveWatch::move() {
    const auto now = std::chrono::steady_clock::now();
    if (!seconds_ || now - moved_at_ < kMovesEvery) return;
    moved_at_ = now;
    if (auto moved = seconds_->at(recent_)) state_ = std::move(moved);
}

bool LiveWatch::follow(record::Recorder& recorder, book::Book& book, const record::RecorderStatus& status) {
    const bool is_new = is_done_.exchange(false) && take(recorder);
    if (!is_new) move();
    const bool is_due = status.bake && status.kept > 0 && (!begun_at_s_ || status.now_s >= *begun_at_s_ + kEveryS);
    if (is_due && !is_running_) begin(book, *status.bake, status.now_s);
    return is_new;
}

bool LiveWatch::follow_to_end(record::Recorder& recorder, book::Book& book, const record::RecorderStatus& status) {
    thread_.wait();
    const bool is_new = is_done_.exchange(false) && take(recorder);
    if (!status.bake || status.kept == 0) return is_new;
    // What the update at hand raised is told too: the last one does not raise it again.
    std::vector<report::LiveWarning> before = is_new ? changes_ : std::vector<report::LiveWarning>{};
    begin(book, *status.bake, status.now_s);
    thread_.wait();
    if (!is_done_.exchange(false)) return is_new;
    static_cast<void>(take(recorder));
    changes_.insert(changes_.begin(), before.begin(), before.end());
    return true;
}

void LiveWatch::begin(book::Book& book, book::BakeId bake, double now_s) {
    try {
        auto so_far = std::make_shared<services::StoredBake>(services::recorded_so_far(book, bake));
        if (!bake_) {
            if (!options_.cycle) options_.cycle = services::cycle_set_for(book, *so_far);
            bake_ = std::make_unique<services::LiveBake>(options_);
        }
        begun_at_s_ = now_s;
        is_running_ = true;
        thread_.begin([this, so_far] {
            made_ = bake_->update(*so_far);
            is_running_ = false;
            is_done_ = true;
        });
    } catch (const BookError&) {
        // The recorder says what is wrong with the book; it is tried again at the next step.
    }
}

bool LiveWatch::take(record::Recorder& recorder) {
    thread_.wait();
    state_ = made_;
    seconds_ = bake_->seconds();
    changes_ = bake_->changes();
    for (const report::LiveWarning& warning : changes_) {
        recorder.note({.time_s = warning.cleared_s.value_or(warning.since_s),
                       .kind = warning.cleared_s ? "warning over" : "warning",
                       .what = (warning.cleared_s ? "over: " : "") + warning.says.text()});
        command_.run_for(warning);
    }
    if (const auto& said = bake_->said(); said && !std::exchange(has_said_, true) && said->heat_off_s)
        recorder.note({.time_s = said->at_s,
                       .kind = "forecast",
                       .what = fmt::format("foretold at mid-hold: heat off at {}", report::elapsed_text(*said->heat_off_s))});
    return true;
}

std::optional<services::SaidAtMidHold> LiveWatch::said() {
    thread_.wait();
    return bake_ ? bake_->said() : std::nullopt;
}

}  // namespace bakewright::cli
