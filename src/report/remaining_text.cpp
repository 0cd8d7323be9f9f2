#include "bakewright/report/remaining_text.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"
#include "json_records.hpp"
#include "remaining_json.hpp"

namespace bakewright::report {
namespace {

/// The zone of each coat that has used most of its longest time.
std::vector<const cure::CoatVerdict*> most_used(const cure::ShellVerdict& verdict) {
    std::vector<const cure::CoatVerdict*> found;
    for (const cure::CoatVerdict& coat : verdict.coats) {
        const auto same =
            std::find_if(found.begin(), found.end(), [&](const auto* one) { return one->coat_index == coat.coat_index; });
        if (same == found.end())
            found.push_back(&coat);
        else if (coat.total.over_bake_dose.most() > (*same)->total.over_bake_dose.most())
            *same = &coat;
    }
    return found;
}

/// A coat without a single maximum time has no over-bake dose to be told.
bool has_maximum(const cure::CoatVerdict& coat) {
    return std::any_of(coat.total.rows.begin(), coat.total.rows.end(),
                       [](const cure::RowReading& row) { return row.row.maximum_s.has_value(); });
}

std::string used_text(const cure::CoatVerdict& coat) {
    if (!has_maximum(coat)) return "its sheet has no longest time";
    const double used = coat.total.over_bake_dose.most();
    return used > 1.0 ? fmt::format("nothing left: {:.0f} % of its longest time used", 100.0 * used)
                      : fmt::format("{:.0f} % of its longest time left", 100.0 * (1.0 - used));
}

double left_s(const cure::LimitReading& limit) { return std::max(limit.limit.allowed_s - limit.exposed_s, 0.0); }

bool is_lifetime(const cure::LimitReading& limit) {
    return limit.limit.scope == cure::ExposureScope::lifetime && limit.limit.allowed_s > 0.0;
}

}  // namespace

Table remaining_table(const cure::ShellVerdict& verdict, const Units& units) {
    Table table(
        {{"coat or item", Align::left, true}, {"verdict"}, {"where", Align::left, true}, {"what is left", Align::left, true}});
    for (const cure::CoatVerdict* coat : most_used(verdict))
        table.add({one_line(coat->coat), Cell(std::string(cure::word_text(coat->total.word)), mark_of(coat->total.word)),
                   one_line(coat->total.zone), used_text(*coat)});
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        for (const cure::LimitReading& limit : item.total.limits)
            if (is_lifetime(limit))
                table.add({one_line(item.total.item),
                           Cell(std::string(cure::word_text(item.total.word)), mark_of(item.total.word)),
                           "at " + format_temperature(limit.limit.temperature_k, units, 0),
                           fmt::format("{} of {}", format_duration(left_s(limit)), format_duration(limit.limit.allowed_s))});
    return table;
}

std::string remaining_text(const cure::ShellVerdict& verdict, const TextOptions& options) {
    return table_block("What coats and items have left after it", remaining_table(verdict, options.units), options);
}

Json remaining_json(const cure::ShellVerdict& verdict) {
    Json coats = Json::array(), items = Json::array();
    for (const cure::CoatVerdict* coat : most_used(verdict))
        coats.push_back({{"coat", coat->coat},
                         {"word", std::string(cure::word_text(coat->total.word))},
                         {"zone", coat->total.zone},
                         {"share_left", has_maximum(*coat) ? Json(1.0 - coat->total.over_bake_dose.most()) : Json(nullptr)}});
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        for (const cure::LimitReading& limit : item.total.limits)
            if (is_lifetime(limit))
                items.push_back({{"item", item.total.item},
                                 {"word", std::string(cure::word_text(item.total.word))},
                                 {"temperature_k", limit.limit.temperature_k},
                                 {"allowed_s", limit.limit.allowed_s},
                                 {"left_s", left_s(limit)}});
    return {{"coats", std::move(coats)}, {"items", std::move(items)}};
}

std::string reason_text(const plan::CoatOverBaked& coat, const Units& units) {
    if (coat.absolute_maximum_k && coat.peak_k > *coat.absolute_maximum_k)
        return fmt::format("earlier coat, peak of {} over its absolute maximum of {}", format_temperature(coat.peak_k, units),
                           format_temperature(*coat.absolute_maximum_k, units, 0));
    return fmt::format("earlier coat, {:.0f} % of its longest time used before this bake and {:.0f} % after it",
                       100.0 * coat.share_before, 100.0 * coat.share_after);
}

}  // namespace bakewright::report
