#include "bakewright/report/shell_text.hpp"

#include <fmt/format.h>

#include "bakewright/cure/reason.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {
namespace {

std::string joined(std::initializer_list<std::string> blocks) {
    std::string out;
    for (const std::string& part : blocks) {
        if (part.empty()) continue;
        if (!out.empty()) out += '\n';
        out += part;
    }
    return out;
}

std::vector<std::string> window_sentences(const cure::ShellVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const cure::RecoatWarning& warning : verdict.recoats) sentences.push_back(as_sentence(warning.reason));
    for (const cure::CoatHeatWarning& warning : verdict.heat_warnings) sentences.push_back(as_sentence(warning.reason));
    return sentences;
}

std::vector<std::string> remark_sentences(const cure::ShellVerdict& verdict) {
    std::vector<std::string> sentences;
    for (const std::string& remark : verdict.remarks) sentences.push_back(as_sentence(remark));
    return sentences;
}

std::string names(const std::vector<std::string>& texts) { return fmt::format("{}", fmt::join(texts, ", ")); }

/// "2027-03-01 16:00" from the stored form.
std::string minute_text(const std::string& stamp) {
    return stamp.size() >= 16 ? stamp.substr(0, 10) + " " + stamp.substr(11, 5) : stamp;
}

}  // namespace

std::string shell_verdict_text(const cure::ShellVerdict& verdict, const TextOptions& options, bool every_zone) {
    if (verdict.coats.empty() && verdict.items.empty())
        return "nothing is known of this shell: no coat and no bake in its history; `bakewright coat add` and `bakewright "
               "history add` "
               "enter them\n";
    return joined(
        {list_text("Before the bake to come", removal_sentences(verdict, options.units), options),
         table_block("Coats, in the order they were sprayed", coat_table(verdict, options.units), options),
         every_zone ? table_block("Every coat on every zone", coat_zone_table(verdict, options.units), options) : std::string(),
         table_block("Heat-sensitive items over all bakes, worst first", item_history_table(verdict, options.units), options),
         list_text("How sure", certainty_sentences(verdict, options.units, every_zone), options),
         list_text("Recoat windows and flash-off", window_sentences(verdict), options),
         list_text("Taken for granted", remark_sentences(verdict), options)});
}

std::string coats_text(const std::vector<book::StoredCoat>& coats, const TextOptions& options) {
    if (coats.empty()) return "no coat is kept for this shell\n";
    Table table({{.head = "coat", .align = Align::right},
                 {.head = "sprayed"},
                 {.head = "name", .may_wrap = true},
                 {.head = "over", .may_wrap = true},
                 {.head = "sanded"},
                 {.head = "zones", .may_wrap = true}});
    for (const book::StoredCoat& coat : coats)
        table.add({fmt::format("{}", static_cast<std::int64_t>(coat.id)), minute_text(coat.applied_at), coat.name, coat.over,
                   coat.sanded_at ? minute_text(*coat.sanded_at) : "-", names(coat.zones)},
                  coat.note);
    return table.text(options.style);
}

std::string history_text(const std::vector<book::HistoryEntry>& entries, const TextOptions& options) {
    if (entries.empty()) return "no bake counts in this history\n";
    Table table({{.head = "bake", .align = Align::right},
                 {.head = "began"},
                 {.head = "items aboard", .may_wrap = true},
                 {.head = "zones", .may_wrap = true}});
    for (const book::HistoryEntry& entry : entries)
        table.add({fmt::format("{}", static_cast<std::int64_t>(entry.bake)), minute_text(entry.began_at),
                   entry.items.empty() ? "none" : names(entry.items), entry.zones.empty() ? "all" : names(entry.zones)});
    return table.text(options.style);
}

}  // namespace bakewright::report
