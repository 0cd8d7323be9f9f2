// SPDX-License-Identifier: Apache-2.0
// Any text is a cycle, or is refused with an InputError. What check accepts is laid out in a booth as stages that follow each
// other in time, within the booth's range, or is refused for that booth; its segments end where its stages do.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string_view>
#include <vector>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"

namespace {

bakewright::bake::Booth booth(std::uint8_t choice) {
    bakewright::bake::Booth made;
    made.id = "fuzzed";
    made.ambient_k = (choice & 1U) != 0 ? 273.15 : 293.15;
    made.highest_setpoint_k = (choice & 2U) != 0 ? 353.15 : 423.15;
    if ((choice & 4U) != 0) made.largest_ramp_k_per_s = 0.5 / 60.0;
    return made;
}

void check_stages(const std::vector<bakewright::bake::ResolvedStage>& stages, const bakewright::bake::Booth& in) {
    double now_s = 0.0, now_k = stages.empty() ? 0.0 : stages.front().begin_k;
    for (const bakewright::bake::ResolvedStage& stage : stages) {
        bakewright::ensure(stage.begin_s == now_s && stage.end_s >= now_s && std::isfinite(stage.end_s), "stages follow in time");
        bakewright::ensure(stage.begin_k == now_k && std::isfinite(stage.end_k), "a stage begins where the last one ended");
        bakewright::ensure(stage.end_k <= in.highest_setpoint_k, "no stage is hotter than the booth gets");
        now_s = stage.end_s;
        now_k = stage.end_k;
    }
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
    try {
        const bakewright::bake::Cycle cycle = bakewright::profile::cycle_from_toml(text, "fuzzed.toml");
        bakewright::ensure(!cycle.stages.empty() && cycle.stages.size() <= 100000, "a cycle has stages");
        const bakewright::bake::Booth in = booth(data[0]);
        check_stages(bakewright::bake::resolve(cycle, in), in);
    } catch (const bakewright::InputError&) {
    }
    return 0;
}
