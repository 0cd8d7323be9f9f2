#include "bakewright/report/shell_text.hpp"
#include "json_records.hpp"

namespace bakewright::report {
namespace {

std::string_view source_name(cure::TraceSource source) {
    if (source == cure::TraceSource::log) return "log";
    return source == cure::TraceSource::prediction ? "prediction" : "nothing";
}

Json bake_or_null(const cure::ShellVerdict& verdict, const std::optional<std::size_t>& bake) {
    return bake ? Json(verdict.bake_names[*bake]) : Json(nullptr);
}

Json share_json(const cure::ShellVerdict& verdict, const cure::BakeShare& share) {
    return {{"bake", verdict.bake_names[share.bake]},
            {"source", source_name(share.source)},
            {"dose", {{"at_low", share.dose.at_low}, {"at_value", share.dose.at_value}, {"at_high", share.dose.at_high}}},
            {"peak_temperature_k", share.peak_temperature_k > 0.0 ? Json(share.peak_temperature_k) : Json(nullptr)},
            {"word_after", cure::word_text(share.word_after)}};
}

Json coat_json(const cure::ShellVerdict& verdict, const cure::CoatVerdict& coat) {
    Json shares = Json::array();
    for (const cure::BakeShare& share : coat.shares) shares.push_back(share_json(verdict, share));
    return {{"coat", coat.coat},
            {"zone", coat.total.zone},
            {"word", cure::word_text(coat.total.word)},
            {"reason", coat.reason},
            {"cured_in", bake_or_null(verdict, coat.cured_in)},
            {"too_much_since", bake_or_null(verdict, coat.over_since)},
            {"peak_in", bake_or_null(verdict, coat.peak_in)},
            {"covered_before_cured_by", coat.covered_by.empty() ? Json(nullptr) : Json(coat.covered_by)},
            {"bakes", std::move(shares)},
            {"readings", json_of(coat.total)}};
}

Json item_json(const cure::ShellVerdict& verdict, const cure::ItemHistoryVerdict& item) {
    Json aboard = Json::array();
    for (std::size_t i = 0; i < item.aboard.size(); ++i)
        aboard.push_back({{"bake", verdict.bake_names[item.aboard[i]]},
                          {"source", source_name(item.sources[i])},
                          {"word_after", cure::word_text(item.word_after[i])}});
    return {{"item", item.total.item},
            {"word", cure::word_text(item.total.word)},
            {"reason", item.reason},
            {"aboard", std::move(aboard)},
            {"passed_in", bake_or_null(verdict, item.passed_in)},
            {"remove_before", bake_or_null(verdict, item.remove_before)},
            {"readings", json_of(item.total)}};
}

Json recoat_json(const cure::RecoatWarning& warning) {
    const bool soon = warning.kind == cure::RecoatWarningKind::recoated_too_soon;
    return {{"warning", soon ? "recoated too soon" : "recoated too late"},
            {"coat", warning.coat},
            {"next_coat", warning.next_coat},
            {"zones", warning.zones},
            {"found_s", warning.found_s},
            {"accepted_s", warning.accepted_s},
            {"reason", warning.reason}};
}

Json heat_json(const cure::CoatHeatWarning& warning) {
    return {{"warning", cure::heat_warning_text(warning.warning.kind)},
            {"coat", warning.coat},
            {"bake", warning.bake},
            {"found_s", warning.warning.found},
            {"accepted_s", warning.warning.accepted},
            {"reason", warning.reason}};
}

}  // namespace

Json document_of(const cure::ShellVerdict& verdict) {
    Json coats = Json::array(), items = Json::array(), recoats = Json::array(), heat = Json::array();
    for (const cure::CoatVerdict& coat : verdict.coats) coats.push_back(coat_json(verdict, coat));
    for (const cure::ItemHistoryVerdict& item : verdict.items) items.push_back(item_json(verdict, item));
    for (const cure::RecoatWarning& warning : verdict.recoats) recoats.push_back(recoat_json(warning));
    for (const cure::CoatHeatWarning& warning : verdict.heat_warnings) heat.push_back(heat_json(warning));
    return document("bakewright.shell-verdict", {{"worst", cure::word_text(verdict.worst())},
                                                 {"bakes", verdict.bake_names},
                                                 {"coats", std::move(coats)},
                                                 {"items", std::move(items)},
                                                 {"recoat_warnings", std::move(recoats)},
                                                 {"flash_off_warnings", std::move(heat)},
                                                 {"uncertainty", verdict.uncertainty_origins},
                                                 {"remarks", verdict.remarks}});
}

Json document_of(const std::vector<book::StoredCoat>& coats) {
    Json list = Json::array();
    for (const book::StoredCoat& coat : coats)
        list.push_back({{"coat", static_cast<std::int64_t>(coat.id)},
                        {"shell", coat.shell},
                        {"name", coat.name},
                        {"applied_at", coat.applied_at},
                        {"over", coat.over},
                        {"sanded_at", coat.sanded_at ? Json(*coat.sanded_at) : Json(nullptr)},
                        {"zones", coat.zones},
                        {"note", coat.note}});
    return document("bakewright.coats", {{"coats", std::move(list)}});
}

Json document_of(const std::vector<book::HistoryEntry>& entries) {
    Json list = Json::array();
    for (const book::HistoryEntry& entry : entries)
        list.push_back({{"bake", static_cast<std::int64_t>(entry.bake)},
                        {"shell", entry.shell},
                        {"began_at", entry.began_at},
                        {"zones", entry.zones},
                        {"items_aboard", entry.items}});
    return document("bakewright.history", {{"bakes", std::move(list)}});
}

}  // namespace bakewright::report
