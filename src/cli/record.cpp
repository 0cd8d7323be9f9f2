// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/record/recorder.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/report/record_text.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/evidence.hpp"
#include "bakewright/services/live.hpp"
#include "bakewright/services/live_score.hpp"
#include "bakewright/services/recording.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "bakewright/services/track_record.hpp"
#include "bakewright/services/tune_records.hpp"
#include "command.hpp"
#include "live_watch.hpp"
#include "options.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

constexpr std::chrono::milliseconds kStep{200};
constexpr double kScreenEveryS = 1.0, kLineEveryS = 60.0;

/// Lines of a file, without a profile.
probe::SourceRecord lines_from(const std::string& path) {
    probe::SourceRecord source;
    source.id = path == "-" ? "standard input" : std::filesystem::path(path).filename().string();
    source.title = source.id;
    source.way = probe::SourceWay::lines;
    source.lines = probe::LineSettings{.path = path, .reading = {}};
    return source;
}

probe::SourceRecord replay_of(const std::string& bake, double speed) {
    probe::SourceRecord source;
    source.id = source.title = "replay of bake " + bake;
    source.way = probe::SourceWay::replay;
    source.replay = probe::ReplaySettings{.bake = bake, .speed = speed};
    return source;
}

services::RecordingTask recording_task(const Options& options) {
    const profile::Library library = options.library();
    services::RecordingTask task;
    for (const std::string& name : options.texts("source")) task.sources.push_back(profile::load_source(name, library).record);
    for (const std::string& path : options.texts("lines")) task.sources.push_back(lines_from(path));
    const double speed = options.number("speed").value_or(1.0);
    if (options.has("replay"))
        task.sources.push_back(replay_of(options.text("replay"), speed));
    else if (options.has("speed"))
        wrong_option("--speed", "serves with --replay");
    for (const probe::SourceRecord& source : task.sources)
        if (std::vector<Problem> problems = probe::problems_in(source); !problems.empty())
            wrong_option(source.way == probe::SourceWay::replay ? "--speed" : "--lines", problems.front().message);
    if (task.sources.empty())
        wrong_option("--source", "is missing: name the sources to record from (profiles of kind source), or --lines FILE");
    if (options.has("shell")) task.shell = shell_of(options).record;
    if (options.has("booth")) task.booth = booth_of(options).record;
    if (options.has("coating")) task.coating = profile::load_coating(options.text("coating"), library).record;
    if (options.has("cycle")) task.cycle = profile::load_cycle(options.text("cycle"), library).record;
    task.title = options.text_or("title", "");
    task.program_version = kVersion;
    return task;
}

std::size_t screen_height() {
    winsize size{};
    return ::ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 && size.ws_row > 1 ? size.ws_row : 24;
}

std::string first_lines(const std::string& text, std::size_t count) {
    std::size_t end = 0;
    for (; count > 0 && end < text.size(); --count) end = std::min(text.find('\n', end), text.size() - 1) + 1;
    return text.substr(0, end);
}

/// What is seen while it goes on: a screen that is set anew each second, or a line a minute where there is no terminal.
class View {
public:
    explicit View(const Options& options) : options_(options), is_screen_(!options.json() && ::isatty(STDOUT_FILENO) != 0) {}

    /// @param live  the newest state; null: nothing is foretold
    void show(const record::RecorderStatus& status, const std::string& booth, const report::LiveState* live) {
        if (status.trouble != trouble_) {
            trouble_ = status.trouble;
            if (!is_screen_)
                fmt::print(stderr, "bakewright: {}\n", trouble_.empty() ? "the book can be written again" : trouble_);
        }
        if (options_.json() || !is_due(is_screen_ ? kScreenEveryS : kLineEveryS)) return;
        if (!is_screen_) {
            print(report::recording_line(status, text_options(options_)));
        } else {
            std::string all = report::recording_screen(status, booth, text_options(options_));
            if (live != nullptr) all = report::live_screen(*live, text_options(options_)) + "\n" + all;
            std::string text = first_lines(all, screen_height() - 1);
            for (std::size_t at = text.find('\n'); at != std::string::npos; at = text.find('\n', at + 4))
                text.insert(at, "\x1b[K");
            print("\x1b[H" + text + "\x1b[J");
        }
        std::fflush(stdout);
    }

