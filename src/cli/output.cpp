// SPDX-License-Identifier: Apache-2.0
#include "output.hpp"

#include <fmt/core.h>
#include <sys/ioctl.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <utility>

#include "bakewright/report/json.hpp"
#include "bakewright/report/temperature_plot.hpp"

namespace bakewright::cli {

namespace {

volatile std::sig_atomic_t interrupt_seen = 0;

/// The signals that ask a program to end; the work at hand stops at its next step and takes its unfinished files away.
constexpr int kEndings[]{SIGINT, SIGTERM, SIGHUP};

/// The second one ends the program at once, also where it waits for a disk or the other end of a pipe.
void note_interrupt(int signal) {
    interrupt_seen = 1;
    std::signal(signal, SIG_DFL);
}

void listen_for_endings(void (*handler)(int)) {
    for (const int signal : kEndings) {
        // What the program was started to ignore (nohup) stays ignored.
        const auto before = std::signal(signal, handler);
        if (before == SIG_IGN) std::signal(signal, SIG_IGN);
    }
}

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

namespace {

/// Lines of the terminal; nothing where standard output is none.
std::optional<std::size_t> terminal_height() {
    winsize size{};
    const bool known = ::isatty(STDOUT_FILENO) != 0 && ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 0;
    return known ? std::optional<std::size_t>(size.ws_row) : std::nullopt;
}

/// Through $PAGER. False where there is none or it cannot be started; a pager that is left early is no fault.
bool print_in_pager(const std::string& text) {
    const char* pager = std::getenv("PAGER");
    if (pager == nullptr || *pager == '\0') return false;
    ::setenv("LESS", "FRX", 0);  // shows bold, ends by itself where all fits
    std::fflush(stdout);
    const auto before = std::signal(SIGPIPE, SIG_IGN);
    std::FILE* pipe = ::popen(pager, "w");
    if (pipe == nullptr) {
        std::signal(SIGPIPE, before);
        return false;
    }
    std::fwrite(text.data(), 1, text.size(), pipe);
    const int status = ::pclose(pipe);
    std::signal(SIGPIPE, before);
    constexpr int kNotFound = 127;
    return !(WIFEXITED(status) && WEXITSTATUS(status) == kNotFound);
}

}  // namespace

void print(const report::Answer& answer, const Options& options) {
    const std::string text = answer.text(options.details());
    const std::optional<std::size_t> height = terminal_height();
    const auto lines = static_cast<std::size_t>(std::count(text.begin(), text.end(), '\n'));
    if (height && lines >= *height && print_in_pager(text)) return;
    print(text);
}

void print_json(const report::Json& document, int indent) { print(report::json_text(document, indent) + "\n"); }

void print_json(report::Json document, const report::Checklist& list) {
    report::put_checklist(document, list);
    print_json(document);
}

report::Json kept_as(report::Json document, const std::optional<book::BakeId>& id) {
    report::put_first(document, "bake", id ? report::Json(static_cast<std::int64_t>(*id)) : report::Json(nullptr));
    return document;
}

ProgressLine::ProgressLine(std::string_view what) : what_(what), began_s_(now_s()) { listen_for_endings(note_interrupt); }

ProgressLine::~ProgressLine() {
    listen_for_endings(SIG_DFL);
    if (shown_) std::fprintf(stderr, "\r%60s\r", "");  // throws nothing where the terminal is gone
}

bool ProgressLine::interrupted() noexcept { return interrupt_seen != 0; }

void ProgressLine::forget_interrupt() noexcept {
    interrupt_seen = 0;
    listen_for_endings(note_interrupt);
}

Progress ProgressLine::listener() {
    return [this](double fraction) {
        if (now_s() - began_s_ > 1.0 && ::isatty(STDERR_FILENO) != 0) {
            std::fprintf(stderr, "\r%.*s: %.0f %% done", static_cast<int>(what_.size()), what_.data(), 100.0 * fraction);
            std::fflush(stderr);
            shown_ = true;
        }
        return !interrupted();
    };
}

namespace {

/// By the environment, in the order of POSIX.1-2017, section 8.2.
bool locale_is_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        const char* value = std::getenv(name);
        if (value == nullptr || *value == '\0') continue;
        std::string text(value);
        std::transform(text.begin(), text.end(), text.begin(),
                       [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
        return text.find("utf-8") != std::string::npos || text.find("utf8") != std::string::npos;
    }
    return false;
}

}  // namespace

void describe_plot(Options& options) {
    options.add()("plot", "draw the temperatures in the terminal too: booth air, hottest and coolest coated zone, hottest item");
}

std::string asked_plot(const Options& options, const TraceSet& traces, const std::vector<std::string>& coated_zones,
                       std::optional<double> level_k) {
    if (!options.flag("plot")) return {};
    report::PlotOptions how;
    how.text = text_options(options);
    how.dots = locale_is_utf8();
    how.level_k = level_k;
    how.started_at = traces.started_at;
    const std::string plot = report::temperature_plot(traces, report::traces_to_plot(traces, coated_zones), how);
    return plot.empty() ? plot : plot + "\n";
}

}  // namespace bakewright::cli
