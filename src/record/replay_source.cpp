// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <map>

#include "sources.hpp"

namespace bakewright::record {
namespace {

class ReplaySource final : public Source {
public:
    ReplaySource(const probe::SourceRecord& record, TraceSet log) : log_(std::move(log)) {
        for (std::size_t i = 0; i < log_.traces.size(); ++i) {
            const Trace& trace = log_.traces[i];
            probe::SourceChannel channel{.name = trace.name, .place = trace.name};
            const auto told = std::ranges::find(record.channels, trace.name, &probe::SourceChannel::name);
            if (!record.channels.empty()) {
                if (told == record.channels.end()) continue;
                channel = *told;
            }
            for (std::size_t k = 0; k < trace.size(); ++k)
                rows_[trace.time_s[k]].push_back({.channel = channels_.size(),
                                                  .temperature_k = trace.temperature_k[k],
                                                  .quality = trace.quality.empty() ? SampleQuality::good : trace.quality[k]});
            channels_.push_back(std::move(channel));
        }
    }

    [[nodiscard]] bool is_steady() const override { return true; }

    void run(const std::stop_token& stop, const SourceLink& link) override {
        link.announce(channels_);
        link.tell_good("replaying");
        const double began_s = link.now_s();
        const double first_s = rows_.empty() ? 0.0 : rows_.begin()->first;
        std::vector<SourceRow> due;
        for (const auto& [time_s, readings] : rows_) {
            const double due_at_s = began_s + (time_s - first_s) / link.speed();
            if (due_at_s > link.now_s()) {
                if (!due.empty() && !link.put_waiting(std::exchange(due, {}))) return;
                while (due_at_s > link.now_s())
                    if (!wait_for(stop, std::min(due_at_s - link.now_s(), 0.2))) return;
            }
            if (stop.stop_requested()) return;
            // Told from the beginning of the replay on, so that its first row lies where it began however late it is taken.
            due.push_back({.arrived_s = due_at_s, .told_s = time_s - first_s, .readings = readings});
        }
        if (!due.empty()) link.put_waiting(std::move(due));
        link.tell_good("the replayed log has ended");
    }

private:
    TraceSet log_;
    std::vector<probe::SourceChannel> channels_;
    std::map<double, std::vector<Reading>> rows_;
};

}  // namespace

std::unique_ptr<Source> make_replay_source(const probe::SourceRecord& record, TraceSet log) {
    return std::make_unique<ReplaySource>(record, std::move(log));
}

}  // namespace bakewright::record