    /// What a new state says: on a screen the bell, elsewhere lines.
    void tell(const report::LiveState& live, const std::vector<report::LiveWarning>& changes) {
        if (options_.json()) return;
        if (!is_screen_ && !std::exchange(has_advised_, true)) print(std::string(report::kLiveAdvice) + "\n");
        if (!is_screen_) print(report::live_line(live, text_options(options_)));
        for (const report::LiveWarning& warning : changes)
            if (!is_screen_)
                print(report::live_warning_line(warning) + "\n");
            else if (!warning.cleared_s)
                print("\a");
        std::fflush(stdout);
    }

private:
    bool is_due(double every_s) {
        const auto now = std::chrono::steady_clock::now();
        if (shown_ && now - *shown_ < std::chrono::duration<double>(every_s)) return false;
        if (!shown_ && is_screen_) print("\x1b[2J");
        shown_ = now;
        return true;
    }

    const Options& options_;
    bool is_screen_, has_advised_ = false;
    std::string trouble_;
    std::optional<std::chrono::steady_clock::time_point> shown_;
};

services::LiveOptions live_options(const Options& options, const services::RecordingTask& task, book::Book& book) {
    services::LiveOptions live;
    if (task.booth) live.record = services::booth_record(book, task.booth->id);
    live.earlier_evidence = services::earlier_evidence(book, {});
    live.cycle = task.cycle;
    live.setpoint_k = options.quantity("set-point", Dimension::temperature);
    live.thread_count = 1;  // a machine that records has other things to do as well
    return live;
}

/// The words of another command on this book, in these units.
std::vector<std::string> words_on_book(const Options& options, std::vector<std::string> words) {
    words.insert(words.end(), {"--book", options.book_path()});
    if (options.has("units")) words.insert(words.end(), {"--units", options.text("units")});
    return words;
}

/// What a bake came to, as soon as it is over: the verdict, the comparison with its plan, and how its forecast did.
void tell_after(const Options& options, book::Book& book, book::BakeId id, LiveWatch& watch) {
    ProgressLine::forget_interrupt();
    const std::string number = fmt::format("{}", static_cast<std::int64_t>(id));
    const services::StoredBake finished = services::load_bake(book, id);
    print("\n");
    static_cast<void>(run_judge(words_on_book(options, {number})));
    if (finished.record.paired_bake) {
        print("\n");
        const std::string plan = fmt::format("{}", static_cast<std::int64_t>(*finished.record.paired_bake));
        static_cast<void>(run_compare(words_on_book(options, {plan, number})));
    }
    if (const auto said = watch.said(); said && finished.coating)
        print(report::list_text("\nWhat was foretold", services::said_against_came(*said, finished, *finished.coating),
                                text_options(options)));
    services::keep_evidence_of(book, finished);
    print(report::paragraph_text(fmt::format("Next: `bakewright report {0} --out bake_{0}.html`, `bakewright tune {0}`.", number),
                                 text_options(options)));
}

/// How a recording stands, or stood at a time, from the book alone.
int tell_status(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const book::BakeId id = services::bake_id(book, options.text("status"), "--status");
    services::StoredBake so_far = services::recorded_so_far(book, id);
    if (options.has("coating")) so_far.coating = profile::load_coating(options.text("coating"), options.library()).record;
    services::LiveOptions how;
    how.setpoint_k = options.quantity("set-point", Dimension::temperature);
    how.cycle = options.has("cycle") ? profile::load_cycle(options.text("cycle"), options.library()).record
                                     : services::cycle_set_for(book, so_far);
    if (so_far.booth) how.record = services::booth_record(book, so_far.booth->id, id);
    how.earlier_evidence = services::earlier_evidence(book, {services::bake_label(so_far.record)});
    if (const auto at_s = options.quantity("at", Dimension::time)) services::cut_off_at(so_far, *at_s);
    const report::LiveState state = services::LiveBake(how).update(so_far);
    if (options.json())
        print_json(report::live_document(state));
    else
        print(report::live_screen(state, text_options(options)));
    return static_cast<int>(state.is_known ? ExitStatus::fine : ExitStatus::answer_is_no);
}

/// Waits until what came last is kept, so that whoever looks into the book sees it; a book that refuses is not waited for.
void keep_last(record::Recorder& recorder) {
    constexpr std::chrono::seconds kLongest{5};
    const auto until = std::chrono::steady_clock::now() + kLongest;
    while (recorder.status().in_memory > 0 && std::chrono::steady_clock::now() < until) recorder.step(kStep);
}

