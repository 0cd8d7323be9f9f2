// SPDX-License-Identifier: Apache-2.0
#include "good_samples.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

namespace bakewright::probe {
namespace {

constexpr std::size_t kPageRows = 16384;

void copy_page(const Trace& trace, std::size_t page, SamplePage& into) {
    const auto from = static_cast<std::ptrdiff_t>(page * kPageRows);
    const auto to = static_cast<std::ptrdiff_t>(std::min((page + 1) * kPageRows, trace.size()));
    into.time_s.assign(trace.time_s.begin() + from, trace.time_s.begin() + to);
    into.temperature_k.assign(trace.temperature_k.begin() + from, trace.temperature_k.begin() + to);
    into.quality.clear();
    if (!trace.quality.empty()) into.quality.assign(trace.quality.begin() + from, trace.quality.begin() + to);
}

ScannedSamples scan(const Trace& trace, const LookOut& look_out) {
    SampleScan scan(look_out);
    for (std::size_t from = 0; from < trace.size(); from += kPageRows)
        scan.take(codec::samples_of(trace, from, std::min(kPageRows, trace.size() - from)));
    return scan.finish();
}

}  // namespace

GoodSamples::GoodSamples(const Trace& trace, const LookOut& look_out)
    : GoodSamples(trace.name, kPageRows, scan(trace, look_out),
                  [&trace](std::size_t page, SamplePage& into) { copy_page(trace, page, into); }) {}

GoodSamples::GoodSamples(std::string name, std::size_t page_rows, ScannedSamples scanned, LoadPage load)
    : name_(std::move(name)), page_rows_(page_rows), load_(std::move(load)), scanned_(std::move(scanned)) {}

void GoodSamples::read(std::size_t number, Page& page) const {
    SamplePage& all = page.values;
    load_(number, all);
    page.first = scanned_.first_good[number];
    page.size = scanned_.first_good[number + 1] - page.first;
    page.begin = number * page_rows_;
    page.sample.clear();
    if (page.size == all.time_s.size()) return;
    page.sample.reserve(page.size);
    for (std::size_t i = 0; i < all.time_s.size(); ++i) {
        const bool is_good = all.quality.empty() || all.quality[i] == SampleQuality::good;
        if (!is_good || !std::isfinite(all.temperature_k[i])) continue;
        all.time_s[page.sample.size()] = all.time_s[i];
        all.temperature_k[page.sample.size()] = all.temperature_k[i];
        page.sample.push_back(page.begin + i);
    }
}

void GoodSamples::turn_page(std::size_t i) const {
    std::swap(hot_, cold_);
    if (i - hot_->first < hot_->size) return;
    const auto behind = std::upper_bound(scanned_.first_good.begin(), scanned_.first_good.end(), i);
    read(static_cast<std::size_t>(behind - scanned_.first_good.begin()) - 1, *hot_);
}

std::size_t GoodSamples::first_from(double time_s) const {
    const auto& first_time_s = scanned_.first_time_s;
    const auto page = std::lower_bound(first_time_s.begin(), first_time_s.end(), time_s) - first_time_s.begin();
    // The page before may hold it; of that page no more than its end is looked for.
    std::size_t low = scanned_.first_good[static_cast<std::size_t>(std::max<std::ptrdiff_t>(page - 1, 0))];
    std::size_t high = scanned_.first_good[static_cast<std::size_t>(page)];
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (this->time_s(middle) < time_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

GoodSamples::Movement GoodSamples::movement(double from_s, double to_s) const {
    Movement moved;
    const std::size_t first = first_from(from_s);
    for (std::size_t i = first; i < size() && time_s(i) <= to_s; ++i) {
        const double here_k = temperature_k(i);
        if (i == first) moved = {here_k, here_k, here_k, here_k};
        moved.least_k = std::min(moved.least_k, here_k);
        moved.most_k = std::max(moved.most_k, here_k);
        moved.last_k = here_k;
    }
    return moved;
}

}  // namespace bakewright::probe
