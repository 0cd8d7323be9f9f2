#include "bakewright/base/background.hpp"

#include <utility>

namespace bakewright {

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
