// SPDX-License-Identifier: Apache-2.0
// Of shells that differ from their profile as assumed, and in ways that were not, how many does a planned cycle cure and spare?

#include <doctest/doctest.h>

#include <cmath>
#include <cstdlib>
#include <functional>

#include "bakewright/bake/build_network.hpp"
#include "bakewright/bake/members.hpp"
#include "bakewright/plan/ensemble.hpp"
#include "bakewright/plan/plan.hpp"
#include "demo_van.hpp"

using namespace bakewright;
using namespace bakewright::plan;

namespace {

using Kind = bake::DrawnNumber::Kind;

/// Changes one of the numbers of a shell that was drawn as assumed; `extra` is a standard normal number of its own.
using Otherwise = std::function<double(const bake::MemberSpace& space, std::size_t number, double drawn, double extra)>;

std::size_t shell_count() { return std::getenv("BAKEWRIGHT_LONG") != nullptr ? 1000 : 300; }

/// Share of shells that the planned cycle cures everywhere with nothing too hot. The truths have numbers of their own, other than
/// those that the plan was made with.
double good_share(const test::Van& van, const Plan& plan, const Otherwise& otherwise) {
    EnsemblePredictOptions options;
    options.member_count = shell_count();
    options.band_interval_s = 0.0;
    options.predict.output_interval_s = kMemberIntervalS;
    options.predict.after_s = kMembersFollowedS;
    const std::vector<bake::ResolvedStage> stages = bake::resolve(plan.cycle, van.booth);
    bake::DrivenNetwork driven{bake::build_network(van.shell.shell, van.booth, options.predict, bake::booth_air_of(van.booth),
                                                   stages.front().begin_k, {}, 0.0),
                               {}};
    driven.segments = bake::cycle_segments(driven.built, van.booth, plan.cycle, stages, options.predict.after_s);
    const bake::MemberSpace space(driven.built, van.shell.shell, van.booth, options.uncertainty);
    DrawnMembers truths;
    for (std::size_t shell = 0; shell < shell_count(); ++shell) {
        std::vector<double> drawn = space.draw(20261130, shell), extra(drawn.size());
        thermal::draw_normals(31, shell, extra);
        for (std::size_t n = 0; n < drawn.size(); ++n)
            if (otherwise) drawn[n] = otherwise(space, n, drawn[n], extra[n]);
        truths.push_back(std::move(drawn));
    }
    return ensemble_of(driven, van.shell.shell, van.booth, van.coating, van.shell.item_limits, options, {}, truths).good.share;
}

/// Each zone's own air off by a standard deviation of so many kelvins.
Otherwise own_air(double standard_k) {
    return [standard_k](const bake::MemberSpace& space, std::size_t n, double drawn, double extra) {
        return space.numbers()[n].kind == Kind::own_air ? extra * standard_k / space.standard(n) : drawn;
    };
}
/// Walls, ceiling and floor so much lower.
Otherwise colder_walls(double lower_k) {
    return [lower_k](const bake::MemberSpace& space, std::size_t n, double drawn, double) {
        return space.numbers()[n].kind == Kind::surroundings ? -lower_k / space.standard(n) : drawn;
    };
}
/// Each zone's film off by a factor of its own of one fifth, one standard deviation, in place of what is assumed.
double uneven_film(const bake::MemberSpace& space, std::size_t n, double drawn, double extra) {
    const bake::DrawnNumber& number = space.numbers()[n];
    const bool is_film = number.kind == Kind::factor && number.factor == bake::FactorKind::film && space.standard(n) > 0.0;
    return is_film ? extra * std::log(1.2) / space.standard(n) : drawn;
}

}  // namespace

TEST_CASE("a plan that is 95 percent sure cures as many shells as it says, and most of those that differ otherwise") {
    // Self-consistency where truths are drawn as assumed: a share of n is good to sqrt(0.95 * 0.05 / n), 0.7 % of 1,000 and 1.3 %
    // of 300, and the plan's own 256 members to 1.4 %; 3 and 5 % allow for both. The other rows are not assumed: at least 92 % is
    // wanted of each but the last, 90 % in the short form. Walls 10 K lower are twice the wider of their assumed errors, in every
    // shell at once: they are not covered.
    const bool is_long = std::getenv("BAKEWRIGHT_LONG") != nullptr;
    const test::Van van;
    PlanOptions options;
    options.confidence = Confidence{};
    const Plan plan = plan_cycle(van.task(), options);
    REQUIRE(plan.feasible);
    REQUIRE(plan.chance.value_or(0.0) >= 0.95);
    const double assumed = good_share(van, plan, {});
    const double air_1 = good_share(van, plan, own_air(1.0)), air_2 = good_share(van, plan, own_air(2.0));
    const double film = good_share(van, plan, uneven_film), walls = good_share(van, plan, colder_walls(10.0));
    const double all = good_share(van, plan, [](const bake::MemberSpace& space, std::size_t n, double drawn, double extra) {
        return uneven_film(space, n, own_air(1.0)(space, n, drawn, extra), extra);
    });
    MESSAGE("planned ", plan.cycle.stages.size(), " stages; as assumed ", assumed, ", own air 1 K ", air_1, ", 2 K ", air_2,
            ", film 20 % ", film, ", air and film ", all, ", walls 10 K lower ", walls);
    CHECK(std::abs(assumed - 0.95) <= (is_long ? 0.03 : 0.05));
    for (const double share : {air_1, film, all}) CHECK(share >= (is_long ? 0.92 : 0.90));
    CHECK(air_2 >= 0.80);
    CHECK(walls >= 0.25);  // docs/planning.md says so, and that one wall probe settles it
}
