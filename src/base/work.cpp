// SPDX-License-Identifier: Apache-2.0
#include "bakewright/base/work.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <utility>
#include <vector>

namespace bakewright {

std::size_t threads_for(std::size_t asked) noexcept {
    return std::clamp<std::size_t>(asked > 0 ? asked : std::thread::hardware_concurrency(), 1, 1024);
}

std::size_t for_each_index(std::size_t count, std::size_t thread_count,
                           const std::function<bool(std::size_t index, std::size_t worker)>& work) {
    std::atomic<std::size_t> next{0};
    std::atomic<bool> is_stopped{false};
    std::vector<char> is_done(count, 0);
    std::vector<std::exception_ptr> failures(count);
    const auto take_all = [&](std::size_t worker) {
        for (std::size_t index = next++; index < count && !is_stopped; index = next++) {
            try {
                if (!work(index, worker)) is_stopped = true;
                is_done[index] = 1;
            } catch (...) {
                failures[index] = std::current_exception();
                is_stopped = true;
            }
        }
    };
    {
        std::vector<std::jthread> others;
        for (std::size_t worker = 1; worker < std::min(threads_for(thread_count), count); ++worker)
            others.emplace_back(take_all, worker);
        take_all(0);
    }
    for (const std::exception_ptr& failure : failures)
        if (failure) std::rethrow_exception(failure);
    return static_cast<std::size_t>(std::find(is_done.begin(), is_done.end(), 0) - is_done.begin());
}

std::size_t for_each_index(std::size_t count, std::size_t thread_count, const Progress& progress,
                           const std::function<bool(std::size_t index, const GoesOn& goes_on)>& work) {
    std::mutex mutex;
    std::size_t done_count = 0;
    bool goes_on = true;
    const auto ask = [&](std::size_t more) {
        const std::lock_guard lock(mutex);
        done_count += more;
        if (progress && goes_on) goes_on = progress(static_cast<double>(done_count) / static_cast<double>(count));
        return goes_on;
    };
    std::vector<char> is_left(count, 0);
    const std::size_t begun = for_each_index(count, thread_count, [&](std::size_t index, std::size_t) {
        is_left[index] = !work(index, [&] { return ask(0); });
        return !is_left[index] && ask(1);
    });
    return std::min(begun, static_cast<std::size_t>(std::find(is_left.begin(), is_left.end(), 1) - is_left.begin()));
}

Background::Background() : thread_([this] { work(); }) {}

Background::~Background() {
    {
        const std::lock_guard lock(mutex_);
        is_over_ = true;
    }
    handed_over_.notify_one();
    thread_.join();
}

void Background::begin(std::function<void()> job) {
    wait();
    {
        const std::lock_guard lock(mutex_);
        job_ = std::packaged_task<void()>(std::move(job));
        running_ = job_.get_future();
        has_job_ = true;
    }
    handed_over_.notify_one();
}

void Background::wait() {
    if (running_.valid()) running_.get();
}

void Background::work() {
    for (;;) {
        std::unique_lock lock(mutex_);
        handed_over_.wait(lock, [this] { return has_job_ || is_over_; });
        if (!has_job_) return;
        has_job_ = false;
        std::packaged_task<void()> job = std::move(job_);
        lock.unlock();
        job();
    }
}

}  // namespace bakewright
