#include "bakewright/report/text.hpp"

#include "bakewright/report/booth_run.hpp"
#include "bakewright/report/cautions.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {
namespace {

constexpr std::string_view kBullet = "- ";

std::string title_line(std::string_view title, const TextOptions& options) {
    std::string out;
    for (const std::string& line : wrap(one_line(title), options.style.width))
        out += (options.style.ansi ? "\x1b[1m" + line + "\x1b[0m" : line) + '\n';
    return out;
}

std::string paragraph(std::string_view text, std::size_t width, std::string_view first = {}) {
    const std::string indent(first.size(), ' ');
    std::string out;
    for (const std::string& line : wrap(one_line(text), width > first.size() + 20 ? width - first.size() : 20)) {
        out += (out.empty() ? std::string(first) : indent) + line + '\n';
    }
    return out;
}

/// Blocks with one blank line between them; empty ones are passed over.
std::string joined(std::initializer_list<std::string> blocks) {
    std::string out;
    for (const std::string& block : blocks) {
        if (block.empty()) continue;
        if (!out.empty()) out += '\n';
        out += block;
    }
    return out;
}

std::string list(const std::vector<std::string>& sentences, const TextOptions& options) {
    std::string out;
    for (const std::string& sentence : sentences) out += paragraph(sentence, options.style.width, kBullet);
    return out;
}

}  // namespace

std::string table_block(std::string_view title, const Table& table, const TextOptions& options) {
    if (table.empty()) return {};
    return title_line(title, options) + '\n' + table.text(options.style);
}

std::string list_text(std::string_view title, const std::vector<std::string>& sentences, const TextOptions& options) {
    return sentences.empty() ? std::string() : title_line(title, options) + '\n' + list(sentences, options);
}

std::string cycle_text(const std::vector<bake::ResolvedStage>& stages, const TextOptions& options, std::string_view started_at,
                       bool booth_purges) {
    return table_block("Cycle", cycle_table(stages, options.units, started_at, booth_purges), options);
}

std::string prediction_text(const bake::Prediction& prediction, const TextOptions& options) {
    return joined({cycle_text(prediction.stages, options, prediction.traces.started_at),
                   table_block("Predicted temperatures, last to arrive first",
                               zone_table(prediction.traces, prediction.stages, options.units), options),
                   list_text("Burner and air", booth_run_sentences(prediction, options.units), options),
                   list_text("Zones split through their thickness", split_sentences(prediction.summary.splits), options)});
}

std::string verdict_text(const cure::BakeVerdict& verdict, const TextOptions& options) {
    return joined(
        {list_text("A question first", question_sentences(verdict), options),
         paragraph(worst_place_sentence(verdict, options.units), options.style.width),
         table_block("Cure by zone, worst first: " + verdict.coating_title, verdict_table(verdict, options.units), options),
         list_text("How sure", certainty_sentences(verdict, options.units), options),
         list_text("Heating rate", warning_sentences(verdict, options.units), options),
         table_block("Heat-sensitive items, worst first", item_table(verdict, options.units), options),
         list_text("Degree of cure by a rate law; it changes no word", conversion_sentences(verdict, options.units), options),
         list_text("Taken for granted", verdict_sentences(verdict), options)});
}

std::string comparison_text(const tune::Comparison& comparison, const TextOptions& options) {
    const Table table = comparison_table(comparison, options.units);
    return joined({table_block("Predicted against logged (predicted minus logged; lag: the log runs behind)", table, options),
                   list(unmatched_sentences(comparison), options)});
}

std::string paragraph_text(const std::string& text, const TextOptions& options) { return paragraph(text, options.style.width); }

std::string cautions_text(const TextOptions& options) {
    std::vector<std::string> sentences;
    for (const Caution& caution : cautions())
        sentences.push_back(std::string(caution.subject) + ": " + std::string(caution.text));
    return list_text("Cautions", sentences, options);
}

}  // namespace bakewright::report
