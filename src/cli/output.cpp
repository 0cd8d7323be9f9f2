#include "output.hpp"

#include <fmt/core.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdlib>

namespace bakewright::cli {
namespace {

volatile std::sig_atomic_t interrupt_seen = 0;

void note_interrupt(int) { interrupt_seen = 1; }

double now_s() { return std::chrono::duration<double>(std::chrono::steady_clock::now().time_since_epoch()).count(); }

std::size_t terminal_width() {
    winsize size{};
    const bool known = ::isatty(STDOUT_FILENO) != 0 && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_col > 0;
    return known ? std::max<std::size_t>(size.ws_col, 60) : 80;
}

}  // namespace

report::TextOptions text_options(const Options& options) {
    const char* no_color = std::getenv("NO_COLOR");
    const bool plain = no_color != nullptr && *no_color != '\0';
    return {options.units(), {terminal_width(), ::isatty(STDOUT_FILENO) != 0 && !plain}};
}

void print(std::string_view text) { fmt::print("{}", text); }

ProgressLine::ProgressLine(std::string_view what) : what_(what), began_s_(now_s()) { std::signal(SIGINT, note_interrupt); }

ProgressLine::~ProgressLine() {
    std::signal(SIGINT, SIG_DFL);
    if (shown_) fmt::print(stderr, "\r{:60}\r", "");
}

bool ProgressLine::interrupted() noexcept { return interrupt_seen != 0; }

Progress ProgressLine::listener() {
    return [this](double fraction) {
        if (now_s() - began_s_ > 1.0 && ::isatty(STDERR_FILENO) != 0) {
            fmt::print(stderr, "\r{}: {:.0f} % done", what_, 100.0 * fraction);
            std::fflush(stderr);
            shown_ = true;
        }
        return !interrupted();
    };
}

}  // namespace bakewright::cli