int record_with(const Options& options) {
    const services::RecordingTask task = recording_task(options);
    const std::string booth = services::recorded_booth(task);
    const std::optional<double> stop_after_s = options.quantity("stop-after", Dimension::time);
    record::RecorderOptions how;
    how.go_on_within_s =
        options.flag("new") ? -1.0 : options.quantity("go-on-within", Dimension::time).value_or(how.go_on_within_s);
    const record::ComputerClocks clock(services::recording_speed(task));
    record::RecorderTask made;
    const bool is_foretold = task.shell && task.booth && task.coating;
    services::LiveOptions live;
    {
        book::Book book = options.open_book(book::Mode::create);
        made = services::recorder_task(book, task);
        if (options.has("of")) made.bake.paired_bake = services::bake_id(book, options.text("of"), "--of");
        if (is_foretold) live = live_options(options, task, book);  // before any reading has to wait for it
    }
    book::OpenOptions opening = how_to_open();
    opening.busy_timeout_ms = 1000;  // readings wait in memory meanwhile, and it is tried again
    book::Book book = book::Book::open(options.book_path(), book::Mode::read_write, opening);
    const ProgressLine endings("recording");  // Ctrl-C, and what the system sends
    LiveWatch watch(live, options.text_or("on-warning", ""));
    if (is_foretold)
        made.observer = [&watch](std::span<const book::RecordedSample> samples,
                                 const std::vector<record::ChannelStatus>& channels, double) { watch.hear(samples, channels); };
    record::Recorder recorder(book, std::move(made), clock, how);
    View view(options);
    while (!ProgressLine::interrupted()) {
        // Asked before the step that takes what came last.
        const bool is_last = recorder.has_ended();
        recorder.step(kStep);
        const record::RecorderStatus status = recorder.status();
        if (is_foretold && watch.follow(recorder, book, status)) view.tell(*watch.state(), watch.changes());
        view.show(status, booth, watch.state() ? &*watch.state() : nullptr);
        if (is_last && is_foretold) {
            keep_last(recorder);
            if (watch.follow_to_end(recorder, book, recorder.status())) view.tell(*watch.state(), watch.changes());
        }
        if (is_last || (stop_after_s && status.now_s >= *stop_after_s)) break;
    }
    recorder.finish();
    const record::RecorderStatus status = recorder.status();
    if (options.json())
        print_json(report::recording_document(status, booth));
    else
        print(report::recording_summary(status, text_options(options)));
    if (!options.json() && is_foretold && status.bake && status.kept > 0) tell_after(options, book, *status.bake, watch);
    return static_cast<int>(status.kept > 0 ? ExitStatus::fine : ExitStatus::not_done);
}

}  // namespace

int run_record(const std::vector<std::string>& words) {
    Options options(
        "record --source NAME... [--shell NAME] [--booth NAME] [--coating NAME] [options]",
        "Records a bake as it happens: readings of instruments go into the book as the log of a bake, safe on the disk five\n"
        "seconds after they came. Ctrl-C ends it. A recording that broke off (power, a crash) is gone on with by the same\n"
        "command. With shell, booth, coating and cycle it tells while it bakes when each zone will be good. Advice alone: it\n"
        "switches nothing and is no safety device.");
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("source", texts("NAME"), "where readings come from: a profile of kind source; may be repeated")(
        "lines", texts("FILE"),
        "lines of a logger from a file that grows or a named pipe, - for standard input, without a profile")(
        "replay", text("BAKE"), "a logged bake of the book as if it came now")(
        "speed", text("N"), "how many times as fast; default 1")("shell", text("NAME"),
                                                                 "shell that is baked: channels find its zones and items")(
        "booth", text("NAME"), "booth it is baked in")("coating", text("NAME"), "coating that is baked")(
        "of", text("BAKE"), "number of the predicted bake this is the log of")("title", text("TEXT"), "title in the book")(
        "stop-after", text("TIME"), "end by itself after this time")("new",
                                                                     "begin a new log even where one of this booth broke off")(
        "go-on-within", text("TIME"), "go on with one that broke off no longer ago; default 2 h")(
        "seal", text("BAKE"), "end a recording that broke off, and do nothing else")(
        "cycle", text("NAME"), "cycle that is set: with shell, booth and coating each zone's minute is told while it bakes")(
        "set-point", text("TEMP"), "set point that is set now, in place of what the cycle still has")(
        "on-warning", text("PROGRAM"),
        "program to run for each warning, for a lamp or a message; never for a burner, fan or interlock")(
        "status", text("BAKE"), "tell how a recording stands, and do nothing else")(
        "at", text("TIME"), "with --status: as it stood so long after its start");
    options.takes_job_at_hand();
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("status")) return tell_status(options);
    if (options.has("at")) wrong_option("--at", "goes with --status");
    if (!options.has("seal")) return record_with(options);
    book::Book book = options.open_book(book::Mode::read_write);
    const book::BakeId id = services::bake_id(book, options.text("seal"), "--seal");
    record::seal_recording(book, id);
    fmt::print("bake {} is sealed: it is a log like any other.\n", static_cast<std::int64_t>(id));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
