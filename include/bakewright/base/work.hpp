// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <condition_variable>
#include <cstddef>
#include <functional>
#include <future>
#include <mutex>
#include <thread>

namespace bakewright {

/// Told how far a long piece of work is, 0 to 1; answers whether to go on. An empty function means nobody listens.
using Progress = std::function<bool(double fraction)>;

/// Threads to work on: as many as asked for, one a core where 0 is asked; 1 to 1024.
[[nodiscard]] std::size_t threads_for(std::size_t asked) noexcept;

/// Calls work(index, worker) for every index below `count`, several at a time; workers are numbered from 0, the calling thread.
/// Indices are begun in order. Each call sees only what is its own or its worker's, so that results do not depend on the number
/// of threads. Where work answers false or throws, what was begun is ended and nothing more is begun.
/// @param thread_count  as of threads_for()
/// @returns how many from the first on are done, without a hole
/// @throws whatever work throws, of the lowest index
std::size_t for_each_index(std::size_t count, std::size_t thread_count,
                           const std::function<bool(std::size_t index, std::size_t worker)>& work);
/// Asks whether to go on, from any thread.
using GoesOn = std::function<bool()>;
/// The same, where `progress` is told after each, by one thread at a time, and may stop it. Work that takes long asks `goes_on`
/// in between and answers false where it left off: that index is not done.
[[nodiscard]] std::size_t for_each_index(std::size_t count, std::size_t thread_count, const Progress& progress,
                                         const std::function<bool(std::size_t index, const GoesOn& goes_on)>& work);

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
