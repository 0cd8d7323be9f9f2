// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/inbox.hpp"

#include <algorithm>
#include <utility>

namespace bakewright::record {
namespace {

constexpr std::size_t kMostNotices = 1000;

}  // namespace

std::size_t Inbox::size_of(const std::vector<SourceRow>& rows) {
    std::size_t size = 0;
    for (const SourceRow& row : rows) size += row.readings.size();
    return size;
}

void Inbox::announce(std::size_t source, Announcement announcement) {
    const std::lock_guard lock(mutex_);
    arrivals_.push_back({source, std::move(announcement)});
    came_.notify_one();
}

void Inbox::tell(std::size_t source, SourceNotice notice) {
    const std::lock_guard lock(mutex_);
    if (notices_ >= kMostNotices) return;
    ++notices_;
    arrivals_.push_back({source, std::move(notice)});
    came_.notify_one();
}

bool Inbox::put(std::size_t source, std::vector<SourceRow> rows) {
    const std::size_t size = size_of(rows);
    const std::lock_guard lock(mutex_);
    if (is_closed_ || waiting_ + size > most_) {
        lost_[source] += size;
        return false;
    }
    waiting_ += size;
    arrivals_.push_back({source, std::move(rows)});
    came_.notify_one();
    return true;
}

bool Inbox::put_waiting(std::size_t source, std::vector<SourceRow> rows) {
    const std::size_t size = size_of(rows);
    std::unique_lock lock(mutex_);
    went_.wait(lock, [&] { return is_closed_ || waiting_ == 0 || waiting_ + size <= most_; });
    if (is_closed_) return false;
    waiting_ += size;
    arrivals_.push_back({source, std::move(rows)});
    came_.notify_one();
    return true;
}

std::vector<Arrival> Inbox::take(std::chrono::milliseconds wait) {
    std::unique_lock lock(mutex_);
    came_.wait_for(lock, wait, [&] { return is_closed_ || !arrivals_.empty(); });
    waiting_ = notices_ = 0;
    went_.notify_all();
    return std::exchange(arrivals_, {});
}

std::map<std::size_t, std::uint64_t> Inbox::take_lost() {
    const std::lock_guard lock(mutex_);
    return std::exchange(lost_, {});
}

std::size_t Inbox::waiting() const {
    const std::lock_guard lock(mutex_);
    return waiting_;
}

void Inbox::close() {
    const std::lock_guard lock(mutex_);
    is_closed_ = true;
    came_.notify_all();
    went_.notify_all();
}

}  // namespace bakewright::record
