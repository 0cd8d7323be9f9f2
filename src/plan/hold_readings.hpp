#pragma once

#include <string>
#include <utility>
#include <vector>

#include "bakewright/cure/required_time.hpp"
#include "ensemble_readings.hpp"
#include "setpoint_run.hpp"

namespace bakewright::plan {

/// How long a member was at or above a limit, and what that allows.
struct HotColumn {
    Column above = 0;
    double allowed_s = 0.0;  ///< of this bake
    std::size_t subject = 0;
};

/// The over-bake dose of a coat that earlier bakes have baked already, one column an activation energy of its band.
struct EarlierColumns {
    std::vector<Column> doses;
    std::vector<double> before;  ///< what it had, at the same energies
    std::vector<cure::RequiredTime> allowed;
    Column peak = 0;  ///< of the temperature that the dose is read from
    std::size_t subject = 0;
};

/// Something that shows in the heat-up or the cool-down and that no hold mends: the largest of some readings against a limit.
/// What the middle of the model reads exactly in its bake corrects what the ensemble reads on its coarser grid.
struct StandingColumns {
    std::vector<Column> either;
    double limit = 0.0;
    double exact = 0.0;     ///< of the middle of the model
    bool by_ratio = false;  ///< corrected by the ratio to the middle's own reading, else by the difference
    std::size_t subject = 0;
};

/// The readings of an ensemble that holds are read from: see hold_chances().
class HoldReadings {
public:
    /// @param middle  a bake of the middle of the model, near the hold in question
    HoldReadings(const BakeModel& model, const Baked& middle);

    [[nodiscard]] const std::vector<thermal::WatchedPlace>& watched() const noexcept { return readings_.watched; }
    [[nodiscard]] const std::vector<const ZoneColumns*>& coated() const noexcept { return coated_; }
    [[nodiscard]] const std::vector<HotColumn>& hot() const noexcept { return hot_; }
    [[nodiscard]] const std::vector<EarlierColumns>& earlier() const noexcept { return earlier_; }
    [[nodiscard]] const std::vector<StandingColumns>& standing() const noexcept { return standing_; }
    [[nodiscard]] const std::vector<Phrase>& subjects() const noexcept { return subjects_; }

private:
    void add_zone(const ZoneColumns& zone);
    void add_item(const cure::HeatSensitiveItem& item, const Baked& middle);
    void add_earlier_coats();
    void add_bonds(const Baked& middle);
    void add_heating_rates(const Baked& middle);
    void watch_limits(const std::string& name, const std::vector<std::pair<double, double>>& limits);

    [[nodiscard]] const bake::TraceOrigin* origin_of(const std::string& name) const;
    void watch(std::string name, const thermal::Following& at);
    Column read(thermal::Reading reading);
    std::size_t subject(Phrase name);

    const BakeModel& model_;
    EnsembleReadings readings_;
    std::vector<const ZoneColumns*> coated_;
    std::vector<HotColumn> hot_;
    std::vector<EarlierColumns> earlier_;
    std::vector<StandingColumns> standing_;
    std::vector<Phrase> subjects_;
    Column next_ = 0;
};

}  // namespace bakewright::plan
