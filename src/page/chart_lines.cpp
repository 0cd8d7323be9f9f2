#include "chart_lines.hpp"

namespace bakewright::page {

Json chart_lines(const std::optional<cure::Coating>& coating, const std::vector<cure::HeatSensitiveItem>& items) {
    Json lines = Json::array();
    if (coating) {
        for (const cure::ScheduleRow& row : coating->schedule)
            lines.push_back({{"kind", "cure"}, {"temperature_k", row.temperature_k}, {"minimum_s", row.minimum_s}});
        if (coating->absolute_maximum_k) lines.push_back({{"kind", "maximum"}, {"temperature_k", *coating->absolute_maximum_k}});
    }
    for (const cure::HeatSensitiveItem& item : items)
        for (const cure::ExposureLimit& limit : item.limits)
            if (limit.kind == cure::LimitKind::never)
                lines.push_back({{"kind", "item"},
                                 {"temperature_k", limit.temperature_k},
                                 {"name", item.title.empty() ? item.name : item.title},
                                 {"allowed_s", limit.allowed_s}});
    return lines;
}

}  // namespace bakewright::page
