// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <stdexcept>
#include <string>

#include "measure.hpp"

extern char** environ;

namespace bakewright::bench {
namespace {

/// Runs a program to its end, its output thrown away. @throws std::runtime_error where it cannot or does not succeed
void run(std::string program, std::string argument) {
    posix_spawn_file_actions_t actions;
    posix_spawn_file_actions_init(&actions);
    posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
    char* arguments[] = {program.data(), argument.data(), nullptr};
    pid_t child = 0;
    const int failed = posix_spawnp(&child, program.c_str(), &actions, nullptr, arguments, environ);
    posix_spawn_file_actions_destroy(&actions);
    int status = 0;
    if (failed != 0 || waitpid(child, &status, 0) != child || status != 0)
        throw std::runtime_error("cannot run " + program + " " + argument);
}

bool has_sqlite() {
    try {
        run("sqlite3", "--version");
        return true;
    } catch (const std::runtime_error&) {
        return false;
    }
}

}  // namespace

Record startup() {
    const std::string peer = has_sqlite() ? "sqlite3" : "true";
    const std::vector<double> median_s =
        interleaved_medians_s({[] { run(BAKEWRIGHT_PROGRAM, "--version"); }, [&] { run(peer, "--version"); }}, 101);
    return {"startup", median_s[0] * 1e3, "ms", peer + " --version", median_s[1] * 1e3, "a process from start to end"};
}

}  // namespace bakewright::bench
