// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/trace_repository.hpp"

#include <doctest/doctest.h>

#include <bit>
#include <limits>

#include "bakewright/codec/block.hpp"
#include "shop.hpp"

using namespace bakewright;
using namespace bakewright::book;
using namespace bakewright::book::testing;

namespace {

constexpr double kNan = std::numeric_limits<double>::quiet_NaN();

void check_same(const Trace& a, const Trace& b) {
    CAPTURE(b.name);
    CHECK(a.name == b.name);
    CHECK(a.role == b.role);
    CHECK(a.time_s == b.time_s);
    CHECK(a.quality == b.quality);
    REQUIRE(a.temperature_k.size() == b.temperature_k.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        CHECK(std::bit_cast<std::uint64_t>(a.temperature_k[i]) == std::bit_cast<std::uint64_t>(b.temperature_k[i]));
    }
}

/// A log as probes give it: gaps, flags, a start before time 0, uneven times.
Trace broken_probe() {
    return {.name = "left sill, probe 4 <loose>",
            .role = TraceRole::unmapped,
            .time_s = {-30.0, 0.0, 7.5, 60.25, 61.0},
            .temperature_k = {293.15, kNan, 300.0, 1600.0, 310.0},
            .quality = {SampleQuality::good, SampleQuality::missing, SampleQuality::good, SampleQuality::open_circuit,
                        SampleQuality::good}};
}

}  // namespace

TEST_CASE("traces come back bit for bit after the book was closed") {
    const Folder folder;
    TraceSet set = van_traces();
    set.traces.push_back(broken_probe());
    set.traces.push_back({.name = "never read", .role = TraceRole::item, .time_s = {}, .temperature_k = {}, .quality = {}});
    Trace all_flagged_good = warm_up("panel", TraceRole::test_panel, 3);
    all_flagged_good.quality.assign(3, SampleQuality::good);
    set.traces.push_back(all_flagged_good);
    BakeId id{};
    {
        Book book = open_new(folder.file());
        id = BakeRepository(book).add({.title = "van"});
        TraceRepository(book).store(id, set);
    }
    Book book = open_to_read(folder.file());
    const TraceSet back = TraceRepository(book).load(id);
    CHECK(back.started_at == set.started_at);
    REQUIRE(back.traces.size() == set.traces.size());
    for (std::size_t i = 0; i < set.traces.size(); ++i) check_same(back.traces[i], set.traces[i]);
    CHECK(BakeRepository(book).get(id).started_at == set.started_at);
}

TEST_CASE("a trace longer than a block comes back whole") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.title = "a long night"});
    const TraceSet set{.traces = {warm_up("roof", TraceRole::zone, 2 * codec::kBlockSamples + 5)}, .started_at = {}};
    TraceRepository(book).store(id, set);
    const auto back = TraceRepository(book).load_one(id, "roof");
    REQUIRE(back);
    CHECK(back->time_s == set.traces[0].time_s);
    CHECK(back->temperature_k == set.traces[0].temperature_k);
    CHECK_FALSE(TraceRepository(book).load_one(id, "hood"));
}

TEST_CASE("a summary tells counts, times and temperatures of the usable samples") {
    // By hand: usable are (-30 s, 293.15 K), (7.5 s, 300 K), (61 s, 310 K). Mean of the lines:
    // (37.5 * 296.575 + 53.5 * 305) / 91 = 301.52816 K. Tolerance 1e-9 K: rounding of a few sums.
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.kind = BakeKind::logged, .title = "van"});
    TraceRepository(book).store(id, {.traces = {broken_probe()}, .started_at = {}});
    const TraceSummary summary = TraceRepository(book).summaries(id).at(0);
    CHECK(summary.name == broken_probe().name);
    CHECK(summary.role == TraceRole::unmapped);
    CHECK(summary.sample_count == 5);
    CHECK(summary.usable_count == 3);
    CHECK(summary.first_time_s == -30.0);
    CHECK(summary.last_time_s == 61.0);
    CHECK(summary.min_temperature_k == 293.15);
    CHECK(summary.max_temperature_k == 310.0);
    CHECK(std::abs(summary.mean_temperature_k - (37.5 * 296.575 + 53.5 * 305.0) / 91.0) <= 1e-9);
    CHECK(summary.stored_bytes > 0);
}

