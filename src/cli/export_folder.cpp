// SPDX-License-Identifier: Apache-2.0
#include "export_folder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <limits>
#include <optional>
#include <type_traits>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/base/files.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/report/csv.hpp"
#include "export_records.hpp"

namespace bakewright::cli {
namespace {

namespace fs = std::filesystem;

std::string partition_value(std::string_view name) {
    if (name.empty()) return "unknown";
    std::string value;
    for (const char letter : name) {
        const auto byte = static_cast<unsigned char>(letter);
        const bool is_plain = (byte >= '0' && byte <= '9') || ((byte | 32U) >= 'a' && (byte | 32U) <= 'z') || letter == '-' ||
                              letter == '_' || (letter == '.' && !value.empty());
        value += is_plain ? std::string(1, letter) : fmt::format("%{:02X}", byte);
    }
    // The longest name of a file system is 255 bytes; what is cut off is told apart by the manifest.
    return value.substr(0, 200);
}

std::string month_of(const book::Bake& bake) {
    const std::string& moment = bake.started_at.empty() ? bake.created_at : bake.started_at;
    const bool is_date = moment.size() >= 7 && moment[4] == '-' && moment.find_first_not_of("0123456789-") >= 7;
    return is_date ? moment.substr(0, 7) : "unknown";
}

/// A file that is told where it fails.
class Output {
public:
    explicit Output(const fs::path& path) : path_(path), stream_(path, std::ios::binary) { check(); }
    void write(std::string_view text) {
        stream_.write(text.data(), static_cast<std::streamsize>(text.size()));
        check();
    }
    void close() {
        stream_.close();
        check();
    }

private:
    void check() const {
        if (!stream_)
            throw FileError(fmt::format("{}: could not be written: {}; nothing was kept", path_.string(), std::strerror(errno)));
    }
    fs::path path_;
    std::ofstream stream_;
};

/// The folder under another name until it is whole.
class NewFolder {
public:
    explicit NewFolder(const fs::path& folder) : folder_(without_slash(folder)), unfinished_(unfinished_name(folder_.string())) {
        std::error_code error;
        if (fs::exists(fs::symlink_status(folder_, error)))
            throw InputError(
                Problem{folder_.string(), 0, {}, "is there already; an export overwrites nothing: name a new folder"});
        sweep_unfinished(folder_.string());
        make(unfinished_);
        mark_.emplace(unfinished_.string());
    }
    ~NewFolder() {
        std::error_code ignored;
        fs::remove_all(unfinished_, ignored);
    }
    NewFolder(const NewFolder&) = delete;
    NewFolder& operator=(const NewFolder&) = delete;

    fs::path file(const fs::path& within) const {
        make((unfinished_ / within).parent_path());
        return unfinished_ / within;
    }
    void keep() const {
        std::error_code error;
        fs::rename(unfinished_, folder_, error);
        if (error)
            throw FileError(fmt::format("{}: could not be named: {}; nothing was kept", folder_.string(), error.message()));
    }

private:
    static void make(const fs::path& folder) {
        std::error_code error;
        fs::create_directories(folder, error);
        if (error) throw FileError(fmt::format("{}: could not be made: {}; nothing was kept", folder.string(), error.message()));
    }
    /// "bakes/" is the folder "bakes".
    static fs::path without_slash(const fs::path& folder) { return folder.has_filename() ? folder : folder.parent_path(); }

    fs::path folder_, unfinished_;
    std::optional<UnfinishedMark> mark_;  ///< other exports of this name leave it alone
};

constexpr std::string_view kManifestHeading =
    "bake_uid,bake,kind,title,shell,month,started_at,kept_at_utc,paired_bake_uid,traces,samples,file\r\n";

class Exporter {
public:
    Exporter(book::Book& book, const NewFolder& folder, bool salvage)
        : book_(book), bakes_(book), traces_(book), folder_(folder), salvage_(salvage), manifest_(folder.file("manifest.csv")) {
        manifest_.write(kManifestHeading);
    }

