#include "report_shell.hpp"

#include <fmt/core.h>

#include "bakewright/book/book.hpp"
#include "bakewright/report/html.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/shop/files.hpp"
#include "bakewright/shop/shell_history.hpp"
#include "judging.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

/// The shell as it was in the newest bake that was kept with one.
const StoredBake* newest_with_shell(const LoadedHistory& loaded) {
    const StoredBake* newest = nullptr;
    for (const auto& half : loaded.halves)
        if (half->shell && (newest == nullptr || half->record.id > newest->record.id)) newest = half.get();
    return newest;
}

std::string bake_line(const book::HistoryEntry& entry, book::Book& book) {
    const book::Bake bake = book::BakeRepository(book).get(entry.bake);
    return fmt::format("{} {}: bake {}, {} ({})", entry.began_at.substr(0, 10), entry.began_at.substr(11, 5),
                       static_cast<std::int64_t>(entry.bake), bake.title, book::bake_kind_name(bake.kind));
}

}  // namespace

int report_shell(const Options& options) {
    book::Book book = book::Book::open(options.book_path(), book::Mode::read_only);
    const std::string shell = options.text("shell");
    const LoadedHistory loaded = load_history(book, shell);
    if (loaded.history.coats.empty() && loaded.history.bakes.empty())
        wrong_option("--shell", fmt::format("'{}' has no coat and no bake in the book; `bakewright history` enters them", shell));
    report::ShellReportInput input;
    input.verdict = cure::judge_history(loaded.history);
    add_certainty(input.verdict, loaded, options);
    if (options.json()) {
        print(report::to_json_text(input.verdict));
        return static_cast<int>(ExitStatus::fine);
    }
    const StoredBake* newest = newest_with_shell(loaded);
    input.shell_title = newest != nullptr && !newest->shell->shell.title.empty() ? newest->shell->shell.title : shell;
    if (newest != nullptr) input.drawing = report::draw_shell(newest->shell->shell);
    input.written_at = book::utc_now();
    input.units = options.units();
    for (const book::HistoryEntry& entry : book::ShellHistoryRepository(book).bakes(shell)) {
        input.bakes.push_back(bake_line(entry, book));
        const book::Bake bake = book::BakeRepository(book).get(entry.bake);
        input.provenance.push_back({fmt::format("bake {}", static_cast<std::int64_t>(entry.bake)), "uid " + bake.uid});
    }
    input.provenance.push_back({"report written by", fmt::format("bakewright {}", kVersion)});
    const std::string path = options.text_or("out", shell + "-history.html");
    write_file(path, report::html_shell_report(input));
    if (path != "-") fmt::print("wrote {}\n", path);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
