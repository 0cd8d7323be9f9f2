// SPDX-License-Identifier: Apache-2.0
#include "html_parts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "bakewright/report/checklist.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/text.hpp"
#include "embedded.hpp"

namespace bakewright::report {
namespace {

std::string_view align_class(Align align) { return align == Align::right ? " class=\"number\"" : ""; }

std::string_view mark_class(Mark mark) {
    switch (mark) {
        case Mark::calm:
            return "word calm";
        case Mark::strong:
            return "word strong";
        case Mark::alarm:
            return "word alarm";
        case Mark::none:
            break;
    }
    return {};
}

std::string cell_html(const Cell& cell) {
    if (cell.mark == Mark::none) return isolated(cell.text);
    return fmt::format("<span class=\"{}\">{}</span>", mark_class(cell.mark), escape_html(cell.text));
}

std::string head_html(const std::string& head) {
    const std::size_t end = head.find('\n');
    const std::string words = escape_html(head.substr(0, end));
    if (end == std::string::npos) return words;
    return words + "<br><span class=\"unit\">" + escape_html(head.substr(end + 1)) + "</span>";
}

std::string row_html(const Table::Row& row, const std::vector<Column>& columns) {
    std::string html = row.note.empty() ? "<tr>" : "<tr class=\"noted\">";
    for (std::size_t i = 0; i < columns.size(); ++i) {
        const std::string_view element = i == 0 ? "th scope=\"row\"" : "td";
        html +=
            fmt::format("<{}{}>{}</{}>", element, align_class(columns[i].align), cell_html(row.cells[i]), element.substr(0, 2));
    }
    html += "</tr>";
    if (!row.note.empty())
        html += fmt::format("<tr class=\"note\"><td colspan=\"{}\">{}</td></tr>", columns.size(), isolated(row.note));
    return "<tbody>" + html + "</tbody>\n";
}

}  // namespace

std::string readable_time(std::string time) {
    if (clock_minutes(time)) time[10] = ' ';
    return time;
}

std::string isolated(std::string_view text) { return "<bdi>" + escape_html(text) + "</bdi>"; }

std::string section(std::string_view id, std::string_view title, std::string_view html) {
    if (html.empty()) return {};
    return fmt::format("<section aria-labelledby=\"{0}\">\n<h2 id=\"{0}\">{1}</h2>\n{2}</section>\n", escape_html(id),
                       escape_html(title), html);
}

std::string paragraph(std::string_view text, std::string_view css_class) {
    if (text.empty()) return {};
    if (css_class.empty()) return "<p>" + isolated(text) + "</p>\n";
    return fmt::format("<p class=\"{}\">{}</p>\n", escape_html(css_class), isolated(text));
}

std::string bullet_list(const std::vector<std::string>& sentences) {
    if (sentences.empty()) return {};
    std::string html = "<ul>\n";
    for (const std::string& sentence : sentences) html += "<li>" + isolated(sentence) + "</li>\n";
    return html + "</ul>\n";
}

std::string fact_list(const std::vector<std::pair<std::string, std::string>>& facts) {
    std::string html;
    for (const auto& [subject, value] : facts)
        if (!value.empty()) html += "<div><dt>" + isolated(subject) + "</dt><dd>" + isolated(value) + "</dd></div>\n";
    return html.empty() ? html : "<dl>\n" + html + "</dl>\n";
}

std::string html_table(const Table& table, std::string_view caption, std::string_view css_class) {
    if (table.empty()) return {};
    std::string html = fmt::format("<div class=\"scroll\"><table class=\"{}\">\n", escape_html(css_class));
    if (!caption.empty()) html += "<caption>" + isolated(caption) + "</caption>\n";
    html += "<thead><tr>";
    for (const Column& column : table.columns())
        html += fmt::format("<th scope=\"col\"{}>{}</th>", align_class(column.align), head_html(column.head));
    html += "</tr></thead>\n";
    for (const Table::Row& row : table.rows()) html += row_html(row, table.columns());
    return html + "</table></div>\n";
}

std::string page_head(const std::string& title, const std::string& policy) {
    return fmt::format(
        "<head>\n<meta charset=\"utf-8\">\n<meta http-equiv=\"Content-Security-Policy\" content=\"{}\">\n"
        "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n<meta name=\"referrer\" "
        "content=\"no-referrer\">\n"
        "<title>{}</title>\n<style>{}\n{}\n{}</style>\n</head>\n",
        policy, escape_html(one_line(title)), embedded::dygraphs_style, embedded::pictures_style, embedded::report_style);
}

std::string caution_section() {
    std::string html = "<dl class=\"cautions\">\n";
    for (const Caution& caution : cautions())
        html += "<div><dt>" + escape_html(caution.subject) + "</dt><dd>" + escape_html(caution.text) + "</dd></div>\n";
    return section("cautions", "Cautions", html + "</dl>\n");
}

std::string made_from(const std::vector<Provenance>& provenance) {
    std::vector<std::pair<std::string, std::string>> facts;
    for (const Provenance& one : provenance) facts.emplace_back(one.subject, one.value);
    const std::string html = fact_list(facts);
    return html.empty() ? html : "<footer class=\"small\">\n<h2>Made from</h2>\n" + html + "</footer>\n";
}

}  // namespace bakewright::report
