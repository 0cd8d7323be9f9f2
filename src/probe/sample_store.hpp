// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <cstddef>
#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "bakewright/base/files.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/codec/samples.hpp"
#include "sample_page.hpp"

namespace bakewright::probe {

/// The samples of a log in a temporary file: page by page, each channel of a page a packed block. Pages are added by one thread
/// at a time, of one page different channels by several; reading is for any number of threads, once all are added.
class SampleStore {
public:
    /// @param page_rows  rows of each page but the last, at most codec::kBlockSamples
    /// @throws FileError where the folder of temporary files refuses
    SampleStore(std::size_t channels, std::size_t page_rows) : channels_(channels), page_rows_(page_rows) {}

    /// Begins a page. Shapes: alike.
    void add_page(std::span<const double> time_s, std::span<const int> lines);
    /// Puts the samples of a channel into the page that was begun last. Shapes: as the page's times.
    void put(std::size_t channel, const codec::Samples& samples);

    [[nodiscard]] std::size_t rows() const noexcept { return rows_; }
    [[nodiscard]] std::size_t pages() const noexcept { return pages_.size(); }
    [[nodiscard]] std::size_t page_rows() const noexcept { return page_rows_; }
    [[nodiscard]] double last_time_s(std::size_t page) const { return pages_[page].last_time_s; }
    /// Longest step to a row of the page from the one before it [s].
    [[nodiscard]] double longest_step_s(std::size_t page) const { return pages_[page].longest_step_s; }

    /// Each puts a page in place of what is there.
    void read_clock(std::size_t page, std::vector<double>& time_s, std::vector<int>& lines) const;
    void read(std::size_t page, std::size_t channel, SamplePage& into) const;
    /// A page has as many rows as a book's block, so that its blocks are those that a book stores.
    [[nodiscard]] bool has_book_blocks() const noexcept;
    [[nodiscard]] codec::PackedPart book_block(std::size_t page, std::size_t channel) const;

private:
    struct Place {
        std::uint64_t offset = 0, bytes = 0;
    };
    struct Page {
        double last_time_s = 0.0, longest_step_s = 0.0;
        std::size_t rows = 0;
        Place clock;  ///< times and, as its temperatures, lines
        std::vector<Place> channels;
        std::vector<codec::PartStatistics> statistics;  ///< of each channel, where blocks are as a book stores them
    };

    [[nodiscard]] Place write(const std::string& block);
    [[nodiscard]] std::string block_at(const Place& place) const;
    [[nodiscard]] Trace clock_of(const Page& page) const;

    std::size_t channels_, page_rows_, rows_ = 0;
    TemporaryFile file_;
    std::atomic<std::uint64_t> end_ = 0;
    std::vector<Page> pages_;
};

}  // namespace bakewright::probe
