#pragma once

#include <cstddef>
#include <cstdint>
#include <span>
#include <vector>

#include "bakewright/base/temporary_file.hpp"
#include "bakewright/base/trace.hpp"

namespace bakewright::probe {

/// One column of rows to be stored.
struct StoredColumn {
    std::span<const double> value;
    std::span<const SampleQuality> quality;
};

/// The rows of a table in a temporary file, page by page, each column of a page by itself. Adding is for one thread; reading and
/// changing different columns for several at a time.
class SampleStore {
public:
    /// @throws FileError where the folder of temporary files refuses
    SampleStore(std::size_t columns, std::size_t most_page_rows);

    /// Puts rows behind the others. Shapes: every span has the same length; one entry a column.
    void add(std::span<const double> time_s, std::span<const int> lines, std::span<const StoredColumn> columns);
    /// To be called once behind the last row, before anything is read.
    void finish();

    [[nodiscard]] std::size_t rows() const noexcept { return rows_; }
    [[nodiscard]] std::size_t pages() const noexcept { return (rows_ + page_rows_ - 1) / page_rows_; }
    /// Rows of each page but the last.
    [[nodiscard]] std::size_t page_rows() const noexcept { return page_rows_; }

    /// Each puts a page in place of what is in the vector.
    void read_times(std::size_t page, std::vector<double>& into) const { read(page, 0, into); }
    void read_lines(std::size_t page, std::vector<int>& into) const { read(page, lines_at(), into); }
    void read_values(std::size_t page, std::size_t column, std::vector<double>& into) const {
        read(page, values_at(column), into);
    }
    void read_quality(std::size_t page, std::size_t column, std::vector<SampleQuality>& into) const {
        read(page, quality_at(column), into);
    }
    /// Replace what is there. Shapes: as read.
    void set_values(std::size_t page, std::size_t column, std::span<const double> values);
    void set_quality(std::size_t page, std::size_t column, std::span<const SampleQuality> quality);

private:
    [[nodiscard]] std::size_t rows_of(std::size_t page) const;
    [[nodiscard]] std::uint64_t page_at(std::size_t page) const { return std::uint64_t{page} * page_bytes_; }
    [[nodiscard]] std::size_t values_at(std::size_t column) const { return (1 + column) * page_rows_ * sizeof(double); }
    [[nodiscard]] std::size_t lines_at() const { return values_at(columns_); }
    [[nodiscard]] std::size_t quality_at(std::size_t column) const { return lines_at() + page_rows_ * (sizeof(int) + column); }
    template <typename Value>
    void read(std::size_t page, std::size_t at, std::vector<Value>& into) const;
    template <typename Value>
    void put(std::size_t at, std::span<const Value> values);
    void write_page();

    std::size_t columns_, page_rows_, page_bytes_, rows_ = 0;
    TemporaryFile file_;
    std::vector<char> page_;  ///< being filled
};

}  // namespace bakewright::probe
