// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <functional>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <thread>

#include "answers.hpp"
#include "bakewright/base/work.hpp"
#include "route.hpp"

namespace bakewright::page {

/// Work that takes longer than a request may. Each piece has a thread of its own; its answer is kept until others have pushed it
/// out. Any thread may call.
class Jobs {
public:
    /// Tells the progress how far it is, and ends soon after that says no; what it then returns counts for nothing.
    using Work = std::function<Json(const Progress& progress)>;

    static constexpr std::size_t kMostRunning = 4;
    static constexpr std::size_t kMostKept = 32;

    Jobs() = default;
    ~Jobs() { stop_all(); }
    Jobs(const Jobs&) = delete;
    Jobs& operator=(const Jobs&) = delete;

    /// The number of the new job. @throws InputError where kMostRunning go on already
    int start(Work work);
    /// `state` (`running`, `done`, `failed`, `stopped`), `share` of it that is done, `answer`. @throws InputError for no such job
    [[nodiscard]] Answer state(int number);
    /// A job that is done stays done. @throws InputError for no such job
    void stop(int number);
    /// All end soon; nobody waits for them.
    void ask_all_to_stop();
    /// Stops all and waits for them.
    void stop_all();

private:
    struct Job;
    [[nodiscard]] std::shared_ptr<Job> find(int number);
    void forget_old();

    std::mutex mutex_;
    std::map<int, std::shared_ptr<Job>> jobs_;
    int last_ = 0;
};

/// Registers /api/jobs/{}.
void add_job_routes(Routes& routes, Jobs& jobs);

}  // namespace bakewright::page