    void add(book::BakeId id) {
        const std::optional<book::Bake> found = kept([&] { return bakes_.find(id); });
        if (found) add(*found);
    }
    void close() { manifest_.close(); }
    void add_records() {
        for (const RecordTable& table : record_tables()) {
            Output file(folder_.file(table.name + ".csv"));
            file.write(table.heading());
            static_cast<void>(kept([&] {
                table.rows(book_, [&](const std::vector<std::string>& row) { file.write(csv_row(row)); });
                return std::optional(true);
            }));
            file.close();
        }
        Output schema(folder_.file("schema.json"));
        schema.write(schema_json());
        schema.close();
        for (const auto& [name, write] : record_files(book_)) {
            Output file(folder_.file(name));
            static_cast<void>(kept([&, &make = write] {
                make([&](std::string_view piece) { file.write(piece); });
                return std::optional(true);
            }));
            file.close();
        }
    }
    [[nodiscard]] ExportedFolder take() { return std::move(made_); }
    void lose(std::string what) { made_.lost.push_back(std::move(what)); }

private:
    /// What a call reads; nothing where that part of a damaged book is lost.
    template <class Read>
    std::invoke_result_t<Read> kept(const Read& read) {
        if (!salvage_) return read();
        try {
            return read();
        } catch (const BookError& error) {
            lose(error.what());
        } catch (const InputError& error) {  // what a lost row spoke of
            lose(error.what());
        }
        return {};
    }

    void add(const book::Bake& bake) {
        const book::DocumentSummary* shell = bake.document(book::document_kind::shell);
        const std::string name = shell == nullptr ? "" : shell->name;
        const std::string month = month_of(bake);
        const fs::path within = fs::path("shell=" + partition_value(name)) / ("month=" + month) / (bake.uid + ".csv");
        Output file(folder_.file(within));
        file.write(report::kSamplesHeading);
        std::size_t count = 0, samples = 0;
        for (const std::string& trace_name : kept([&] { return traces_.names(bake.id); })) {
            std::size_t written = 0;
            const auto whole = kept([&] {
                traces_.read_parts(bake.id, trace_name, [&](const Trace& part) {
                    file.write(report::samples_csv(part, bake.uid, bake.started_at));
                    written += part.size();
                });
                return std::optional(true);
            });
            if (whole || written > 0) ++count;
            samples += written;
        }
        file.close();
        const auto pair = bake.paired_bake ? kept([&] { return bakes_.find(*bake.paired_bake); }) : std::nullopt;
        manifest_.write(fmt::format("{},{},{},{},{},{},{},{},{},{},{},{}\r\n", bake.uid, static_cast<std::int64_t>(bake.id),
                                    book::bake_kind_name(bake.kind), report::csv_field(bake.title), report::csv_field(name),
                                    month, report::csv_field(bake.started_at), bake.created_at, pair ? pair->uid : "", count,
                                    samples, report::csv_field(within.generic_string())));
        ++made_.bakes;
    }

    book::Book& book_;
    book::BakeRepository bakes_;
    book::TraceRepository traces_;
    const NewFolder& folder_;
    bool salvage_;
    ExportedFolder made_;
    Output manifest_;
};

/// Where the list of a damaged book is lost, its bakes are asked for by number, until so many in a row are not there.
constexpr std::int64_t kNumbersInVain = 1000;

/// Oldest first.
std::vector<book::BakeId> bakes_of(book::Book& book, bool salvage, Exporter& exporter) {
    const book::BakeRepository bakes(book);
    std::vector<book::BakeId> ids;
    try {
        for (const book::BakeSummary& bake :
             bakes.list({.limit = std::numeric_limits<std::size_t>::max(), .earlier_readings = true}))
            ids.push_back(bake.id);
        std::reverse(ids.begin(), ids.end());
        return ids;
    } catch (const BookError& error) {
        if (!salvage) throw;
        exporter.lose(error.what());
    }
    ids.clear();
    for (std::int64_t number = 1, last = 0; number <= last + kNumbersInVain; ++number) try {
            if (!bakes.find(book::BakeId{number})) continue;
            ids.push_back(book::BakeId{number});
            last = number;
        } catch (const BookError&) {
        }
    return ids;
}

}  // namespace

ExportedFolder export_to_folder(book::Book& book, const std::string& folder, bool salvage, const Progress& progress) {
    const NewFolder made{fs::path(folder)};
    Exporter exporter(book, made, salvage);
    const std::vector<book::BakeId> ids = bakes_of(book, salvage, exporter);
    for (std::size_t i = 0; i < ids.size(); ++i) {
        exporter.add(ids[i]);
        const double share = static_cast<double>(i + 1) / static_cast<double>(ids.size());
        if (progress && !progress(share)) throw FileError("exporting was interrupted; nothing was kept");
    }
    exporter.add_records();
    exporter.close();
    made.keep();
    return exporter.take();
}

}  // namespace bakewright::cli
