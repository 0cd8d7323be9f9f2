// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <limits>
#include <memory>
#include <span>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/base/format.hpp"
#include "bakewright/cure/confidence.hpp"
#include "bakewright/cure/rule.hpp"
#include "bakewright/plan/margins.hpp"
#include "bakewright/plan/so_far.hpp"
#include "bakewright/thermal/ensemble.hpp"

namespace bakewright::plan {

/// The slack of what cannot fail, and of what cannot be mended with the sign turned [s].
inline constexpr double kNever_s = std::numeric_limits<double>::infinity();

/// A reading of a row: which column.
using Column = std::size_t;

/// The over-bake dose of a coat and its peak, as columns; one dose an activation energy of the band, none where its sheet has no
/// longest time.
struct OverBakeColumns {
    const cure::CoatingCurves* curves = nullptr;
    std::vector<Column> doses;
    cure::Band had{};  ///< what earlier bakes gave
    Column peak = 0;   ///< of the coated face

    /// Chance that a member has had too much, over the band of the activation energy.
    [[nodiscard]] double chance(std::span<const double> row) const;
    /// So much longer a hold it allows [s]; below 0 where it is past, infinite where no hold comes near.
    [[nodiscard]] double spare_s(std::span<const double> row) const;
};

/// What is read of a zone.
struct ZoneColumns {
    std::string zone;
    TraceRole role = TraceRole::zone;
    bool coated = false;
    std::size_t place = 0;           ///< number of the watched place
    std::size_t schedule_place = 0;  ///< of the one that the sheet means: the air's where it means the air
    Column peak = 0;
    OverBakeColumns over_bake{};  ///< of a coated zone
};

struct ItemColumns {
    std::string item;
    std::size_t place = 0;
    Column peak = 0;
    std::vector<std::pair<Column, cure::ExposureLimit>> limits;
    std::vector<double> had_s;  ///< exposure before, limit by limit

    [[nodiscard]] bool passed(std::size_t limit, std::span<const double> row) const;
    /// GOOD and OVER of a member.
    [[nodiscard]] cure::MemberChance words(std::span<const double> row) const;
    /// Of those that change a word.
    [[nodiscard]] bool passed_any(std::span<const double> row) const;
    [[nodiscard]] double spare_s(std::span<const double> row) const;
};

/// An earlier coat that is baked again.
struct EarlierColumns {
    Phrase subject;
    OverBakeColumns over_bake;
};

/// A bond: the difference between both sides, either way.
struct BondColumns {
    Phrase subject;
    Column warmer = 0, cooler = 0;
};

/// Places to watch and what to read there, for a shell, a coating, items and what they had before. Refers to the coating and to
/// the earlier ones, which must outlive it.
class EnsembleReadings {
public:
    EnsembleReadings(const bake::BuiltNetwork& built, const bake::Shell& shell, const cure::Coating& coating,
                     const std::vector<cure::HeatSensitiveItem>& items, const PastHeat& past);

    [[nodiscard]] const std::vector<thermal::WatchedPlace>& watched() const noexcept { return watched_; }
    [[nodiscard]] const std::vector<ZoneColumns>& zones() const noexcept { return zones_; }
    [[nodiscard]] const std::vector<ItemColumns>& items() const noexcept { return items_; }
    [[nodiscard]] const std::vector<EarlierColumns>& earlier() const noexcept { return earlier_; }
    [[nodiscard]] const std::vector<BondColumns>& bonds() const noexcept { return bonds_; }
    [[nodiscard]] const cure::CoatingCurves& curves() const noexcept { return curves_; }

private:
    std::size_t watch(const std::string& name, const thermal::Following& at);
    Column read(thermal::Reading reading);
    [[nodiscard]] const bake::TraceOrigin* origin_of(const std::string& name) const;
    [[nodiscard]] const bake::TraceOrigin* air_origin() const;
    OverBakeColumns over_bake(const cure::CoatingCurves& curves, const bake::TraceOrigin& face);
    void add_zone(const bake::TraceOrigin& origin, bool coated);
    void add_item(const bake::TraceOrigin& origin, const cure::HeatSensitiveItem& item, const PastHeat& past);
    void add_earlier_coats(const SoFar& so_far, const TraceSet* before);
    void add_bonds(const bake::Shell& shell);

    const bake::BuiltNetwork& built_;
    cure::CoatingCurves curves_;
    std::vector<std::unique_ptr<cure::CoatingCurves>> earlier_curves_;
    std::vector<thermal::WatchedPlace> watched_;
    std::optional<std::size_t> air_place_;
    std::vector<ZoneColumns> zones_;
    std::vector<ItemColumns> items_;
    std::vector<EarlierColumns> earlier_;
    std::vector<BondColumns> bonds_;
    Column next_ = 0;
};

}  // namespace bakewright::plan
