// SPDX-License-Identifier: Apache-2.0
// What a shop's logs say of the model's own errors: kept once a bake, added up, and heard by the next estimate.

#include "bakewright/services/evidence.hpp"

#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>

#include "bakewright/bake/members.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/services/estimated.hpp"
#include "bakewright/services/tune_records.hpp"
#include "book/shop.hpp"
#include "tune/estimate_bakes.hpp"

using namespace bakewright;
namespace shop = book::testing;

namespace {

std::string label_of(book::Book& book, book::BakeId id) { return services::bake_label(book::BakeRepository(book).get(id)); }

/// Each step of the sizes costs so much.
std::vector<double> falling(double each) {
    std::vector<double> evidence;
    for (std::size_t h = 0; h < bake::discrepancy_sizes({}).size(); ++h) evidence.push_back(-each * static_cast<double>(h));
    return evidence;
}

}  // namespace

TEST_CASE("evidence of a shop's bakes adds up, counts once a bake, and leaves out the bakes that are asked about") {
    const shop::Folder folder;
    book::Book book = shop::open_new(folder.file());
    const book::BakeId first = shop::add_log(book), second = shop::add_log(book, {}, "time_s,air_c\n0,20\n10,21\n");
    const std::string one = label_of(book, first), two = label_of(book, second);
    CHECK(services::earlier_evidence(book, {}).empty());
    services::keep_evidence(book, {{one, falling(0.5)}, {two, falling(0.25)}, {"bake 77", falling(9.0)}});
    CHECK(services::earlier_evidence(book, {}) == falling(0.75));
    CHECK(services::earlier_evidence(book, {one}) == falling(0.25));
    CHECK(services::earlier_evidence(book, {one, two}).empty());
    // The same again changes nothing, what a bake says now takes the place of what it said.
    services::keep_evidence(book, {{one, falling(0.5)}});
    CHECK(services::earlier_evidence(book, {}) == falling(0.75));
    services::keep_evidence(book, {{one, falling(1.0)}});
    CHECK(services::earlier_evidence(book, {}) == falling(1.25));
    // The same log under another number says nothing more.
    const book::BakeId again = shop::add_log(book);
    services::keep_evidence(book, {{label_of(book, again), falling(1.0)}});
    CHECK(services::earlier_evidence(book, {}) == falling(1.25));
}

TEST_CASE("a log is scored with what the logs before it say, never with its own evidence or that of later ones") {
    const shop::Folder folder;
    book::Book book = shop::open_new(folder.file());
    const book::BakeId first = shop::add_log(book), second = shop::add_log(book, {}, "time_s,air_c\n0,20\n10,21\n"),
                       third = shop::add_log(book, {}, "time_s,air_c\n0,20\n10,22\n"), first_again = shop::add_log(book);
    services::keep_evidence(
        book,
        {{label_of(book, first), falling(0.5)}, {label_of(book, second), falling(0.25)}, {label_of(book, third), falling(4.0)}});
    CHECK(services::evidence_before(book, first).empty());
    CHECK(services::evidence_before(book, second) == falling(0.5));
    CHECK(services::evidence_before(book, third) == falling(0.75));
    // The first log once more: what it says under its other number is its own.
    CHECK(services::evidence_before(book, first_again) == falling(4.25));
}

TEST_CASE("what a recording says of the model's errors is kept when it ends, as its estimate has it") {
    static const test::DemoVan van;
    const shop::Folder folder;
    book::Book book = shop::open_new(folder.file());
    services::StoredBake bake;
    bake.record = book::BakeRepository(book).get(shop::add_log(book));
    bake.traces = test::made_bake(van, {.seed = 5}).task.bakes.front().traces;
    bake.booth = van.booth;
    services::keep_evidence_of(book, bake);  // nobody knows what was baked
    CHECK(services::earlier_evidence(book, {}).empty());
    bake.shell = profile::load_shell("library_van", profile::Library({BAKEWRIGHT_PROFILES})).record;
    services::keep_evidence_of(book, bake);
    const std::vector<double> kept = services::earlier_evidence(book, {});
    tune::EstimateOptions options;
    options.member_count = 1;
    const tune::Estimate estimate = tune::estimate({van.shell, van.booth, {{"bake", bake.traces, {}, {}}}}, options);
    REQUIRE(kept.size() == estimate.evidence.size());
    double least = 0.0;
    for (std::size_t h = 0; h < kept.size(); ++h) {
        CHECK(kept[h] == doctest::Approx(estimate.evidence[h]).epsilon(1e-9));
        least = std::min(least, kept[h]);
    }
    CHECK(least < -0.1);  // or it would say nothing
    CHECK(services::earlier_evidence(book, {services::bake_label(bake.record)}).empty());
    // Ended twice it says no more.
    services::keep_evidence_of(book, bake);
    CHECK(services::earlier_evidence(book, {}) == kept);
    // A prediction says nothing of itself.
    bake.record.kind = book::BakeKind::predicted;
    book::BakeRepository(book).remove(bake.record.id);
    services::keep_evidence_of(book, bake);
    CHECK(services::earlier_evidence(book, {}).empty());
}

TEST_CASE("evidence goes with its bake") {
    const shop::Folder folder;
    book::Book book = shop::open_new(folder.file());
    const book::BakeId id = shop::add_log(book);
    services::keep_evidence(book, {{label_of(book, id), falling(0.5)}});
    CHECK(book::DocumentRepository(book).list(book::document_kind::evidence).size() == 1);
    book::BakeRepository(book).remove(id);
    CHECK(book::DocumentRepository(book).list(book::document_kind::evidence).empty());
}

TEST_CASE("what other bakes say of the model's errors moves the weights of the next estimate by just that") {
    // Bayes: log weight = log prior + what the bakes before say + what this one says, up to a constant.
    static const test::DemoVan van;
    const tune::TuneTask task = test::made_bake(van, {.seed = 5}).task;
    tune::EstimateOptions options;
    options.member_count = 1;
    const tune::Estimate plain = tune::estimate(task, options);
    options.earlier_evidence = falling(0.4);
    const tune::Estimate heard = tune::estimate(task, options);
    REQUIRE(plain.sizes.size() == heard.sizes.size());
    for (std::size_t h = 1; h < plain.sizes.size(); ++h) {
        if (plain.sizes[h].weight < 1e-12) continue;
        const double before = std::log(plain.sizes[h].weight / plain.sizes[0].weight);
        const double after = std::log(heard.sizes[h].weight / heard.sizes[0].weight);
        CHECK(after - before == doctest::Approx(options.earlier_evidence[h]).epsilon(1e-6));
        CHECK(heard.evidence[h] == doctest::Approx(plain.evidence[h]).epsilon(1e-6));  // its own is what it was
    }
}
