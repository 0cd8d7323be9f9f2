#include <fmt/core.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "bakewright/tune/tune.hpp"

namespace bakewright::tune {
namespace {

constexpr std::array<std::pair<Tunable, std::string_view>, 10> kTunables{{{Tunable::film, "film"},
                                                                          {Tunable::zones, "zones"},
                                                                          {Tunable::modes, "modes"},
                                                                          {Tunable::links, "links"},
                                                                          {Tunable::masses, "masses"},
                                                                          {Tunable::vertical, "vertical"},
                                                                          {Tunable::walls, "walls"},
                                                                          {Tunable::air, "air"},
                                                                          {Tunable::cavities, "cavities"},
                                                                          {Tunable::probes, "probes"}}};

std::optional<double> root_mean_square(const std::vector<BakeError>& errors, std::optional<double> BakeError::*which) {
    double squares = 0.0, count = 0.0;
    for (const BakeError& error : errors) {
        if (!(error.*which)) continue;
        squares += *(error.*which) * *(error.*which);
        count += 1.0;
    }
    return count > 0.0 ? std::optional(std::sqrt(squares / count)) : std::nullopt;
}

}  // namespace

std::string_view tunable_name(Tunable tunable) noexcept { return kTunables[static_cast<std::size_t>(tunable)].second; }

std::optional<Tunable> tunable_from_name(std::string_view name) noexcept {
    const auto found = std::find_if(kTunables.begin(), kTunables.end(), [&](const auto& row) { return row.second == name; });
    return found == kTunables.end() ? std::nullopt : std::optional(found->first);
}

const std::vector<Tunable>& all_tunables() {
    static const std::vector<Tunable> all = [] {
        std::vector<Tunable> made;
        for (const auto& [tunable, name] : kTunables) made.push_back(tunable);
        return made;
    }();
    return all;
}

double TunedNumber::told() const noexcept {
    const double ratio = learned.standard_error / prior_standard;
    return std::clamp(1.0 - ratio * ratio, 0.0, 1.0);
}

std::optional<double> TuneResult::used_k() const { return root_mean_square(errors, &BakeError::used_k); }
std::optional<double> TuneResult::held_out_k() const { return root_mean_square(errors, &BakeError::held_out_k); }

}  // namespace bakewright::tune
