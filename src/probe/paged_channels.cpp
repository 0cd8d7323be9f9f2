// SPDX-License-Identifier: Apache-2.0
#include "paged_channels.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "for_each.hpp"
#include "good_samples.hpp"

namespace bakewright::probe {
namespace {

void take_counts(PagedChannel& channel, const GoodSamples& good, const QualityCounts& counts, std::size_t rows) {
    LogChannel& reading = channel.column->channel;
    reading.missing = channel.intake->missing;
    reading.open_circuit = channel.intake->open_circuit;
    reading.out_of_range = channel.intake->out_of_range;
    reading.longest_gap_s = counts.longest_gap_s;
    reading.longest_gap_from_s = counts.longest_gap_s > 0.0 ? counts.longest_gap_from_s : 0.0;
    channel.has_flags = good.size() < rows || !channel.flags.empty();
    if (!channel.flags.empty() || good.size() == 0) return;
    channel.first_k = good.scanned().first_k;
    reading.least_k = good.scanned().least_k;
    reading.most_k = good.scanned().most_k;
}

/// The counts and the range of a channel some of whose samples were flagged.
class FlaggedChannel {
public:
    explicit FlaggedChannel(PagedChannel& channel) : channel_(channel) {}

    void take(std::size_t first, SamplePage& page) {
        page.quality.resize(page.temperature_k.size(), SampleQuality::good);
        set_flags(channel_.flags, first, page.quality);
        for (std::size_t i = 0; i < page.quality.size(); ++i) take(page.temperature_k[i], page.quality[i]);
    }

private:
    void take(double temperature_k, SampleQuality quality) {
        LogChannel& reading = channel_.column->channel;
        reading.spikes += quality == SampleQuality::spike;
        reading.stuck += quality == SampleQuality::stuck;
        reading.clipped += quality == SampleQuality::clipped;
        if (quality != SampleQuality::good) return;
        const bool first = std::isnan(channel_.first_k);
        if (first) channel_.first_k = temperature_k;
        reading.least_k = first ? temperature_k : std::min(reading.least_k, temperature_k);
        reading.most_k = first ? temperature_k : std::max(reading.most_k, temperature_k);
    }

    PagedChannel& channel_;
};

}  // namespace

void settle_channels(const SampleStore& store, std::vector<PagedChannel>& channels, const QualityRules& rules,
                     std::vector<std::string>& remarks, unsigned threads) {
    std::vector<GoodSamples> good;
    for (PagedChannel& channel : channels)
        good.emplace_back(
            channel.column->channel.name, store.page_rows(), channel.intake->scan.finish(),
            [&store, stored = channel.stored](std::size_t page, SamplePage& into) { store.read(page, stored, into); });
    std::vector<FlagList> flags(channels.size());
    std::vector<QualityCounts> counts(channels.size());
    for_each(channels.size(), threads, [&](std::size_t c) { flag_alone(good[c], rules, flags[c], counts[c]); });
    flag_together(good, rules, flags, remarks);
    for_each(channels.size(), threads, [&](std::size_t c) {
        PagedChannel& channel = channels[c];
        channel.flags = std::move(flags[c]);
        take_counts(channel, good[c], counts[c], store.rows());
        if (channel.flags.empty()) return;
        FlaggedChannel flagged(channel);
        SamplePage page;
        for (std::size_t p = 0; p < store.pages(); ++p) {
            store.read(p, channel.stored, page);
            flagged.take(p * store.page_rows(), page);
        }
    });
}

}  // namespace bakewright::probe
