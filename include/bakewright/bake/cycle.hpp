// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/base/error.hpp"

namespace bakewright::bake {

/// What a stage of a cycle does.
enum class StageKind { flash_off, purge, ramp, hold, cool };

constexpr std::array<std::string_view, 5> words_of(StageKind) noexcept { return {"flash_off", "purge", "ramp", "hold", "cool"}; }
[[nodiscard]] FanMode fan_mode_of(StageKind kind) noexcept;

/// Infrared panels switched on during a stage.
struct Infrared {
    std::vector<std::string> zones;
    double flux_w_per_m2 = 0.0;  ///< arriving at the face, > 0
    bool operator==(const Infrared&) const = default;
};

/// Longest cycle, and longest time it is followed after its end. No bake lasts longer: common practice, no source.
inline constexpr double kLongestCycleH = 48.0;
inline constexpr std::size_t kMostStages = 1000;

/// One stage: the set point moves in a straight line from where the stage before left it to setpoint_k. Its length is duration_s,
/// or follows from rate_k_per_s; a stage has exactly one of the two.
struct Stage {
    StageKind kind = StageKind::hold;
    std::optional<double> setpoint_k;    ///< absent: keeps the set point before it
    std::optional<double> duration_s;    ///< > 0
    std::optional<double> rate_k_per_s;  ///< > 0, for ramp and cool
    std::optional<Infrared> infrared;
    std::optional<double> door_open_s{};  ///< the booth's doors stand open so long from the stage's begin; > 0, within the stage
    bool operator==(const Stage&) const = default;
};

/// A bake cycle as it is set at the booth.
struct Cycle {
    std::string id;
    std::string title;
    std::optional<double> start_k;  ///< booth air at the start; the booth's ambient where absent
    std::vector<Stage> stages;      ///< one to kMostStages, kLongestCycleH in all

    bool operator==(const Cycle&) const = default;
};

/// A stage with its times and set points worked out.
struct ResolvedStage {
    StageKind kind = StageKind::hold;
    double begin_s = 0.0;
    double end_s = 0.0;
    double begin_k = 0.0;
    double end_k = 0.0;
    std::size_t index = 0;     ///< in Cycle::stages
    double door_open_s = 0.0;  ///< from its begin
};

/// Works out begin, end and set points. @throws InputError with the problems of problems_in(cycle, booth).
[[nodiscard]] std::vector<ResolvedStage> resolve(const Cycle& cycle, const Booth& booth);

/// The fields of a cycle below its id and title, with their ranges.
void visit_fields(Infrared& infrared, Fields& see);
void visit_fields(Stage& stage, Fields& see);
void visit_fields(Cycle& cycle, Fields& see);

/// What is wrong with the cycle alone; keys are paths as in the profile, such as "stage[1].duration".
[[nodiscard]] std::vector<Problem> problems_in(const Cycle& cycle);
/// What is wrong with the cycle in this booth: set points over its highest, ramps over its largest, cooling below its ambient.
[[nodiscard]] std::vector<Problem> problems_in(const Cycle& cycle, const Booth& booth);

}  // namespace bakewright::bake
