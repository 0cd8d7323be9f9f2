// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/recorder.hpp"

#include <doctest/doctest.h>
#include <sqlite3.h>
#include <sys/resource.h>

#include <cmath>
#include <csignal>
#include <deque>
#include <mutex>

#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/book/verify.hpp"
#include "live.hpp"

using namespace live;

namespace {

/// A source whose rows a test hands in from outside of its thread.
class HandSource final : public Source {
public:
    explicit HandSource(std::vector<std::string> names) : names_(std::move(names)) {}
    void run(const std::stop_token& stop, const SourceLink& link) override {
        std::vector<probe::SourceChannel> channels;
        for (const std::string& name : names_) {
            probe::SourceChannel channel;
            channel.name = name;
            channels.push_back(channel);
        }
        link.announce(channels);
        link_.store(&link);
        while (wait_for(stop, 0.01) && !is_over) {
        }
        link_.store(nullptr);
    }
    /// A row of every channel at this time of the clock.
    void bring(double now_s, double temperature_k) {
        while (link_.load() == nullptr) std::this_thread::yield();
        SourceRow row{.arrived_s = now_s};
        for (std::size_t i = 0; i < names_.size(); ++i) row.readings.push_back({i, temperature_k + static_cast<double>(i)});
        link_.load()->put({std::move(row)});
    }
    void bring_each(double now_s, const std::vector<double>& temperatures_k) {
        while (link_.load() == nullptr) std::this_thread::yield();
        SourceRow row{.arrived_s = now_s};
        for (std::size_t i = 0; i < temperatures_k.size(); ++i) row.readings.push_back({i, temperatures_k[i]});
        link_.load()->put({std::move(row)});
    }
    std::atomic<bool> is_over = false;

private:
    std::vector<std::string> names_;
    std::atomic<const SourceLink*> link_ = nullptr;
};

/// A booth with one logger of three channels, a book in a folder of its own, and clocks that a test moves.
struct Shop {
    TemporaryFolder folder;
    StandingClocks clocks;
    HandSource* logger = nullptr;
    std::vector<book::RecordedSample> observed;

    [[nodiscard]] book::Book open(int busy_timeout_ms = 20) const {
        return book::Book::open(folder.file("bakes.book"), book::Mode::create, {.busy_timeout_ms = busy_timeout_ms});
    }
    RecorderTask task(const std::string& booth = "long booth") {
        RecorderTask made;
        made.booth = booth;
        made.bake.title = "clear, group 1";
        auto source = std::make_unique<HandSource>(std::vector<std::string>{"air", "roof", "sill"});
        logger = source.get();
        made.sources.push_back({"logger", 1.0, std::move(source)});
        made.place = [](const std::string& name, const std::vector<probe::SourceChannel>& channels) {
            std::vector<book::RecordedChannel> placed;
            for (const probe::SourceChannel& one : channels)
                placed.push_back({one.name, one.name == "air" ? TraceRole::booth_air : TraceRole::zone, name});
            return placed;
        };
        made.observer = [this](std::span<const book::RecordedSample> samples, const std::vector<ChannelStatus>& channels,
                               double) {
            CHECK(channels.size() == 3);
            observed.insert(observed.end(), samples.begin(), samples.end());
        };
        return made;
    }
    /// So many seconds, a row in each.
    void run(Recorder& recorder, int seconds) {
        for (int i = 0; i < seconds; ++i) {
            clocks.pass(1.0);
            logger->bring(clocks.now, 300.0 + 0.01 * clocks.now);
            recorder.step(std::chrono::milliseconds(20));
        }
    }
};

void check_sound(const Shop& shop) {
    book::Book book = shop.open(5000);
    const book::VerifyReport report = book::verify(book);
    CAPTURE(report.problems);
    CHECK(report.sound());
}

std::size_t count_of(const std::vector<book::RecordingEvent>& events, const std::string& kind) {
    return static_cast<std::size_t>(
        std::count_if(events.begin(), events.end(), [&](const book::RecordingEvent& one) { return one.kind == kind; }));
}

std::size_t good_in(const Trace& trace) {
    std::size_t count = 0;
    for (std::size_t i = 0; i < trace.size(); ++i) count += std::isfinite(trace.temperature_k[i]);
    return count;
}

}  // namespace

