// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <unistd.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/shell_history_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "support/warm_up.hpp"

/// The shop of the tests: an empty folder, a clock that stands, and invented bakes of Larch County's mobile library van.
namespace bakewright::book::testing {

/// Memory where there is a file system in it: nothing here tests the disk, and every commit waits for it.
inline std::filesystem::path temporary_root() {
    const char* memory = "/dev/shm";
    return access(memory, W_OK | X_OK) == 0 ? memory : std::filesystem::temp_directory_path();
}

/// A new folder that goes with the object.
class Folder {
public:
    Folder() {
        std::string name = (temporary_root() / "bakewright-book-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw FileError("no temporary folder");
        path_ = name;
    }
    ~Folder() {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;

    [[nodiscard]] std::filesystem::path file(std::string_view name = "bakes.book") const { return path_ / name; }
    [[nodiscard]] const std::filesystem::path& path() const { return path_; }

private:
    std::filesystem::path path_;
};

inline constexpr std::string_view kNow = "2026-03-07T14:05:09Z";

inline OpenOptions standing_clock() {
    return {.busy_timeout_ms = 5000, .clock = [] { return std::string(kNow); }};
}

inline Book open_new(const std::filesystem::path& file) { return Book::open(file, Mode::create, standing_clock()); }
inline Book open_again(const std::filesystem::path& file) { return Book::open(file, Mode::read_write, standing_clock()); }
inline Book open_to_read(const std::filesystem::path& file) { return Book::open(file, Mode::read_only, standing_clock()); }

inline std::string read_file(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(stream), {}};
}

inline void write_file(const std::filesystem::path& file, std::string_view bytes) {
    std::ofstream(file, std::ios::binary).write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

using ::traces::warm_up;

inline TraceSet van_traces() {
    return {.traces = {warm_up("booth air", TraceRole::booth_air, 200, 200.0), warm_up("roof", TraceRole::zone),
                       warm_up("left sill", TraceRole::zone, 200, 1500.0)},
            .started_at = "2026-03-07T08:00:00+01:00"};
}

inline NewDocument van_shell() {
    return {.kind = "shell",
            .name = "library_van",
            .title = "Larch County library van",
            .text = "name = \"library_van\"\narea = \"42 m2\"\n"};
}
inline NewDocument van_booth() { return {.kind = "booth", .name = "long_booth", .title = "", .text = "name = \"long_booth\"\n"}; }
inline NewDocument van_cycle() {
    return {.kind = "cycle", .name = "clear_60", .title = "Clear, 60 °C", .text = "name = \"clear_60\"\n"};
}

/// A prediction with shell, booth, cycle and traces.
inline BakeId add_prediction(Book& book, std::string title = "roof and sides, clear") {
    Transaction transaction(book);
    DocumentRepository documents(book);
    const BakeId id = BakeRepository(book).add(
        {.title = std::move(title),
         .documents = {documents.store(van_shell()), documents.store(van_booth()), documents.store(van_cycle())},
         .program_version = "0.1.0",
         .options_json = R"({"film_factor": 1.0})"});
    TraceRepository(book).store(id, van_traces());
    transaction.commit();
    return id;
}

inline constexpr std::string_view kLogText = "time_s,air_c,roof_c\n0,20.0,20.1\n10,24.5,20.6\n20,29.0,21.4\n";

/// A log of the same shell, read from kLogText.
inline BakeId add_log(Book& book, std::optional<BakeId> pair = std::nullopt, std::string_view text = kLogText) {
    Transaction transaction(book);
    const RawFileId file = RawFileRepository(book).store("van 7 March.csv", text);
    const BakeId id = BakeRepository(book).add({.kind = BakeKind::logged,
                                                .title = "van, as baked",
                                                .documents = {DocumentRepository(book).store(van_shell())},
                                                .paired_bake = pair,
                                                .logs = {{.raw_file = file, .reading_options_json = R"({"delimiter": ","})"}}});
    TraceRepository(book).store(id, van_traces());
    transaction.commit();
    return id;
}

/// Two invented coats and one bake in the history of the van.
inline void add_history(Book& book, BakeId bake) {
    Transaction transaction(book);
    DocumentRepository documents(book);
    ShellHistoryRepository history(book);
    const DocumentId primer =
        documents.store({.kind = "coating", .name = "van_primer", .title = "Primer, epoxy", .text = "name = \"van_primer\"\n"});
    const DocumentId clear =
        documents.store({.kind = "coating", .name = "van_clear", .title = "", .text = "name = \"van_clear\"\n"});
    const CoatId first = history.add_coat({.shell = "library_van",
                                           .name = "epoxy primer",
                                           .coating = primer,
                                           .applied_at = "2026-03-05T10:00:00",
                                           .over = "bare metal",
                                           .zones = {"roof", "left sill"}});
    history.set_sanded(first, "2026-03-06T15:00:00");
    history.add_coat({.shell = "library_van",
                      .name = "clear",
                      .coating = clear,
                      .applied_at = "2026-03-07T07:30:00",
                      .over = "primer",
                      .zones = {"roof"}});
    history.add_bake({.shell = "library_van", .bake = bake, .began_at = "2026-03-07T08:00:00", .zones = {}, .items = {"seat"}});
    transaction.commit();
}

/// The message of the error that work() throws; "" where it throws none of that kind.
template <typename Error, typename Work>
std::string message_of(const Work& work) {
    try {
        work();
    } catch (const Error& error) {
        return error.what();
    }
    return {};
}

inline bool contains(std::string_view text, std::string_view part) { return text.find(part) != std::string_view::npos; }

}  // namespace bakewright::book::testing
