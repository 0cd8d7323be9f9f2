#include "bakewright/shop/shell_report.hpp"

#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "report_context.hpp"

namespace bakewright::shop {
namespace {

/// The newest bake that was kept with its shell.
const StoredBake* newest_with_shell(const LoadedHistory& loaded) {
    const StoredBake* newest = nullptr;
    for (const auto& half : loaded.halves)
        if (half->shell && (newest == nullptr || half->record.id > newest->record.id)) newest = half.get();
    return newest;
}

std::string bake_line(const book::HistoryEntry& entry, const book::Bake& bake) {
    return fmt::format("{} {}: bake {}, {} ({})", entry.began_at.substr(0, 10), entry.began_at.substr(11, 5),
                       static_cast<std::int64_t>(entry.bake), bake.title, book::bake_kind_name(bake.kind));
}

}  // namespace

std::map<std::string, std::string> titles_in(const LoadedHistory& loaded) {
    const StoredBake* newest = newest_with_shell(loaded);
    return newest == nullptr ? std::map<std::string, std::string>{} : titles_in(*newest->shell);
}

report::ShellReportInput shell_report_input(const ShellReportAsked& asked, book::Book& book) {
    const LoadedHistory loaded = load_history(book, asked.shell);
    if (loaded.history.coats.empty() && loaded.history.bakes.empty())
        throw InputError(
            Problem{{},
                    0,
                    "--shell",
                    fmt::format("'{}' has no coat and no bake in the book; `bakewright history` enters them", asked.shell)});
    report::ShellReportInput input;
    input.verdict = cure::judge_history(loaded.history);
    add_certainty(input.verdict, loaded, asked.certainty);
    const StoredBake* newest = newest_with_shell(loaded);
    input.shell_title = newest != nullptr && !newest->shell->shell.title.empty() ? newest->shell->shell.title : asked.shell;
    if (newest != nullptr) input.drawing = report::draw_shell(newest->shell->shell);
    input.titles = titles_in(loaded);
    input.written_at = asked.written_at;
    input.units = asked.units;
    for (const book::HistoryEntry& entry : book::ShellHistoryRepository(book).bakes(asked.shell)) {
        const book::Bake bake = book::BakeRepository(book).get(entry.bake);
        input.bakes.push_back(bake_line(entry, bake));
        input.provenance.push_back({fmt::format("bake {}", static_cast<std::int64_t>(entry.bake)), "uid " + bake.uid});
    }
    put_book(input.provenance, book);
    input.provenance.push_back({"report written by", "bakewright " + asked.program_version});
    return input;
}

}  // namespace bakewright::shop
