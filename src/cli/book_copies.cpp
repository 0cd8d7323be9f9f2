// SPDX-License-Identifier: Apache-2.0
#include "book_copies.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <filesystem>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/book/backup.hpp"
#include "bakewright/book/merge.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/report/book_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/shell_history.hpp"
#include "command.hpp"
#include "export_folder.hpp"
#include "output.hpp"

namespace bakewright::cli {

int back_up_book(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::string copy = options.text("out");
    book::back_up(book, copy);
    if (options.json())
        print_json({{"backup", copy}}, -1);
    else
        fmt::print("copied {} to {}\n", options.book_path(), copy);
    return static_cast<int>(ExitStatus::fine);
}

namespace {

/// A book that is made for a merge goes again where nothing comes of it: what was refused or interrupted leaves no trace.
class MadeForMerge {
public:
    explicit MadeForMerge(std::string path) : path_(std::move(path)) {
        std::error_code ignored;
        is_new_ = !std::filesystem::exists(path_, ignored);
    }
    ~MadeForMerge() {
        std::error_code ignored;
        if (is_new_)
            for (const char* ending : {"", "-wal", "-shm"}) std::filesystem::remove(path_ + ending, ignored);
    }
    MadeForMerge(const MadeForMerge&) = delete;
    MadeForMerge& operator=(const MadeForMerge&) = delete;
    void keep() noexcept { is_new_ = false; }

private:
    std::string path_;
    bool is_new_ = false;
};

}  // namespace

int merge_books(const Options& options) {
    const std::string other = options.text("from");
    // What cannot be read at all is refused before this book is touched, also by bringing it up to date.
    static_cast<void>(book::Book::open(other, book::Mode::read_only));
    MadeForMerge made(options.book_path());
    book::Book book = options.open_book(book::Mode::create);
    ProgressLine progress("merging");
    const book::MergeReport found = book::merge(book, other, progress.listener());
    if (!found.complete) throw BookError(fmt::format("{}: merging was interrupted; the book is unchanged", options.book_path()));
    made.keep();
    std::vector<std::string> unsound;
    for (const std::string& shell : book::ShellHistoryRepository(book).shells()) {
        try {
            services::require_sound_history(book, shell);
        } catch (const InputError& error) {
            unsound.push_back(fmt::format("the history of '{}' cannot be as the books say together: {}", shell, error.what()));
        }
    }
    if (options.json()) {
        print_json({{"bakes", found.bakes},
                    {"known_bakes", found.known_bakes},
                    {"profiles", found.documents},
                    {"probe_files", found.raw_files},
                    {"coats", found.coats},
                    {"history_entries", found.history_bakes},
                    {"hand_notes", found.hand_notes},
                    {"conflicts", found.conflicts},
                    {"histories", unsound}},
                   -1);
    } else {
        print(report::merge_text(found));
        for (const std::string& problem : unsound) fmt::print("- {}\n", problem);
    }
    return static_cast<int>(ExitStatus::fine);
}

int export_all(const Options& options) {
    if (options.has("bake")) wrong_option("--all", "takes every bake: leave out the number");
    const bool salvage = options.has("salvage");
    book::Book book = options.open_book(book::Mode::read_only, salvage);
    ProgressLine progress("exporting");
    const ExportedFolder made = export_to_folder(book, options.text("out"), salvage, progress.listener());
    if (options.json()) {
        print_json({{"bakes", made.bakes}, {"folder", options.text("out")}, {"lost", made.lost.size()}}, -1);
    } else {
        fmt::print("wrote {} bake{} and manifest.csv to {}\n", made.bakes, made.bakes == 1 ? "" : "s", options.text("out"));
        for (const std::string& lost : made.lost) fmt::print("lost: {}\n", lost);
    }
    return static_cast<int>(made.lost.empty() ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
