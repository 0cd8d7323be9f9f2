// SPDX-License-Identifier: Apache-2.0
#include "answers.hpp"

#include <cmath>

#include "bakewright/report/tables.hpp"
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

struct Refused {
    int status;
    std::vector<Problem> problems;
};

Refused refused(int status, const std::string& message) { return {status, {Problem{{}, 0, {}, message}}}; }

/// What is being thrown.
Refused refused_now() {
    try {
        throw;
    } catch (const InputError& error) {
        return {400, error.problems()};
    } catch (const PromiseError& error) {
        return refused(500, std::string("internal error, please report it: ") + error.what());
    } catch (const std::bad_alloc&) {
        return refused(500, "memory ran out");
    } catch (const std::exception& error) {
        return refused(500, error.what());
    }
}

Json problem_document(const std::vector<Problem>& problems) {
    return page_document("problems", {{"problems", json_of(problems)}});
}

}  // namespace

Answer answer_of(const Json& document) { return {.text = report::json_text(document, -1)}; }

Json page_document(std::string_view name, Json fields) {
    return report::document("bakewright." + std::string(name), std::move(fields));
}

Answer json_answer(std::string_view name, Json fields) { return answer_of(page_document(name, std::move(fields))); }

Json json_of(const std::vector<Problem>& problems) {
    Json list = Json::array();
    for (const Problem& problem : problems)
        list.push_back({{"file", problem.file}, {"line", problem.line}, {"key", problem.key}, {"message", problem.message}});
    return list;
}

Answer problem_answer(int status, const std::vector<Problem>& problems) {
    Answer answer = answer_of(problem_document(problems));
    answer.status = status;
    return answer;
}

Answer problem_answer(int status, const std::string& message) {
    return problem_answer(status, refused(status, message).problems);
}

Units units_of(const Asked& asked) { return units_from_name(asked.query_or("units", "metric")).value_or(Units{}); }

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

Outcome outcome_of(const std::function<Json()>& work) {
    try {
        return {200, work()};
    } catch (...) {
        const Refused why = refused_now();
        return {why.status, problem_document(why.problems)};
    }
}

Answer guarded(const std::function<Answer()>& handler) {
    try {
        return handler();
    } catch (...) {
        const Refused why = refused_now();
        return problem_answer(why.status, why.problems);
    }
}

Json verdict_words(const cure::BakeVerdict& by_name, const report::Titles& titles, const Units& units) {
    const cure::BakeVerdict verdict = report::titled(by_name, titles);
    return {{"worst", report::worst_place_sentence(verdict, units)}, {"warnings", report::warning_sentences(verdict, units)},
            {"questions", report::question_sentences(verdict)},      {"certainty", report::certainty_sentences(verdict, units)},
            {"assumed", report::verdict_sentences(verdict)},         {"zones", json_of(report::verdict_table(verdict, units))},
            {"items", json_of(report::item_table(verdict, units))}};
}

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
