// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <unistd.h>

#include <string>
#include <vector>

#include "command.hpp"

namespace {

/// A standard stream that was closed must not become the next file that is opened: what is printed would go into it. In its
/// place stands one that refuses every byte, as the closed one did.
void occupy_standard_streams() {
    for (int stream = STDIN_FILENO; stream <= STDERR_FILENO; ++stream)
        if (::fcntl(stream, F_GETFD) < 0)  // open() takes the lowest free number: this one
            static_cast<void>(::open("/dev/null", stream == STDIN_FILENO ? O_WRONLY : O_RDONLY));
}

}  // namespace

int main(int argc, char** argv) {
    occupy_standard_streams();
    return bakewright::cli::run_program(std::vector<std::string>(argv + 1, argv + argc));
}
