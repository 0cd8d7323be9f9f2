// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <cstdlib>
#include <functional>

namespace bakewright::book::testing {

/// Runs work in a process of its own and gives its exit status; 128 and more where a signal ended it. No book may be open in
/// this process meanwhile: SQLite's locks do not survive a fork.
inline int in_child(const std::function<int()>& work) {
    const pid_t child = fork();
    if (child == 0) _exit(work());
    int status = 0;
    waitpid(child, &status, 0);
    return WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
}

/// The same without the rights of root, whom no read-only folder stops.
inline int as_nobody(const std::function<int()>& work) {
    constexpr uid_t kNobody = 65534;
    return in_child([&] {
        if (geteuid() == 0 && (setgid(kNobody) != 0 || setuid(kNobody) != 0)) return 99;
        return work();
    });
}

}  // namespace bakewright::book::testing
