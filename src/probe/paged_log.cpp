// SPDX-License-Identifier: Apache-2.0
#include "bakewright/probe/paged_log.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/codec/block.hpp"
#include "channel_trace.hpp"
#include "encoding.hpp"
#include "long_rows.hpp"
#include "paged_channels.hpp"
#include "paged_rows.hpp"
#include "row_order.hpp"
#include "voltage.hpp"

namespace bakewright::probe {
namespace {

constexpr std::ptrdiff_t kLeastHeadLines = 2000;  // find_layout looks at no more than half of them

/// The first lines of the file: as many as its form is found from, in at most so many bytes.
std::string head_of(const FileBytes& file, std::size_t most_bytes) {
    constexpr std::size_t kFirstBytes = std::size_t{1} << 19U;
    for (std::size_t bytes = std::min(kFirstBytes, most_bytes);; bytes = std::min(2 * bytes, most_bytes)) {
        std::string head(std::min<std::uint64_t>(bytes, file.size()), '\0');
        head.resize(file.read_at(0, head));
        if (head.size() >= file.size()) return head;
        head.resize(head.rfind('\n') + 1);
        if (std::count(head.begin(), head.end(), '\n') >= kLeastHeadLines) return head;
        if (bytes == most_bytes) throw NeedsWholeLog{"few and long lines"};
    }
}

void measure_gaps(const SampleStore& store, double usual_s, LogReading& reading) {
    LogFault gaps;
    std::vector<double> time_s;
    std::vector<int> lines;
    for (std::size_t page = 0; page < store.pages(); ++page) {
        if (!is_gap(store.longest_step_s(page), usual_s)) continue;
        store.read_clock(page, time_s, lines);
        double before_s = page > 0 ? store.last_time_s(page - 1) : time_s.front();
        for (std::size_t i = 0; i < time_s.size(); ++i)
            count_gap(time_s[i] - std::exchange(before_s, time_s[i]), usual_s, lines[i], gaps, reading);
    }
    add_gaps(std::move(gaps), reading);
}

/// What every column is, now that all of its cells were counted; said in the order in which read_log says it.
class ColumnSettling {
public:
    ColumnSettling(PagedRows& rows, std::vector<Column>& columns, const Reading& the)
        : rows_(rows), columns_(columns), the_(the) {}

    void columns(std::size_t row_count) {
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            settle_cell_voltage(columns_[c], rows_.counts(c), the_.options, the_.problems);
            settle_quantity(columns_[c], rows_.counts(c), row_count, the_.reading, the_.problems);
        }
        static_cast<void>(find_reference_junction(columns_, the_.options, the_.reading.remarks, the_.problems));
        the_.problems.throw_if_any();
        for (const Column& column : columns_)
            if (column.thermocouple && column.channel.quantity == Quantity::temperature)
                throw NeedsWholeLog{"volts of thermocouples"};
        for (const auto& [column, clocks] : rows_.clocks())
            remark_clock_drift(columns_[column], clocks, rows_.last_time_s() - rows_.first_time_s(), the_.reading);
    }

    [[nodiscard]] std::vector<PagedChannel> channels() {
        std::vector<PagedChannel> channels;
        for (std::size_t c = 0; c < columns_.size(); ++c) {
            Column& column = columns_[c];
            if (column.channel.quantity != Quantity::temperature)
                column.channel.missing = column.is_read ? rows_.counts(c).blanks : 0;
            else if (const auto stored = rows_.stored_column(c))
                channels.push_back(
                    {.column = &column, .intake = &rows_.intake().channel(*stored), .stored = *stored, .flags = {}});
            else
                throw NeedsWholeLog{"a column that turns out to hold temperatures"};
        }
        return channels;
    }

    void say_the_rest(const std::vector<PagedChannel>& channels) {
        std::vector<double> first_k;
        for (const PagedChannel& channel : channels) first_k.push_back(channel.first_k);
        for (const Column& column : columns_) the_.reading.channels.push_back(column.channel);
        remark_renamed(the_.reading);
        settle_units(columns_, first_k, the_);
        ask_about_voltages(columns_, the_.layout.heading_line, the_.reading.remarks, the_.problems);
        if (channels.empty()) throw NeedsWholeLog{"no column of temperatures"};
    }

private:
    PagedRows& rows_;
    std::vector<Column>& columns_;
    const Reading& the_;
};

}  // namespace

/// What the traces are made of.
struct PagedLog::Samples {
    struct Channel {
        std::size_t stored;  ///< its number in the store
        bool has_flags;      ///< any of its samples is not good
        FlagList flags;      ///< over those in the store
    };
    std::shared_ptr<const SampleStore> store;
    std::vector<Channel> channels;  ///< one for each trace
};

PagedLog::PagedLog() = default;
PagedLog::~PagedLog() = default;

std::size_t PagedLog::size() const { return samples_->store->rows(); }

