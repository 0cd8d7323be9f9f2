#include "bakewright/report/cause_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <cmath>

#include "json_records.hpp"

namespace bakewright::report {
namespace {

using Kind = tune::Cause::Kind;
constexpr std::size_t kMostCauses = 5;

std::string words_of(const tune::Cause& cause, const Units& units) {
    const std::string difference = format_temperature_difference(std::abs(cause.value), units);
    switch (cause.kind) {
        case Kind::air:
            return fmt::format("air {} {} than set or logged", difference, cause.value > 0.0 ? "hotter" : "colder");
        case Kind::film:
            return fmt::format("films {:.2f} times as strong as stated", cause.value);
        case Kind::mass:
            return fmt::format("zones {:.2f} times as heavy as stated", cause.value);
        case Kind::links:
            return fmt::format("links {:.2f} times as good as stated", cause.value);
        case Kind::loose_probe:
            return fmt::format("the probe of {} reading {:.0f} % of the way to the air", cause.channel, 100.0 * cause.value);
        case Kind::probe_offset:
            return fmt::format("the probe of {} reading {} too {}", cause.channel, difference,
                               cause.value > 0.0 ? "high" : "low");
    }
    return {};
}

const char* kind_name(Kind kind) noexcept {
    constexpr const char* kNames[]{"air", "film", "mass", "links", "loose_probe", "probe_offset"};
    return kNames[static_cast<std::size_t>(kind)];
}

}  // namespace

std::string cause_text(const std::vector<tune::Cause>& causes, const TextOptions& options) {
    std::vector<std::string> sentences;
    for (std::size_t i = 0; i < std::min(causes.size(), kMostCauses); ++i)
        sentences.push_back(fmt::format("{}: would take away {:.0f} % of the mean square difference",
                                        words_of(causes[i], options.units), 100.0 * causes[i].explained));
    return list_text("What may be behind it, each alone (hints, not findings)", sentences, options);
}

Json json_of(const std::vector<tune::Cause>& causes) {
    Json list = Json::array();
    for (const tune::Cause& cause : causes)
        list.push_back({{"cause", kind_name(cause.kind)},
                        {"channel", cause.channel.empty() ? Json(nullptr) : Json(cause.channel)},
                        {"value", number_or_null(cause.value)},
                        {"explained", number_or_null(cause.explained)}});
    return list;
}

}  // namespace bakewright::report
