// SPDX-License-Identifier: Apache-2.0
#include "jobs.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <charconv>

#include "answers.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::page {

struct Jobs::Job {
    std::atomic<double> share{0.0};
    std::atomic<bool> is_stopped{false};
    std::atomic<bool> is_done{false};
    Outcome outcome;  ///< good from is_done on
    std::thread thread;

    ~Job() {
        is_stopped = true;
        if (thread.joinable()) thread.join();
    }
};

namespace {

int job_number(const std::string& text) {
    int number = 0;
    const auto [end, status] = std::from_chars(text.data(), text.data() + text.size(), number);
    if (status != std::errc{} || end != text.data() + text.size()) throw InputError(Problem{{}, 0, "job", "is not a number"});
    return number;
}

}  // namespace

int Jobs::start(Work work) {
    const std::lock_guard lock(mutex_);
    const auto running = std::count_if(jobs_.begin(), jobs_.end(), [](const auto& job) { return !job.second->is_done; });
    if (static_cast<std::size_t>(running) >= kMostRunning)
        throw InputError(Problem{{}, 0, "job", fmt::format("{} pieces of work go on already; wait for one or stop it", running)});
    forget_old();
    auto job = std::make_shared<Job>();
    // The thread holds no share of the job: whoever lets go of it last waits for the thread.
    job->thread = std::thread([&made = *job, work = std::move(work)] {
        const Progress progress = [&](double share) {
            made.share = share;
            return !made.is_stopped;
        };
        made.outcome = outcome_of([&] { return work(progress); });
        made.is_done = true;
    });
    jobs_.emplace(++last_, std::move(job));
    return last_;
}

void Jobs::forget_old() {
    for (auto at = jobs_.begin(); at != jobs_.end() && jobs_.size() >= kMostKept;)
        at = at->second->is_done ? jobs_.erase(at) : std::next(at);
}

std::shared_ptr<Jobs::Job> Jobs::find(int number) {
    const std::lock_guard lock(mutex_);
    const auto at = jobs_.find(number);
    if (at == jobs_.end()) throw InputError(Problem{{}, 0, "job", fmt::format("there is no job {}", number)});
    return at->second;
}

Answer Jobs::state(int number) {
    const std::shared_ptr<Job> job = find(number);
    std::string state = "running";
    Json answer = nullptr;
    if (job->is_done) {
        state = job->is_stopped ? "stopped" : (job->outcome.status == 200 ? "done" : "failed");
        if (!job->is_stopped) answer = job->outcome.document;
    }
    return json_answer(
        "job",
        {{"job", number}, {"state", state}, {"share", job->is_done ? 1.0 : job->share.load()}, {"answer", std::move(answer)}});
}

void Jobs::stop(int number) {
    const std::shared_ptr<Job> job = find(number);
    if (!job->is_done) job->is_stopped = true;
}

void Jobs::ask_all_to_stop() {
    const std::lock_guard lock(mutex_);
    for (const auto& [number, job] : jobs_)
        if (!job->is_done) job->is_stopped = true;
}

void Jobs::stop_all() {
    std::map<int, std::shared_ptr<Job>> all;
    {
        const std::lock_guard lock(mutex_);
        all.swap(jobs_);
    }
    for (const auto& [number, job] : all) job->is_stopped = true;
}

void add_job_routes(Routes& routes, Jobs& jobs) {
    routes.add("GET", "/api/jobs/{}", [&jobs](const Asked& asked) { return jobs.state(job_number(asked.parts[0])); });
    routes.add("DELETE", "/api/jobs/{}", [&jobs](const Asked& asked) {
        jobs.stop(job_number(asked.parts[0]));
        return jobs.state(job_number(asked.parts[0]));
    });
}

}  // namespace bakewright::page