std::unique_ptr<PagedLog> PagedLog::read(const FileBytes& file, const std::string& file_name, const ReadOptions& options,
                                         const Progress& progress, PagedSizes sizes) {
    try {
        std::unique_ptr<PagedLog> log(new PagedLog);
        log->read_all(file, file_name, options, progress, sizes);
        return log;
    } catch (const InputError& error) {
        throw NeedsWholeLog{error.what()};
    }
}

void PagedLog::read_all(const FileBytes& file, const std::string& file_name, const ReadOptions& options, const Progress& progress,
                        const PagedSizes& sizes) {
    ProblemList problems(file_name);
    check(options, problems);
    const std::string head = head_of(file, sizes.head_bytes);
    const DecodedText decoded = decode_text(head, problems);
    if (decoded.is_converted) throw NeedsWholeLog{"bytes that are no UTF-8 text"};
    const std::size_t mark_bytes = head.size() - decoded.text().size();
    const Layout layout = find_layout(decoded.text(), options, problems);
    reading_.file = file_name;
    reading_.encoding = decoded.encoding;
    describe_file(reading_, layout);
    std::vector<Column> columns = plan_columns(layout);
    const TimeColumns time = choose_time(columns, layout, options, problems);
    take_units_around(columns, layout);
    reading_.remarks.insert(reading_.remarks.end(), time.remarks.begin(), time.remarks.end());
    if (find_long_columns(columns, time, layout, options, problems)) throw NeedsWholeLog{"one reading per row"};
    apply_options(columns, options, problems);
    problems.throw_if_any();

    const Reading the{layout, options, reading_, problems};
    const TimeHints hints = time_hints(columns, time, options);
    PagedRows rows({file, layout.first_data_offset + mark_bytes, time, hints}, columns, the, sizes);
    rows.read(progress);
    const std::shared_ptr<const SampleStore> store = rows.intake().store();
    for (LogFault& fault : rows.faults()) reading_.faults.push_back(std::move(fault));
    reading_.notes = std::move(rows.notes());
    describe_time(reading_, rows.times(), hints);
    measure_gaps(*store, rows.usual_step_s(), reading_);

    ColumnSettling settling(rows, columns, the);
    settling.columns(store->rows());
    std::vector<PagedChannel> channels = settling.channels();
    settle_channels(*store, channels, options.quality, reading_.remarks, threads_of(sizes));
    reading_.rows_read = reading_.rows_kept = store->rows();
    reading_.first_time_s = rows.first_time_s();
    reading_.last_time_s = rows.last_time_s();
    reading_.started_at = outline_.started_at = rows.times().started_at;
    settling.say_the_rest(channels);
    samples_ = std::make_unique<Samples>(Samples{store, {}});
    for (PagedChannel& channel : channels) {
        outline_.traces.emplace_back().name = channel.column->channel.name;
        samples_->channels.push_back({channel.stored, channel.has_flags, std::move(channel.flags)});
    }
    file.ensure_unchanged();
}

Trace PagedLog::part(std::size_t trace, std::size_t first, std::size_t count) const {
    Trace out;
    out.name = outline_.traces[trace].name;
    out.role = outline_.traces[trace].role;
    const Samples::Channel& channel = samples_->channels[trace];
    const std::size_t rows = samples_->store->page_rows();
    SamplePage read;
    for (std::size_t page = first / rows; page * rows < first + count; ++page) {
        const std::size_t from = std::max(first, page * rows) - page * rows;
        const std::size_t until = std::min(first + count - page * rows, rows);
        const auto append = [&](auto& to, const auto& values) {
            to.insert(to.end(), values.begin() + static_cast<std::ptrdiff_t>(from),
                      values.begin() + static_cast<std::ptrdiff_t>(until));
        };
        samples_->store->read(page, channel.stored, read);
        append(out.time_s, read.time_s);
        append(out.temperature_k, read.temperature_k);
        if (!channel.has_flags) continue;
        read.quality.resize(read.temperature_k.size(), SampleQuality::good);
        set_flags(channel.flags, page * rows, read.quality);
        append(out.quality, read.quality);
    }
    return out;
}

std::optional<codec::PackedPart> PagedLog::packed_part(std::size_t trace, std::size_t first, std::size_t count) const {
    const SampleStore& store = *samples_->store;
    const Samples::Channel& channel = samples_->channels[trace];
    const std::size_t page = first / codec::kBlockSamples;
    const bool is_page = first % codec::kBlockSamples == 0 && count == std::min(codec::kBlockSamples, size() - first);
    // Of the store's blocks only those of its first channel have times.
    if (!store.has_book_blocks() || !is_page || channel.has_flags || (trace == 0) != (channel.stored == 0)) return std::nullopt;
    return store.book_block(page, channel.stored);
}

}  // namespace bakewright::probe
