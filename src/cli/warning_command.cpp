// SPDX-License-Identifier: Apache-2.0
#include "warning_command.hpp"

#include <fcntl.h>
#include <fmt/core.h>
#include <signal.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <chrono>
#include <cstring>
#include <utility>

#include "bakewright/base/words.hpp"

namespace bakewright::cli {

WarningCommand::WarningCommand(std::string program) : program_(std::move(program)) {
    if (!program_.empty()) thread_ = std::jthread([this](const std::stop_token& stop) { work(stop); });
}

WarningCommand::~WarningCommand() {
    thread_.request_stop();
    came_.notify_all();
}

void WarningCommand::run_for(const report::LiveWarning& warning) {
    if (program_.empty()) return;
    const std::lock_guard lock(mutex_);
    waiting_.push_back({program_, warning.cleared_s ? "cleared" : "raised", std::string(word_of(warning.kind)), warning.subject,
                        warning.says.text() + (warning.cleared_s ? "" : ". " + warning.to_do)});
    if (waiting_.size() > kMostWaiting) waiting_.pop_front();
    came_.notify_one();
}

void WarningCommand::work(const std::stop_token& stop) {
    std::unique_lock lock(mutex_);
    while (came_.wait(lock, stop, [&] { return !waiting_.empty(); })) {
        const std::vector<std::string> words = std::move(waiting_.front());
        waiting_.pop_front();
        lock.unlock();
        run(words);
        lock.lock();
        if (stop.stop_requested()) return;
    }
}

void WarningCommand::fail(const std::string& how) {
    if (!std::exchange(has_failed_, true)) fmt::print(stderr, "bakewright: --on-warning {}: {}\n", program_, how);
}

void WarningCommand::run(const std::vector<std::string>& words) {
    std::vector<char*> arguments;
    for (const std::string& word : words) arguments.push_back(const_cast<char*>(word.c_str()));  // posix_spawn changes none
    arguments.push_back(nullptr);
    posix_spawn_file_actions_t files;
    posix_spawnattr_t how;
    ::posix_spawn_file_actions_init(&files);
    ::posix_spawn_file_actions_addopen(&files, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    ::posix_spawn_file_actions_addopen(&files, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    ::posix_spawnattr_init(&how);
    ::posix_spawnattr_setpgroup(&how, 0);  // a group of its own: Ctrl-C is not for it, and all of it is ended together
    ::posix_spawnattr_setflags(&how, POSIX_SPAWN_SETPGROUP);
    pid_t child = 0;
    const int failed = ::posix_spawnp(&child, arguments.front(), &files, &how, arguments.data(), environ);
    ::posix_spawnattr_destroy(&how);
    ::posix_spawn_file_actions_destroy(&files);
    if (failed != 0) return fail(std::strerror(failed));
    const auto until = std::chrono::steady_clock::now() + std::chrono::duration<double>(kTimeoutS);
    int status = 0;
    while (::waitpid(child, &status, WNOHANG) == 0) {
        if (std::chrono::steady_clock::now() >= until) {
            ::kill(-child, SIGKILL);
            ::waitpid(child, &status, 0);
            return fail(fmt::format("took longer than {:.0f} s and was ended", kTimeoutS));
        }
        std::this_thread::sleep_for(std::chrono::milliseconds(20));
    }
    if (!WIFEXITED(status) || WEXITSTATUS(status) != 0) fail("failed; the recording goes on");
}

}  // namespace bakewright::cli
