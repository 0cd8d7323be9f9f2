#include <cmath>
#include <stdexcept>

#include "bakewright/plan/feasible_map.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/profile/read.hpp"
#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr int kSetpoints = 40;
constexpr double kLowestC = 41.0;

/// The demo van, its stirred booth and the low-bake clear.
struct Demo {
    profile::ShellProfile shell;
    bake::Booth booth;
    cure::Coating coating;

    [[nodiscard]] plan::PlanTask task() const { return {shell.shell, booth, coating, shell.item_limits}; }
};

Demo demo() {
    const profile::Library library({BAKEWRIGHT_PROFILES});
    return {profile::load_shell("library_van", library).record, profile::load_booth("stirred_insulated", library).record,
            profile::load_coating("clear_low_bake", library).record};
}

plan::PlanOptions forty_setpoints(std::size_t thread_count) {
    plan::PlanOptions options;
    options.lowest_setpoint_k = celsius_to_kelvin(kLowestC);
    options.highest_setpoint_k = celsius_to_kelvin(kLowestC + kSetpoints - 1);
    options.thread_count = thread_count;
    return options;
}

}  // namespace

Record map_demo() {
    const Demo van = demo();
    plan::FeasibleMap map;
    const auto draw = [&](std::size_t threads) { map = plan::feasible_map(van.task(), forty_setpoints(threads), {}); };
    const std::vector<double> median_s = interleaved_medians_s({[&] { draw(2); }, [&] { draw(1); }}, 15);
    if (map.rows.size() != kSetpoints) throw std::runtime_error("map.demo: not as many set points as asked for");
    return {"map.demo",   median_s[0] * 1e3, "ms",
            "one thread", median_s[1] * 1e3, "40 set points, holds up to 4 h, both bounds within 5 s"};
}

Record map_demo_256() {
    const Demo van = demo();
    plan::FeasibleMap map;
    const auto draw = [&](std::size_t threads) {
        plan::PlanOptions options = forty_setpoints(threads);
        options.confidence = plan::Confidence{};
        map = plan::feasible_map(van.task(), options, {});
    };
    const std::vector<double> median_s = interleaved_medians_s({[&] { draw(2); }, [&] { draw(1); }}, 9);
    if (map.rows.size() != kSetpoints) throw std::runtime_error("map.demo.256: not as many set points as asked for");
    return {"map.demo.256", median_s[0] * 1e3, "ms",
            "one thread",   median_s[1] * 1e3, "as map.demo, with the chances of 256 members of the model at every set point"};
}

Record plan_demo() {
    const Demo van = demo();
    plan::Plan plan;
    const auto make = [&](std::size_t threads) { plan = plan::plan_cycle(van.task(), forty_setpoints(threads)); };
    const std::vector<double> median_s = interleaved_medians_s({[&] { make(2); }, [&] { make(1); }}, 9);
    if (!plan.feasible) throw std::runtime_error("plan.demo: no plan was found");
    return {"plan.demo",
            median_s[0] * 1e3,
            "ms",
            "one thread",
            median_s[1] * 1e3,
            "40 set points, holds up to 4 h, time, energy and margin, the cycle predicted and judged"};
}

}  // namespace bakewright::bench
