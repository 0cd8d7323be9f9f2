// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/builder_text.hpp"

#include <fmt/format.h>

#include "bakewright/base/format.hpp"

namespace bakewright::report {
namespace {

std::string kind_word(profile::Kind kind) { return std::string(profile::kind_name(kind)); }

std::string sums(const builder::Built& built, const Units& units) {
    return fmt::format("{} zones, {} of them painted, {:.0f} kg of parts. Closed area by the sizes {}, by the parts {}.",
                       built.shell.shell.zones.size(), format_area(built.painted_area_m2, units), built.mass_kg,
                       format_area(built.check_area_m2, units), format_area(built.parts_area_m2, units));
}

}  // namespace

std::string built_text(profile::Kind kind, const builder::Built& built, const TextOptions& options) {
    std::vector<std::string> read, asked, assumed;
    for (const builder::Understood& one : built.understood) read.push_back(fmt::format("{}: {}", one.key, one.said));
    for (const builder::Doubt& one : built.doubts) asked.push_back(fmt::format("{} ({})", one.question, one.key));
    for (const builder::Assumption& one : built.assumed)
        assumed.push_back(fmt::format("{}: {}{}{}", one.what, one.value, one.range.empty() ? "" : ", " + one.range,
                                      one.find_out.empty() ? "" : ". To settle it: " + one.find_out));
    std::string text;
    if (kind == profile::Kind::shell) text += paragraph_text(sums(built, options.units), options) + "\n";
    text += list_text("Read as", read, options);
    text += list_text("CHECK: is this right?", asked, options);
    text += list_text("Assumed", assumed, options);
    return text;
}

Json document_of(profile::Kind kind, const std::string& name, const std::string& path, const builder::Built& built) {
    Json understood = Json::array(), doubts = Json::array(), assumed = Json::array();
    for (const builder::Understood& one : built.understood) understood.push_back({{"key", one.key}, {"said", one.said}});
    for (const builder::Doubt& one : built.doubts) doubts.push_back({{"key", one.key}, {"question", one.question}});
    for (const builder::Assumption& one : built.assumed)
        assumed.push_back(
            {{"what", one.what}, {"value", one.value}, {"range", one.range}, {"source", one.source}, {"find_out", one.find_out}});
    return document("bakewright.built", {{"kind", kind_word(kind)},
                                         {"name", name},
                                         {"path", path.empty() ? Json(nullptr) : Json(path)},
                                         {"text", built.text},
                                         {"understood", std::move(understood)},
                                         {"doubts", std::move(doubts)},
                                         {"assumed", std::move(assumed)},
                                         {"painted_area_m2", built.painted_area_m2},
                                         {"mass_kg", built.mass_kg},
                                         {"closed_area_m2", built.check_area_m2},
                                         {"parts_area_m2", built.parts_area_m2}});
}

}  // namespace bakewright::report
