#include <fmt/format.h>

#include "bakewright/profile/read.hpp"

namespace bakewright::profile {
namespace {

/// What a property may be; the limits are inclusive.
struct Range {
    double least;
    double most;
    std::string_view unit;
};

class Rules {
public:
    explicit Rules(const std::string& prefix) : prefix_(prefix.empty() ? prefix : prefix + ".") {}

    void require(std::string_view key, double value, Range range) {
        if (value >= range.least && value <= range.most) return;
        problems_.push_back(
            {.file = {},
             .line = 0,
             .key = fmt::format("{}{}", prefix_, key),
             .message =
                 fmt::format("is {:.6g}{}, allowed {:g} to {:g}{}", value, range.unit, range.least, range.most, range.unit),
             .range = OutOfRange{.value = value,
                                 .least = range.least,
                                 .most = range.most,
                                 .accepted = fmt::format("{:g} to {:g}{}", range.least, range.most, range.unit)}});
    }

    void add(std::string_view key, std::string message) {
        problems_.push_back({.file = {}, .line = 0, .key = fmt::format("{}{}", prefix_, key), .message = std::move(message)});
    }
    /// What somebody says of heat is worth no more than the record of who said it.
    void require_source(std::string_view key, const thermal::Material& material) {
        if (!material.sources.contains(std::string(key)))
            add(key,
                fmt::format("has no source, accepted is an entry {} in [sources]: who says so, or \"common practice\"", key));
    }

    [[nodiscard]] std::vector<Problem> problems() && { return std::move(problems_); }

private:
    std::string prefix_;
    std::vector<Problem> problems_;
};

}  // namespace

namespace {

void check_heat_limits(Rules& rules, const thermal::Material& material) {
    if (const std::optional<thermal::LimitFault> fault = thermal::fault_of(material.limits))
        rules.add(fault->key, fault->message);
    if (material.limits.warn_k) rules.require_source("warn", material);
    if (material.limits.never_k) rules.require_source("never", material);
    if (!material.is_unharmed) return;
    rules.require_source("unharmed", material);
    if (material.limits.never_k) rules.add("unharmed", "stands beside never: give one of the two");
}

}  // namespace

std::vector<Problem> problems_in(const thermal::Material& material, const std::string& key_prefix) {
    Rules rules(key_prefix);
    rules.require("density", material.density_kg_per_m3, {1.0, 25000.0, " kg/m3"});
    rules.require("specific_heat", material.specific_heat_j_per_kg_k, {50.0, 10000.0, " J/kgK"});
    rules.require("conductivity", material.conductivity_w_per_m_k, {0.005, 2000.0, " W/mK"});
    rules.require("emissivity", material.emissivity, {0.0, 1.0, ""});
    check_heat_limits(rules, material);
    return std::move(rules).problems();
}

}  // namespace bakewright::profile
