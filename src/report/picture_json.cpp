#include "json_records.hpp"

namespace bakewright::report {
namespace {

Json span_json(const cure::WordSpan& span) {
    return {{"from_s", span.from_s}, {"until_s", span.until_s}, {"word", cure::word_text(span.word)}};
}

Json used_json(const cure::UsedShare& used) { return {{"time_s", used.time_s}, {"share", used.share}}; }

Json zone_course_json(const cure::ZoneCourse& zone) {
    return {{"zone", zone.zone},
            {"role", trace_role_name(zone.role)},
            {"word", cure::word_text(zone.word)},
            {"spans", json_list(zone.spans, span_json)},
            {"cured_from_s", number_or_null(zone.cured_from_s)},
            {"past_maximum_from_s", number_or_null(zone.past_maximum_from_s)},
            {"dose", zone.dose}};
}

Json json_of(const std::optional<cure::ExposureLimit>& limit) {
    if (!limit) return nullptr;
    return {{"temperature_k", limit->temperature_k},
            {"allowed_s", limit->allowed_s},
            {"scope", limit->scope == cure::ExposureScope::lifetime ? "lifetime" : "bake"}};
}

Json item_course_json(const cure::ItemCourse& item) {
    return {{"item", item.item},
            {"word", cure::word_text(item.word)},
            {"share_used", json_list(item.used, used_json)},
            {"passed_at_s", number_or_null(item.passed_at_s)},
            {"nearest_limit", json_of(item.nearest)}};
}

Json drawn_zone_json(const DrawnZone& zone) {
    return {{"zone", zone.zone}, {"title", zone.title}, {"coated", zone.coated}, {"left", zone.left},
            {"top", zone.top},   {"width", zone.width}, {"height", zone.height}};
}

Json drawn_view_json(const DrawnView& view) {
    return {{"view", view.name},
            {"title", view.title},
            {"width_m", view.width_m},
            {"height_m", view.height_m},
            {"zones", json_list(view.zones, drawn_zone_json)}};
}

}  // namespace

Json fields_of(const cure::BakeCourse& course) {
    return {{"from_s", course.from_s},
            {"until_s", course.until_s},
            {"zones", json_list(course.zones, zone_course_json)},
            {"items", json_list(course.items, item_course_json)}};
}

Json fields_of(const ShellDrawing& drawing) { return {{"views", json_list(drawing.views, drawn_view_json)}}; }

Json document_of(const cure::BakeCourse& course) { return document("bakewright.course", fields_of(course)); }

Json document_of(const ShellDrawing& drawing) { return document("bakewright.shell-drawing", fields_of(drawing)); }

}  // namespace bakewright::report
