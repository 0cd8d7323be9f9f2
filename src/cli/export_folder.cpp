#include "export_folder.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>
#include <fstream>

#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/report/csv.hpp"

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
    explicit NewFolder(const fs::path& folder)
        : folder_(folder), unfinished_(fmt::format("{}.{}.new", folder.string(), ::getpid())) {
        std::error_code error;
        if (fs::exists(fs::symlink_status(folder_, error)))
            throw InputError(
                Problem{folder_.string(), 0, {}, "is there already; an export overwrites nothing: name a new folder"});
        make(unfinished_);
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
    fs::path folder_, unfinished_;
};

constexpr std::string_view kManifestHeading =
    "bake_uid,bake,kind,title,shell,month,started_at,kept_at_utc,paired_bake_uid,traces,samples,file\r\n";

class Exporter {
public:
    Exporter(book::Book& book, const NewFolder& folder)
        : bakes_(book), traces_(book), folder_(folder), manifest_(folder.file("manifest.csv")) {
        manifest_.write(kManifestHeading);
    }

    void add(book::BakeId id) {
        const book::Bake bake = bakes_.get(id);
        const book::DocumentSummary* shell = bake.document(book::document_kind::shell);
        const std::string name = shell == nullptr ? "" : shell->name;
        const std::string month = month_of(bake);
        const fs::path within = fs::path("shell=" + partition_value(name)) / ("month=" + month) / (bake.uid + ".csv");
        Output file(folder_.file(within));
        file.write(report::kSamplesHeading);
        std::size_t count = 0, samples = 0;
        for (const book::TraceSummary& summary : traces_.summaries(id)) {
            const auto trace = traces_.load_one(id, summary.name);
            if (!trace) continue;
            file.write(report::samples_csv(*trace, bake.uid));
            ++count;
            samples += trace->size();
        }
        file.close();
        const std::string pair = bake.paired_bake ? bakes_.get(*bake.paired_bake).uid : "";
        manifest_.write(fmt::format("{},{},{},{},{},{},{},{},{},{},{},{}\r\n", bake.uid, static_cast<std::int64_t>(id),
                                    book::bake_kind_name(bake.kind), report::csv_field(bake.title), report::csv_field(name),
                                    month, report::csv_field(bake.started_at), bake.created_at, pair, count, samples,
                                    report::csv_field(within.generic_string())));
    }
    void close() { manifest_.close(); }

private:
    book::BakeRepository bakes_;
    book::TraceRepository traces_;
    const NewFolder& folder_;
    Output manifest_;
};

}  // namespace

std::size_t export_to_folder(book::Book& book, const std::string& folder, const Progress& progress) {
    const NewFolder made{fs::path(folder)};
    Exporter exporter(book, made);
    book::BakeRepository bakes(book);
    const std::size_t count = bakes.count();
    const std::vector<book::BakeSummary> list = bakes.list({.limit = count});
    for (std::size_t i = list.size(); i-- > 0;) {  // oldest first
        exporter.add(list[i].id);
        const double share = static_cast<double>(list.size() - i) / static_cast<double>(list.size());
        if (progress && !progress(share)) throw FileError("exporting was interrupted; nothing was kept");
    }
    exporter.close();
    made.keep();
    return list.size();
}

}  // namespace bakewright::cli
