// SPDX-License-Identifier: Apache-2.0
#include "sample_store.hpp"

#include <algorithm>
#include <utility>

#include "bakewright/codec/block.hpp"

namespace bakewright::probe {

bool SampleStore::has_book_blocks() const noexcept { return page_rows_ == codec::kBlockSamples; }

SampleStore::Place SampleStore::write(const std::string& block) {
    const std::uint64_t offset = end_.fetch_add(block.size());
    file_.write_at(offset, block);
    return {offset, block.size()};
}

std::string SampleStore::block_at(const Place& place) const {
    std::string block(place.bytes, '\0');
    file_.read_at(place.offset, block);
    return block;
}

void SampleStore::add_page(std::span<const double> time_s, std::span<const int> lines) {
    const std::vector<double> numbers(lines.begin(), lines.end());
    Page page{.last_time_s = time_s.back(),
              .rows = time_s.size(),
              .clock = write(codec::pack_block({time_s, numbers, {}}, codec::BlockTimes::own)),
              .channels = std::vector<Place>(channels_),
              .statistics = std::vector<codec::PartStatistics>(has_book_blocks() ? channels_ : 0)};
    double before_s = pages_.empty() ? time_s.front() : pages_.back().last_time_s;
    for (const double here_s : time_s)
        page.longest_step_s = std::max(page.longest_step_s, here_s - std::exchange(before_s, here_s));
    rows_ += page.rows;
    pages_.push_back(std::move(page));
}

void SampleStore::put(std::size_t channel, const codec::Samples& samples) {
    Page& page = pages_.back();
    // In a book the first trace has the times; here the clock has them.
    const bool has_times = channel == 0 && has_book_blocks();
    page.channels[channel] =
        write(codec::pack_block(samples, has_times ? codec::BlockTimes::own : codec::BlockTimes::first_traces));
    if (has_book_blocks()) page.statistics[channel] = codec::statistics_of(samples);
}

Trace SampleStore::clock_of(const Page& page) const {
    Trace clock;
    codec::unpack_block(codec::kNewestCodec, block_at(page.clock), page.rows, clock);
    return clock;
}

void SampleStore::read_clock(std::size_t page, std::vector<double>& time_s, std::vector<int>& lines) const {
    Trace clock = clock_of(pages_[page]);
    time_s = std::move(clock.time_s);
    lines.resize(clock.temperature_k.size());
    std::transform(clock.temperature_k.begin(), clock.temperature_k.end(), lines.begin(),
                   [](double line) { return static_cast<int>(line); });
}

void SampleStore::read(std::size_t page, std::size_t channel, SamplePage& into) const {
    const Trace clock = clock_of(pages_[page]);
    Trace trace;
    codec::unpack_block(codec::kNewestCodec, block_at(pages_[page].channels[channel]), pages_[page].rows, trace,
                        [&]() -> const Trace& { return clock; });
    into.time_s = std::move(trace.time_s);
    into.temperature_k = std::move(trace.temperature_k);
    into.quality = std::move(trace.quality);
}

codec::PackedPart SampleStore::book_block(std::size_t page, std::size_t channel) const {
    return {block_at(pages_[page].channels[channel]), pages_[page].statistics[channel]};
}

}  // namespace bakewright::probe
