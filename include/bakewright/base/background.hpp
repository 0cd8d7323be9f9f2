#pragma once

#include <condition_variable>
#include <functional>
#include <future>
#include <mutex>
#include <thread>

namespace bakewright {

/// A thread that does one job after the other, so that whoever hands them over can meanwhile prepare the next. To be used from
/// one thread.
class Background {
public:
    Background();
    /// Waits for the job at hand; what it throws is lost.
    ~Background();
    Background(const Background&) = delete;
    Background& operator=(const Background&) = delete;

    /// Waits for the job before and begins this one. @throws what the job before threw; then this one is not begun
    void begin(std::function<void()> job);
    /// Waits for the job at hand, where there is one. @throws what it threw
    void wait();

private:
    void work();

    std::mutex mutex_;
    std::condition_variable handed_over_;
    std::packaged_task<void()> job_;
    bool has_job_ = false, is_over_ = false;
    std::future<void> running_;
    std::thread thread_;
};

}  // namespace bakewright
