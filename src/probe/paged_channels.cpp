#include "paged_channels.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <functional>
#include <future>

#include "good_samples.hpp"
#include "open_circuit.hpp"
#include "quality_rules.hpp"

namespace bakewright::probe {
namespace {

std::size_t count_of(std::span<const SampleQuality> quality, SampleQuality kind) {
    return static_cast<std::size_t>(std::count(quality.begin(), quality.end(), kind));
}

/// Does a piece of work for every number below `count`, on several threads; the first thing thrown comes out.
void for_each(std::size_t count, unsigned threads, const std::function<void(std::size_t)>& work) {
    std::atomic<std::size_t> next = 0;
    const auto run = [&] {
        for (std::size_t i = next++; i < count; i = next++) work(i);
    };
    std::vector<std::future<void>> others;
    for (unsigned thread = 1; thread < threads && thread < count; ++thread) others.push_back(std::async(std::launch::async, run));
    run();
    for (std::future<void>& other : others) other.get();
}

class ChannelSettling {
public:
    ChannelSettling(SampleStore& store, PagedChannel& channel)
        : store_(store), at_(channel.stored), channel_(channel), reading_(channel.column->channel) {}

    /// Goes through all samples; each page is converted when it is first asked for.
    [[nodiscard]] GoodSamples samples(const QualityRules& rules) const {
        const TemperatureUnit unit = channel_.column->unit.value_or(TemperatureUnit::celsius);
        ImpossibleNumbers impossible(unit);
        SamplePage page;
        for (std::size_t p = 0; p < store_.pages(); ++p) {
            store_.read_values(p, at_, page.temperature_k);
            store_.read_quality(p, at_, page.quality);
            if (impossible.find_beginning(page.temperature_k, page.quality)) break;
        }
        const auto load = [self = *this, impossible, unit, converted = std::size_t{0}](std::size_t p, SamplePage& into) mutable {
            self.store_.read_times(p, into.time_s);
            self.store_.read_values(p, self.at_, into.temperature_k);
            self.store_.read_quality(p, self.at_, into.quality);
            if (p < converted) return;
            ++converted;
            impossible.flag(into.temperature_k, into.quality);
            self.convert(into, unit);
            self.store_.set_values(p, self.at_, into.temperature_k);
            self.store_.set_quality(p, self.at_, into.quality);
        };
        return {reading_.name, store_.pages(), store_.page_rows(), load, look_out(rules)};
    }

    void take_over(const GoodSamples& good, const FlagList& flags, const QualityCounts& counts) const {
        reading_.longest_gap_s = counts.longest_gap_s;
        reading_.longest_gap_from_s = counts.longest_gap_s > 0.0 ? counts.longest_gap_from_s : 0.0;
        channel_.has_flags = good.size() < store_.rows();
        if (flags.empty()) {
            if (good.size() == 0) return;
            channel_.first_k = good.temperature_k(0);
            reading_.least_k = good.least_k();
            reading_.most_k = good.most_k();
            return;
        }
        channel_.has_flags = true;
        SamplePage page;
        for (std::size_t p = 0; p < store_.pages(); ++p) take_over_page(p, page, flags);
    }

private:
    void convert(SamplePage& page, TemperatureUnit unit) const {
        for (std::size_t i = 0; i < page.quality.size(); ++i)
            page.temperature_k[i] = page.quality[i] == SampleQuality::good ? to_kelvin(page.temperature_k[i], unit)
                                                                           : std::numeric_limits<double>::quiet_NaN();
        count_cells(page.quality);
    }

    void count_cells(std::span<const SampleQuality> quality) const {
        reading_.missing += count_of(quality, SampleQuality::missing);
        reading_.open_circuit += count_of(quality, SampleQuality::open_circuit);
        reading_.out_of_range += count_of(quality, SampleQuality::out_of_range);
    }

    void take_over_page(std::size_t number, SamplePage& page, const FlagList& flags) const {
        store_.read_values(number, at_, page.temperature_k);
        store_.read_quality(number, at_, page.quality);
        const std::vector<double>& temperature_k = page.temperature_k;
        std::vector<SampleQuality>& quality = page.quality;
        set_flags(flags, number * store_.page_rows(), quality);
        store_.set_quality(number, at_, quality);
        reading_.spikes += count_of(quality, SampleQuality::spike);
        reading_.stuck += count_of(quality, SampleQuality::stuck);
        reading_.clipped += count_of(quality, SampleQuality::clipped);
        for (std::size_t i = 0; i < quality.size(); ++i) {
            if (quality[i] != SampleQuality::good) continue;
            const bool first = std::isnan(channel_.first_k);
            if (first) channel_.first_k = temperature_k[i];
            reading_.least_k = first ? temperature_k[i] : std::min(reading_.least_k, temperature_k[i]);
            reading_.most_k = first ? temperature_k[i] : std::max(reading_.most_k, temperature_k[i]);
        }
    }

    SampleStore& store_;
    std::size_t at_;
    PagedChannel& channel_;
    LogChannel& reading_;
};

}  // namespace

void settle_channels(SampleStore& store, std::vector<PagedChannel>& channels, const QualityRules& rules,
                     std::vector<std::string>& remarks, unsigned threads) {
    std::vector<std::unique_ptr<GoodSamples>> made(channels.size());
    std::vector<FlagList> flags(channels.size());
    std::vector<QualityCounts> counts(channels.size());
    for_each(channels.size(), threads, [&](std::size_t c) {
        const ChannelSettling channel(store, channels[c]);
        made[c] = std::make_unique<GoodSamples>(channel.samples(rules));
        flag_alone(*made[c], rules, flags[c], counts[c]);
    });
    std::vector<GoodSamples> good;
    for (const auto& samples : made) good.push_back(std::move(*samples));
    flag_together(good, rules, flags, remarks);
    for_each(channels.size(), threads,
             [&](std::size_t c) { ChannelSettling(store, channels[c]).take_over(good[c], flags[c], counts[c]); });
}

}  // namespace bakewright::probe
