#include "json_records.hpp"

namespace bakewright::report {
namespace {

Json json_of(const cure::WordSpan& span) {
    return {{"from_s", span.from_s}, {"until_s", span.until_s}, {"word", cure::word_text(span.word)}};
}

Json json_of(const cure::UsedShare& used) { return {{"time_s", used.time_s}, {"share", used.share}}; }

// Declared before list_of(), which would not find them otherwise: their records live in other namespaces.
Json json_of(const cure::ZoneCourse& zone);
Json json_of(const cure::ItemCourse& item);
Json json_of(const DrawnZone& zone);
Json json_of(const DrawnView& view);

template <typename Record>
Json list_of(const std::vector<Record>& records) {
    Json list = Json::array();
    for (const Record& record : records) list.push_back(json_of(record));
    return list;
}

Json json_of(const cure::ZoneCourse& zone) {
    return {{"zone", zone.zone},
            {"role", trace_role_name(zone.role)},
            {"word", cure::word_text(zone.word)},
            {"spans", list_of(zone.spans)},
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

Json json_of(const cure::ItemCourse& item) {
    return {{"item", item.item},
            {"word", cure::word_text(item.word)},
            {"share_used", list_of(item.used)},
            {"passed_at_s", number_or_null(item.passed_at_s)},
            {"nearest_limit", json_of(item.nearest)}};
}

Json json_of(const DrawnZone& zone) {
    return {{"zone", zone.zone}, {"title", zone.title}, {"coated", zone.coated}, {"left", zone.left},
            {"top", zone.top},   {"width", zone.width}, {"height", zone.height}};
}

Json json_of(const DrawnView& view) {
    return {{"view", view.name},
            {"title", view.title},
            {"width_m", view.width_m},
            {"height_m", view.height_m},
            {"zones", list_of(view.zones)}};
}

}  // namespace

Json fields_of(const cure::BakeCourse& course) {
    return {{"from_s", course.from_s},
            {"until_s", course.until_s},
            {"zones", list_of(course.zones)},
            {"items", list_of(course.items)}};
}

Json fields_of(const ShellDrawing& drawing) { return {{"views", list_of(drawing.views)}}; }

std::string to_json_text(const cure::BakeCourse& course, const JsonOptions& options) {
    return document_text("bakewright.course", fields_of(course), options);
}

std::string to_json_text(const ShellDrawing& drawing, const JsonOptions& options) {
    return document_text("bakewright.shell-drawing", fields_of(drawing), options);
}

}  // namespace bakewright::report
