#include "sample_store.hpp"

#include <algorithm>
#include <cstring>

namespace bakewright::probe {
namespace {

/// So that a table of very many columns takes no more memory than one of few.
constexpr std::size_t kMostPageBytes = std::size_t{2} << 20U;

template <typename Value>
std::span<const char> bytes_of(std::span<const Value> values) {
    return {reinterpret_cast<const char*>(values.data()), values.size_bytes()};
}

}  // namespace

SampleStore::SampleStore(std::size_t columns, std::size_t most_page_rows) : columns_(columns) {
    const std::size_t row_bytes = sizeof(double) + sizeof(int) + columns * (sizeof(double) + sizeof(SampleQuality));
    page_rows_ = std::clamp<std::size_t>(kMostPageBytes / row_bytes, 1, most_page_rows);
    page_bytes_ = page_rows_ * row_bytes;
    page_.resize(page_bytes_);
}

std::size_t SampleStore::rows_of(std::size_t page) const { return std::min(page_rows_, rows_ - page * page_rows_); }

template <typename Value>
void SampleStore::read(std::size_t page, std::size_t at, std::vector<Value>& into) const {
    into.resize(rows_of(page));
    file_.read_at(page_at(page) + at, {reinterpret_cast<char*>(into.data()), into.size() * sizeof(Value)});
}
template void SampleStore::read(std::size_t, std::size_t, std::vector<double>&) const;
template void SampleStore::read(std::size_t, std::size_t, std::vector<int>&) const;
template void SampleStore::read(std::size_t, std::size_t, std::vector<SampleQuality>&) const;

template <typename Value>
void SampleStore::put(std::size_t at, std::span<const Value> values) {
    std::memcpy(page_.data() + at, values.data(), values.size_bytes());
}

void SampleStore::write_page() { file_.write_at(page_at((rows_ - 1) / page_rows_), page_); }

void SampleStore::add(std::span<const double> time_s, std::span<const int> lines, std::span<const StoredColumn> columns) {
    for (std::size_t from = 0; from < time_s.size();) {
        const std::size_t row = rows_ % page_rows_;
        const std::size_t count = std::min(time_s.size() - from, page_rows_ - row);
        put(row * sizeof(double), time_s.subspan(from, count));
        put(lines_at() + row * sizeof(int), lines.subspan(from, count));
        for (std::size_t c = 0; c < columns_; ++c) {
            put(values_at(c) + row * sizeof(double), columns[c].value.subspan(from, count));
            put(quality_at(c) + row, columns[c].quality.subspan(from, count));
        }
        rows_ += count;
        from += count;
        if (rows_ % page_rows_ == 0) write_page();
    }
}

void SampleStore::finish() {
    if (rows_ % page_rows_ != 0) write_page();
    std::vector<char>().swap(page_);
}

void SampleStore::set_values(std::size_t page, std::size_t column, std::span<const double> values) {
    file_.write_at(page_at(page) + values_at(column), bytes_of(values));
}

void SampleStore::set_quality(std::size_t page, std::size_t column, std::span<const SampleQuality> quality) {
    file_.write_at(page_at(page) + quality_at(column), bytes_of(quality));
}

}  // namespace bakewright::probe
