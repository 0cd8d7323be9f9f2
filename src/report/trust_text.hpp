// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "bakewright/bake/track_record.hpp"
#include "bakewright/cure/reliability.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// When a zone was good, against the minute that a live forecast said in the middle of the hold.
struct CheckedMinute {
    std::string zone;
    bool has_probe = false;
    double later_s = 0.0;    ///< so much later than said; negative: sooner
    bool is_inside = false;  ///< within the band that was stated to hold 90 %
};

/// A log that was held against its prediction.
struct CheckedBake {
    std::string log;  ///< "bake 2 of 2027-03-04"
    std::string booth;
    std::string why_not;  ///< it says nothing; empty where it counts
    /// That a coated zone with a probe is cured; those that the log leaves open (CHECK) are only counted.
    std::vector<cure::CheckedChance> chances;
    std::size_t left_open = 0;
    std::size_t zones = 0, inside = 0;     ///< with a probe; of them within the range that was stated to hold 95 %
    std::string most_off;                  ///< the zone that was off most, over its plateau
    double most_off_k = 0.0;               ///< predicted less logged
    std::vector<CheckedMinute> minutes{};  ///< of zones with a probe, as a live forecast says them of this log
};

struct BoothRecord {
    std::string booth;
    bake::TrackRecord record;
};

/// What a shop's book says of the certainty that this program states.
struct ShopRecord {
    std::string booth;               ///< empty: of all booths
    std::vector<CheckedBake> bakes;  ///< oldest first
    cure::Reliability cured;
    std::vector<BoothRecord> booths;

    [[nodiscard]] std::size_t logs() const noexcept;  ///< that count
};

/// "Of 9 chances of 95 % and more that a zone is cured, 9 came true; so few can mean 70 to 100 %."; that nothing was ever
/// checked, where it was not.
[[nodiscard]] std::vector<std::string> trust_sentences(const ShopRecord& record);
[[nodiscard]] std::string trust_text(const ShopRecord& record, const TextOptions& options);
/// A document of format bakewright.trust.
[[nodiscard]] Json document_of(const ShopRecord& record);

}  // namespace bakewright::report