TEST_CASE("what came is in the book within seconds, in its traces within a minute, and sealed at the end") {
    Shop shop;
    book::Book book = shop.open(), reader = shop.open();
    Recorder recorder(book, shop.task(), shop.clocks);
    shop.run(recorder, 4);
    const auto id = recorder.status().bake;
    REQUIRE(id);
    CHECK(book::TraceRepository(reader).load(*id).traces.size() == 3);  // a bake like any other from its first seconds
    shop.run(recorder, 126);
    CHECK(recorder.status().since_kept_s <= 2.0);
    CHECK(recorder.status().in_memory <= 6);
    CHECK(book::TraceRepository(reader).load(*id).find("roof")->size() >= 120);
    check_sound(shop);
    recorder.finish();
    CHECK(shop.observed.size() == 390);
    const TraceSet set = book::TraceRepository(reader).load(*id);
    for (const Trace& trace : set.traces) {
        REQUIRE(trace.size() == 130);
        for (std::size_t i = 0; i < 130; ++i) CHECK(std::abs(trace.time_s[i] - static_cast<double>(i + 1)) <= 1e-9);
    }
    CHECK(set.first(TraceRole::booth_air)->name == "air");
    CHECK(book::recording_of(reader, *id)->sealed_at);
    CHECK(book::recording_of(reader, *id)->events.empty());
    check_sound(shop);
}

TEST_CASE("what somebody who watches notes is kept beside the log with its time, and is there after the program died") {
    Shop shop;
    book::Book book = shop.open(), reader = shop.open();
    std::optional<Recorder> recorder;
    recorder.emplace(book, shop.task(), shop.clocks);
    shop.run(*recorder, 5);
    recorder->note({.time_s = 4.5, .kind = "warning", .what = "roof may pass its limit"});
    CHECK(count_of(recorder->status().events, "warning") == 1);
    shop.run(*recorder, 66);
    const auto id = recorder->status().bake;
    REQUIRE(id);
    recorder.reset();  // without finish(), as a program dies
    const auto kept = book::recording_of(reader, *id);
    REQUIRE(kept);
    REQUIRE(count_of(kept->events, "warning") == 1);
    CHECK(kept->events.front().time_s == 4.5);
    CHECK(kept->events.front().what == "roof may pass its limit");
    check_sound(shop);
}

TEST_CASE("a recorder that died is gone on with in the same log, its gap marked; after two hours a new one begins") {
    for (const auto& [away_s, other_boot, goes_on] :
         {std::tuple(38.0, false, true), {300.0, true, true}, {7300.0, false, false}}) {
        CAPTURE(away_s);
        Shop shop;
        book::Book book = shop.open();
        std::optional<Recorder> recorder;
        recorder.emplace(book, shop.task(), shop.clocks);
        shop.run(*recorder, 61);
        const auto first = recorder->status().bake;
        recorder.reset();  // without finish(), as a program dies
        shop.clocks.pass(away_s);
        if (other_boot) {
            shop.clocks.boot = "second start";
            shop.clocks.now = shop.clocks.awake = 50.0;
        }
        recorder.emplace(book, shop.task(), shop.clocks);
        shop.run(*recorder, 10);
        const auto second = recorder->status().bake;
        CHECK((first == second) == goes_on);
        recorder->finish();
        check_sound(shop);
        CHECK(book::open_recordings(book).empty());  // the first is sealed either way
        if (!goes_on) continue;
        const Trace roof = *book::TraceRepository(book).load_one(*first, "roof");
        CHECK(good_in(roof) >= 69);  // what came since the last commit, two seconds before the end, may be lost
        CHECK(good_in(roof) == roof.size() - 1);
        CHECK(std::abs(roof.time_s.back() - (71.0 + away_s)) <= 1.5);  // another start goes by the wall clock, in whole seconds
        CHECK(count_of(book::recording_of(book, *first)->events, "gap") == 1);
    }
}