TEST_CASE("a summary without usable samples has no temperatures") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.title = "van"});
    TraceRepository(book).store(
        id, {.traces = {{.name = "dead", .role = TraceRole::zone, .time_s = {0.0}, .temperature_k = {kNan}, .quality = {}},
                        {.name = "none", .role = TraceRole::zone, .time_s = {}, .temperature_k = {}, .quality = {}}},
             .started_at = {}});
    const auto summaries = TraceRepository(book).summaries(id);
    CHECK(summaries.at(0).usable_count == 0);
    CHECK(std::isnan(summaries.at(0).mean_temperature_k));
    CHECK(summaries.at(0).last_time_s == 0.0);
    CHECK(std::isnan(summaries.at(1).first_time_s));
}

TEST_CASE("traces are stored once, for a bake that is there, and well formed") {
    const Folder folder;
    Book book = open_new(folder.file());
    TraceRepository traces(book);
    const BakeId id = BakeRepository(book).add({.title = "van"});
    TraceSet backwards = van_traces();
    backwards.traces[2].time_s[5] = -1.0;
    CHECK_THROWS_AS(traces.store(id, backwards), PromiseError);
    CHECK(traces.summaries(id).empty());
    TraceSet twice_named = van_traces();
    twice_named.traces[2].name = twice_named.traces[1].name;
    CHECK_THROWS_AS(traces.store(id, twice_named), PromiseError);
    traces.store(id, van_traces());
    CHECK_THROWS_AS(traces.store(id, van_traces()), PromiseError);
    CHECK(traces.summaries(id).size() == 3);
    CHECK(contains(message_of<InputError>([&] { traces.store(BakeId{99}, van_traces()); }),
                   "no bake 99; the book holds bake 1 alone"));
    CHECK_THROWS_AS(static_cast<void>(traces.load(BakeId{99})), InputError);
}

namespace {

/// A set of traces given part by part.
class Parts final : public codec::PartwiseTraces {
public:
    /// @param packed  the trace whose parts lie packed already
    explicit Parts(const TraceSet& set, std::size_t packed = kNone) : set_(set), outline_(set), packed_(packed) {
        for (Trace& trace : outline_.traces) trace.time_s = trace.temperature_k = {}, trace.quality = {};
    }
    [[nodiscard]] const TraceSet& outline() const override { return outline_; }
    [[nodiscard]] std::size_t size() const override { return set_.traces.front().size(); }
    [[nodiscard]] Trace part(std::size_t trace, std::size_t first, std::size_t count) const override {
        const Trace& whole = set_.traces[trace];
        Trace part{.name = whole.name, .role = whole.role, .time_s = {}, .temperature_k = {}, .quality = {}};
        for (std::size_t i = first; i < first + count; ++i) {
            part.time_s.push_back(whole.time_s[i]);
            part.temperature_k.push_back(whole.temperature_k[i]);
            if (!whole.quality.empty()) part.quality.push_back(whole.quality[i]);
        }
        return part;
    }
    [[nodiscard]] std::optional<codec::PackedPart> packed_part(std::size_t trace, std::size_t first,
                                                               std::size_t count) const override {
        if (trace != packed_) return std::nullopt;
        const codec::Samples samples = codec::samples_of(set_.traces[trace], first, count);
        const auto times = trace == 0 ? codec::BlockTimes::own : codec::BlockTimes::first_traces;
        return codec::PackedPart{codec::pack_block(samples, times), codec::statistics_of(samples)};
    }
    static constexpr std::size_t kNone = 99;

private:
    const TraceSet& set_;
    TraceSet outline_;
    std::size_t packed_;
};

}  // namespace

