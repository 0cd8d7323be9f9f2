#include "over_setpoints.hpp"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace bakewright::plan {
namespace {

class Pool {
public:
    Pool(std::size_t count, const Progress& progress, const std::function<void(std::size_t)>& work)
        : count_(count), progress_(progress), work_(work), done_(count, false), error_(count) {}

    void run() {
        for (std::size_t i = next_++; i < count_ && !stopped_; i = next_++) {
            try {
                work_(i);
            } catch (...) {
                error_[i] = std::current_exception();
                stopped_ = true;
            }
            tell(i);
        }
    }

    [[nodiscard]] std::size_t finish() const {
        for (const std::exception_ptr& error : error_)
            if (error) std::rethrow_exception(error);
        return static_cast<std::size_t>(std::find(done_.begin(), done_.end(), false) - done_.begin());
    }

private:
    void tell(std::size_t i) {
        const std::lock_guard lock(mutex_);
        done_[i] = true;
        ++done_count_;
        if (progress_ && !stopped_ && !progress_(static_cast<double>(done_count_) / static_cast<double>(count_))) stopped_ = true;
    }

    std::size_t count_;
    const Progress& progress_;
    const std::function<void(std::size_t)>& work_;
    std::atomic<std::size_t> next_{0};
    std::atomic<bool> stopped_{false};
    std::mutex mutex_;
    std::vector<bool> done_;
    std::size_t done_count_ = 0;
    std::vector<std::exception_ptr> error_;
};

}  // namespace

std::size_t over_setpoints(std::size_t count, std::size_t thread_count, const Progress& progress,
                           const std::function<void(std::size_t)>& work) {
    const std::size_t wanted = thread_count == 0 ? std::max(std::thread::hardware_concurrency(), 1U) : thread_count;
    Pool pool(count, progress, work);
    std::vector<std::jthread> others;
    for (std::size_t t = 1; t < std::min(wanted, count); ++t) others.emplace_back([&pool] { pool.run(); });
    pool.run();
    others.clear();
    return pool.finish();
}

}  // namespace bakewright::plan