TEST_CASE("a booth that is being recorded is not recorded by another program; two booths are") {
    Shop shop, other;
    book::Book book = shop.open(2000), second = shop.open(2000);
    Recorder recorder(book, shop.task("north"), shop.clocks);
    shop.run(recorder, 3);
    CHECK_THROWS_AS(Recorder(second, other.task("north"), other.clocks), InputError);
    Recorder south(second, other.task("south"), other.clocks);
    for (int i = 0; i < 60; ++i) {
        shop.run(recorder, 2);
        other.run(south, 2);
    }
    const auto one = recorder.status().bake, two = south.status().bake;
    recorder.finish();
    south.finish();
    CHECK(book::TraceRepository(book).load_one(*one, "sill")->size() == 123);
    CHECK(book::TraceRepository(book).load_one(*two, "sill")->size() == 120);
    check_sound(shop);
}

TEST_CASE("a book that is locked keeps nobody waiting: readings stay in memory up to a bound, and the rest is counted") {
    for (const std::size_t most : {std::size_t{100'000}, std::size_t{60}}) {
        CAPTURE(most);
        Shop shop;
        book::Book book = shop.open();
        Recorder recorder(book, shop.task(), shop.clocks, {.most_in_memory = most});
        shop.run(recorder, 10);
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(shop.folder.file("bakes.book").c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
        shop.run(recorder, 50);
        CHECK_FALSE(recorder.status().trouble.empty());
        CHECK(recorder.status().in_memory <= most);
        CHECK(recorder.status().since_kept_s >= 45.0);
        REQUIRE(sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr) == SQLITE_OK);
        sqlite3_close(other);
        shop.run(recorder, 10);
        CHECK(recorder.status().trouble.empty());
        const auto id = recorder.status().bake;
        recorder.finish();
        const Trace roof = *book::TraceRepository(book).load_one(*id, "roof");
        const auto events = book::recording_of(book, *id)->events;
        if (most > 1000) {
            CHECK(roof.size() == 70);
            CHECK(count_of(events, "lost") == 0);
        } else {
            CHECK(good_in(roof) < 45);
            REQUIRE(count_of(events, "lost") == 1);
            for (const book::RecordingEvent& event : events)
                if (event.kind == "lost") CHECK(event.count == 3 * (70 - good_in(roof)));
            CHECK(roof.size() > good_in(roof));  // the gap is marked
        }
        CHECK(count_of(events, "book") == 1);
        check_sound(shop);
    }
}

TEST_CASE(
    "a book that is locked at the very end is waited for; where it stays locked what it had stays, and can be gone on with") {
    for (const bool opens : {true, false}) {
        CAPTURE(opens);
        Shop shop;
        book::Book book = shop.open();
        std::optional<Recorder> recorder;
        recorder.emplace(book, shop.task(), shop.clocks);
        shop.run(*recorder, 10);
        const auto id = recorder->status().bake;
        sqlite3* other = nullptr;
        REQUIRE(sqlite3_open(shop.folder.file("bakes.book").c_str(), &other) == SQLITE_OK);
        REQUIRE(sqlite3_exec(other, "BEGIN IMMEDIATE", nullptr, nullptr, nullptr) == SQLITE_OK);
        shop.run(*recorder, 5);
        std::jthread opener([&] {
            std::this_thread::sleep_for(std::chrono::milliseconds(opens ? 700 : 6000));
            sqlite3_exec(other, "ROLLBACK", nullptr, nullptr, nullptr);
        });
        if (opens)
            recorder->finish();
        else
            CHECK_THROWS_AS(recorder->finish(), BookError);
        recorder.reset();
        opener.join();
        sqlite3_close(other);
        if (!opens) seal_recording(book, *id);
        const std::size_t there = book::TraceRepository(book).load_one(*id, "roof")->size();
        CHECK(there == (opens ? 15 : 10));
        check_sound(shop);
    }
}

TEST_CASE("a full disk is told, and what came meanwhile is written when there is room") {
    // The system bounds the size of this process's files: a write beyond it fails as on a full disk.
    Shop shop;
    book::Book book = shop.open();
    Recorder recorder(book, shop.task(), shop.clocks);
    shop.run(recorder, 10);
    const auto before = std::signal(SIGXFSZ, SIG_IGN);
    rlimit limit{};
    REQUIRE(::getrlimit(RLIMIT_FSIZE, &limit) == 0);
    const rlimit full{.rlim_cur = 1, .rlim_max = limit.rlim_max};
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &full) == 0);
    shop.run(recorder, 30);
    const RecorderStatus meanwhile = recorder.status();
    REQUIRE(::setrlimit(RLIMIT_FSIZE, &limit) == 0);
    std::signal(SIGXFSZ, before);
    CHECK_FALSE(meanwhile.trouble.empty());
    CHECK(meanwhile.in_memory >= 80);
    shop.run(recorder, 10);
    CHECK(recorder.status().trouble.empty());
    const auto id = recorder.status().bake;
    recorder.finish();
    CHECK(book::TraceRepository(book).load_one(*id, "roof")->size() == 50);
    check_sound(shop);
}

