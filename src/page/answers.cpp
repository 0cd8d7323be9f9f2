#include "answers.hpp"

#include <cmath>

#include "bakewright/report/thin.hpp"

namespace bakewright::page {
namespace {

constexpr std::size_t kDrawnSamples = 400;  // a chart is no wider than about twice as many points of a screen
constexpr double kPerKelvin = 1000.0;

std::string_view mark_name(report::Mark mark) noexcept {
    switch (mark) {
        case report::Mark::calm:
            return "calm";
        case report::Mark::strong:
            return "strong";
        case report::Mark::alarm:
            return "alarm";
        case report::Mark::none:
            break;
    }
    return "none";
}

Json head_of(std::string_view name) { return {{"format", "bakewright." + std::string(name)}, {"format_version", 1}}; }

}  // namespace

std::string text_of(const Json& json) { return json.dump(-1, ' ', false, Json::error_handler_t::replace); }

Answer json_answer(std::string_view name, const Json& fields) {
    Json document = head_of(name);
    document.update(fields);
    return {.text = text_of(document)};
}

Answer joined_answer(std::string_view name, const std::vector<std::pair<std::string, std::string>>& texts) {
    std::string text = text_of(head_of(name));
    text.pop_back();  // the closing brace
    for (const auto& [key, value] : texts) text += ",\"" + key + "\":" + value;
    return {.text = text + "}"};
}

Json json_of(const std::vector<Problem>& problems) {
    Json list = Json::array();
    for (const Problem& problem : problems)
        list.push_back({{"file", problem.file}, {"line", problem.line}, {"key", problem.key}, {"message", problem.message}});
    return list;
}

Answer problem_answer(int status, const std::vector<Problem>& problems) {
    Answer answer = json_answer("problems", {{"problems", json_of(problems)}});
    answer.status = status;
    return answer;
}

Answer problem_answer(int status, const std::string& message) {
    return problem_answer(status, std::vector<Problem>{{{}, 0, {}, message}});
}

Json json_of(const report::Table& table) {
    Json columns = Json::array(), rows = Json::array();
    for (const report::Column& column : table.columns())
        columns.push_back({{"head", column.head}, {"align", column.align == report::Align::right ? "right" : "left"}});
    for (const report::Table::Row& row : table.rows()) {
        Json cells = Json::array();
        for (const report::Cell& cell : row.cells) cells.push_back({{"text", cell.text}, {"mark", mark_name(cell.mark)}});
        rows.push_back({{"cells", std::move(cells)}, {"note", row.note}});
    }
    return {{"columns", std::move(columns)}, {"rows", std::move(rows)}};
}

TraceSet drawn(const TraceSet& traces) {
    TraceSet few;
    few.started_at = traces.started_at;
    for (const Trace& trace : traces.traces) {
        few.traces.push_back(report::thin(trace, kDrawnSamples));
        for (double& temperature_k : few.traces.back().temperature_k)
            temperature_k = std::round(temperature_k * kPerKelvin) / kPerKelvin;
    }
    return few;
}

}  // namespace bakewright::page
