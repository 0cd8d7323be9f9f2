// SPDX-License-Identifier: Apache-2.0
#include "page_intake.hpp"

#include <algorithm>
#include <limits>
#include <utility>

#include "bakewright/codec/block.hpp"
#include "bakewright/probe/paged_log.hpp"
#include "for_each.hpp"

namespace bakewright::probe {
namespace {

// Two pages are held at a time. Blocks of fewer rows than the least do not pack.
constexpr std::size_t kMostPageBytes = std::size_t{16} << 20U, kLeastRows = 1024, kMostBytes = std::size_t{64} << 20U;

std::size_t page_rows_for(std::size_t channels, std::size_t most_rows) {
    const std::size_t row_bytes = sizeof(double) + sizeof(int) + channels * (sizeof(double) + sizeof(SampleQuality));
    if (kLeastRows * row_bytes > kMostBytes) throw NeedsWholeLog{"very many columns"};
    return std::clamp<std::size_t>(most_rows, 1, std::clamp(kMostPageBytes / row_bytes, kLeastRows, codec::kBlockSamples));
}

template <typename Value>
void append(std::vector<Value>& to, std::span<const Value> from) {
    to.insert(to.end(), from.begin(), from.end());
}

std::size_t count_of(std::span<const SampleQuality> quality, SampleQuality kind) {
    return static_cast<std::size_t>(std::count(quality.begin(), quality.end(), kind));
}

}  // namespace

PageIntake::PageIntake(std::span<const TemperatureUnit> units, const LookOut& look_out, std::size_t page_rows, unsigned threads)
    // One thread reads, one compresses the file.
    : threads_(std::max(threads, 3U) - 2),
      store_(std::make_shared<SampleStore>(units.size(), page_rows_for(units.size(), page_rows))) {
    for (const TemperatureUnit unit : units) channels_.emplace_back(unit, look_out);
    for (Page* page : {&filling_, &taken_}) {
        page->time_s.reserve(store_->page_rows());
        page->lines.reserve(store_->page_rows());
        page->channels.resize(units.size());
        for (Cells& cells : page->channels) {
            cells.value.reserve(store_->page_rows());
            cells.quality.reserve(store_->page_rows());
        }
    }
}

void PageIntake::add(std::span<const double> time_s, std::span<const int> lines, std::span<const ReadCells> channels) {
    for (std::size_t from = 0; from < time_s.size();) {
        const std::size_t count = std::min(time_s.size() - from, store_->page_rows() - filling_.time_s.size());
        append(filling_.time_s, time_s.subspan(from, count));
        append(filling_.lines, lines.subspan(from, count));
        for (std::size_t c = 0; c < channels.size(); ++c) {
            append(filling_.channels[c].value, channels[c].value.subspan(from, count));
            append(filling_.channels[c].quality, channels[c].quality.subspan(from, count));
        }
        rows_ += count;
        from += count;
        if (filling_.time_s.size() == store_->page_rows()) hand_over();
    }
}

void PageIntake::finish() {
    if (!filling_.time_s.empty()) hand_over();
    taking_.wait();
    filling_ = {};
    taken_ = {};
}

void PageIntake::hand_over() {
    taking_.wait();
    std::swap(filling_, taken_);
    filling_.time_s.clear();
    filling_.lines.clear();
    for (Cells& cells : filling_.channels) {
        cells.value.clear();
        cells.quality.clear();
    }
    taking_.begin([this] { take(taken_); });
}

void PageIntake::take(Page& page) {
    store_->add_page(page.time_s, page.lines);
    for_each(channels_.size(), threads_, [&](std::size_t c) {
        Cells& cells = page.channels[c];
        const bool all_good = take(channels_[c], cells);
        const std::span<const SampleQuality> quality = all_good ? std::span<const SampleQuality>() : cells.quality;
        const codec::Samples samples{page.time_s, cells.value, quality};
        channels_[c].scan.take(samples);
        store_->put(c, samples);
    });
}

/// Flags and converts, in place. True where all are good.
bool PageIntake::take(ChannelIntake& channel, Cells& cells) {
    if (!channel.impossible.take(cells.value, cells.quality))
        throw NeedsWholeLog{"a channel that begins with numbers of full scale"};
    if (count_of(cells.quality, SampleQuality::good) == cells.quality.size()) {
        for (double& value : cells.value) value = to_kelvin(value, channel.unit);
        return true;
    }
    for (std::size_t i = 0; i < cells.value.size(); ++i)
        cells.value[i] = cells.quality[i] == SampleQuality::good ? to_kelvin(cells.value[i], channel.unit)
                                                                 : std::numeric_limits<double>::quiet_NaN();
    channel.missing += count_of(cells.quality, SampleQuality::missing);
    channel.open_circuit += count_of(cells.quality, SampleQuality::open_circuit);
    channel.out_of_range += count_of(cells.quality, SampleQuality::out_of_range);
    return false;
}

}  // namespace bakewright::probe