TEST_CASE("the wall clock set an hour either way, and a sleep, are written down; times go on by the clock nobody sets") {
    for (const double step_s : {3600.0, -3600.0}) {
        Shop shop;
        book::Book book = shop.open();
        Recorder recorder(book, shop.task(), shop.clocks);
        shop.run(recorder, 20);
        shop.clocks.wall = shop.clocks.wall + step_s;
        shop.run(recorder, 20);
        shop.clocks.now = shop.clocks.now + 900.0;  // asleep: the clock that counts sleep goes on, and so does the wall's
        shop.clocks.wall = shop.clocks.wall + 900.0;
        shop.run(recorder, 20);
        const auto id = recorder.status().bake;
        recorder.finish();
        const auto events = book::recording_of(book, *id)->events;
        REQUIRE(count_of(events, "clock set") == 1);
        REQUIRE(count_of(events, "sleep") == 1);
        CHECK(count_of(events, "gap") == 1);
        for (const book::RecordingEvent& event : events)
            if (event.kind == "clock set") CHECK(std::abs(event.lasts_s - step_s) <= 1e-6);
        const Trace roof = *book::TraceRepository(book).load_one(*id, "roof");
        CHECK(good_in(roof) == 60);
        CHECK(std::abs(roof.time_s.back() - 960.0) <= 1e-6);
        check_sound(shop);
    }
}

TEST_CASE("a channel that froze while the others went on is flagged stuck when the recording is sealed") {
    // quality.hpp: the same to the last digit for 20 min, while others move by more than 10 K.
    Shop shop;
    book::Book book = shop.open();
    Recorder recorder(book, shop.task(), shop.clocks);
    for (int i = 0; i < 3000; ++i) {
        shop.clocks.pass(1.0);
        const double warmed_k = 300.0 + 0.02 * i, frozen_k = 300.0 + 0.02 * std::min(i, 1000);
        shop.logger->bring_each(shop.clocks.now, {warmed_k + 5.0, frozen_k, warmed_k});
        if (i % 50 == 49) recorder.step(std::chrono::milliseconds(20));
    }
    CHECK(recorder.status().now_s - recorder.status().channels[1].same_since_s >= 1990.0);
    const auto id = recorder.status().bake;
    recorder.finish();
    const TraceSet set = book::TraceRepository(book).load(*id);
    const auto stuck_in = [&](const char* name) { return std::ranges::count(set.find(name)->quality, SampleQuality::stuck); };
    CHECK(stuck_in("air") == 0);
    CHECK(stuck_in("roof") >= 1900);
    CHECK(stuck_in("sill") == 0);
}

TEST_CASE("a recording ends with its sources, and one that nothing came to leaves nothing") {
    Shop shop;
    book::Book book = shop.open();
    {
        Recorder recorder(book, shop.task(), shop.clocks);
        shop.run(recorder, 3);
        CHECK_FALSE(recorder.has_ended());
        shop.logger->is_over = true;
        for (int i = 0; i < 500 && !recorder.has_ended(); ++i) recorder.step(std::chrono::milliseconds(10));
        CHECK(recorder.has_ended());
        recorder.finish();
    }
    CHECK(book::BakeRepository(book).count() == 1);
    RecorderTask task = shop.task();
    task.sources[0].source = make_source(
        [] {
            probe::SourceRecord record;
            record.way = probe::SourceWay::replay;
            record.replay = probe::ReplaySettings{.bake = "1"};
            return record;
        }(),
        {});
    task.observer = nullptr;
    Recorder recorder(book, std::move(task), shop.clocks);
    for (int i = 0; i < 500 && !recorder.has_ended(); ++i) recorder.step(std::chrono::milliseconds(10));
    recorder.finish();
    CHECK(book::BakeRepository(book).count() == 1);
    CHECK_FALSE(recorder.status().bake);
}