TEST_CASE("traces stored part by part are those stored whole, with the same sums and the same bytes") {
    const std::size_t samples = 2 * codec::kBlockSamples + 1000;
    TraceSet set{.traces = {warm_up("booth air", TraceRole::booth_air, samples, 2000.0),
                            warm_up("roof", TraceRole::zone, samples, 9000.0), warm_up("dead", TraceRole::unmapped, samples)},
                 .started_at = "2026-03-07T08:00:00+01:00"};
    set.traces[1].quality.assign(samples, SampleQuality::good);
    for (std::size_t i = codec::kBlockSamples - 3; i < codec::kBlockSamples + 5; ++i)
        set.traces[1].quality[i] = SampleQuality::spike;
    set.traces[2].quality.assign(samples, SampleQuality::open_circuit);
    set.traces[2].temperature_k.assign(samples, kNan);

    const Folder folder;
    Book book = open_new(folder.file());
    TraceRepository traces(book);
    const BakeId whole = BakeRepository(book).add({.title = "whole"});
    traces.store(whole, set);
    for (const std::size_t ready : {Parts::kNone, std::size_t{0}, std::size_t{1}}) {
        CAPTURE(ready);
        const BakeId parts = BakeRepository(book).add({.title = "parts"});
        const Parts source(set, ready);
        const PackedTraces packed(source);
        traces.store(parts, packed);
        const TraceSet back = traces.load(parts);
        CHECK(back.started_at == set.started_at);
        REQUIRE(back.traces.size() == 3);
        for (std::size_t i = 0; i < 3; ++i) {
            CHECK(back.traces[i].name == set.traces[i].name);
            CHECK(back.traces[i].time_s == set.traces[i].time_s);
            CHECK(back.traces[i].quality == set.traces[i].quality);
            const TraceSummary a = traces.summaries(whole)[i], b = traces.summaries(parts)[i];
            const auto same = [](double x, double y) {
                return std::bit_cast<std::uint64_t>(x) == std::bit_cast<std::uint64_t>(y);
            };
            CHECK(a.usable_count == b.usable_count);
            CHECK(same(a.min_temperature_k, b.min_temperature_k));
            CHECK(same(a.max_temperature_k, b.max_temperature_k));
            CHECK(same(a.mean_temperature_k, b.mean_temperature_k));
            CHECK(a.stored_bytes == b.stored_bytes);
        }
        CHECK(back.traces[1].temperature_k == set.traces[1].temperature_k);
        CHECK_THROWS_AS(traces.store(parts, packed), PromiseError);  // they are stored once
    }
}

TEST_CASE("a trace read a block at a time is the trace, whatever its times rest on") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.title = "x"});
    const std::size_t samples = 2 * codec::kBlockSamples + 17;
    const TraceSet stored{
        .traces = {warm_up("booth air", TraceRole::booth_air, samples), warm_up("roof", TraceRole::zone, samples)},
        .started_at = {}};
    TraceRepository traces(book);
    traces.store(id, stored);
    for (const Trace& whole : stored.traces) {
        Trace read;
        std::size_t parts = 0;
        traces.read_parts(id, whole.name, [&](const Trace& part) {
            ++parts;
            CHECK(part.size() <= codec::kBlockSamples);
            CHECK(part.role == whole.role);
            read.time_s.insert(read.time_s.end(), part.time_s.begin(), part.time_s.end());
            read.temperature_k.insert(read.temperature_k.end(), part.temperature_k.begin(), part.temperature_k.end());
        });
        CHECK(parts == 3);
        CHECK(read.time_s == whole.time_s);
        CHECK(read.temperature_k == whole.temperature_k);
    }
    std::size_t rows = 0;
    CHECK(traces.read_rows(id, [&](const TraceSet& part) {
        CHECK(part.traces.size() == 2);
        CHECK(part.traces[0].time_s == part.traces[1].time_s);
        rows += part.traces[0].size();
    }));
    CHECK(rows == samples);
    traces.read_parts(id, "nowhere", [](const Trace&) { CHECK(false); });
}

TEST_CASE("traces with times of their own are not read side by side") {
    const Folder folder;
    Book book = open_new(folder.file());
    const BakeId id = BakeRepository(book).add({.title = "x"});
    Trace late = warm_up("late", TraceRole::zone, 200);
    for (double& time_s : late.time_s) time_s += 5.0;
    TraceRepository traces(book);
    traces.store(id, {.traces = {warm_up("roof", TraceRole::zone, 200), late}, .started_at = {}});
    CHECK_FALSE(traces.read_rows(id, [](const TraceSet&) { CHECK(false); }));
}
