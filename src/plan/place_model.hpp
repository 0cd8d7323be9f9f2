// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "bakewright/plan/place_task.hpp"
#include "place_search.hpp"

namespace bakewright::plan {

/// Temperatures of a bake, linear in what is not known: independent numbers, standard normal beforehand. A sample a minute.
struct PlaceModel {
    struct Place {
        std::string name;
        TraceRole role = TraceRole::zone;
        bool is_coated = false;
        Eigen::VectorXd temperature_k;  ///< by moment, of the best guess
        PlaceMatrix slope_k;            ///< by moment, then number
    };
    std::vector<Place> places;
    std::vector<std::string> numbers;  ///< what they are, for people
    Eigen::Index air = 0;              ///< of the places, the booth's air

    [[nodiscard]] const Place* find(const std::string& name) const;
};

[[nodiscard]] PlaceModel place_model(const PlaceTask& task, const PlaceOptions& options);

/// What probes on a place say of the numbers: a first-order series of readings that are off by residual_k each, and by the offset
/// of the probe.
class PlaceReadings {
public:
    PlaceReadings(const PlaceModel::Place& place, double residual_k, double residual_time_s);
    /// Whitened rows, of a probe whose offset has that standard deviation.
    [[nodiscard]] PlaceMatrix rows(double offset_k) const;

private:
    PlaceMatrix information_;  ///< on the numbers, then on the offset
};

/// Rows of what is asked: seconds of hold, or kelvins. Nothing where nobody can ask it: no zone comes near being cured, no item.
[[nodiscard]] std::optional<PlaceMatrix> asked_rows(const PlaceModel& model, const PlaceTask& task, ProbeAim aim);
/// The item nearest to its limit, by what is not known of it; empty where there is none.
[[nodiscard]] std::string weakest_item(const PlaceModel& model, const PlaceTask& task);

}  // namespace bakewright::plan
