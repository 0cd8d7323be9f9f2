#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/log_text.hpp"
#include "command.hpp"
#include "import_options.hpp"
#include "named_records.hpp"
#include "options.hpp"
#include "output.hpp"
#include "places.hpp"
#include "saved_readings.hpp"
#include "stored_bake.hpp"
#include "version.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

constexpr std::size_t kLargestLogBytes = std::size_t{1} << 30;

std::vector<probe::MappingTarget> targets_of(const bake::Shell& shell) {
    std::vector<probe::MappingTarget> targets;
    for (const bake::Zone& zone : shell.zones)
        targets.push_back({zone.name, zone.role == bake::ZoneRole::test_panel ? TraceRole::test_panel : TraceRole::zone});
    for (const bake::Cavity& cavity : shell.cavities) targets.push_back({cavity.name, TraceRole::cavity_air});
    for (const bake::Item& item : shell.items) targets.push_back({item.name, TraceRole::item});
    return targets;
}

/// --map COLUMN=NAME: NAME is a zone, cavity or item of the shell, "booth air" or "booth wall".
probe::ChannelMapping mapping(const std::string& text, const std::optional<bake::Shell>& shell) {
    const auto [column, name] = assignment(text, "--map");
    if (name == "booth air") return {column, TraceRole::booth_air, name};
    if (name == "booth wall") return {column, TraceRole::booth_wall, name};
    if (!shell) return {column, TraceRole::zone, name};
    std::vector<std::string> known{"booth air", "booth wall"};
    for (const probe::MappingTarget& target : targets_of(*shell)) {
        if (target.name == name) return {column, target.role, name};
        known.push_back(target.name);
    }
    const std::string near = nearest_name(name, known);
    wrong_option("--map", fmt::format("'{}' is no zone, cavity or item of shell '{}'{}", name, shell->id,
                                      near.empty() ? "" : fmt::format("; is '{}' meant?", near)));
}

/// @param air  channel of the booth's air that is known already; may be empty
probe::MappingResult map_all(TraceSet& traces, const Options& options, const std::optional<profile::ShellProfile>& shell,
                             const std::string& air) {
    std::optional<bake::Shell> body;
    if (shell) body = shell->shell;
    std::vector<probe::ChannelMapping> given;
    for (const std::string& text : options.texts("map")) given.push_back(mapping(text, body));
    const auto is_air = [](const probe::ChannelMapping& entry) { return entry.role == TraceRole::booth_air; };
    if (options.has("air"))
        given.push_back({options.text("air"), TraceRole::booth_air, "booth air"});
    else if (!air.empty() && std::none_of(given.begin(), given.end(), is_air))
        given.push_back({air, TraceRole::booth_air, {}});
    return probe::map_channels(traces, given, body ? targets_of(*body) : std::vector<probe::MappingTarget>{});
}

/// A log as it came in.
struct ReadLog {
    std::string file_name;
    std::string bytes;
    std::string options_json;  ///< how it was read
    probe::ProbeLog log;
};

ReadLog read_one(const std::string& path, const probe::ReadOptions& how, std::string options_json) {
    ReadLog read{path.substr(path.find_last_of('/') + 1),
                 read_file(path, kLargestLogBytes, probe::kLongestLineBytes),
                 std::move(options_json),
                 {}};
    read.log = probe::read_log(read.bytes, path, how);
    return read;
}

/// Everything that becomes one bake.
struct Imported {
    std::vector<ReadLog> files;
    TraceSet traces;
    std::optional<probe::MergedLogs> merged;
    probe::MappingResult mapped;
    std::optional<probe::ProbeSet> probes;  ///< channels bear the names of the traces
    probe::ProbeUse probe_use;
};

/// Corrects the readings by the records of the probes.
void use_probes(Imported& imported, const Options& options) {
    if (!options.has("probe-record")) return;
    probe::ProbeSet set = profile::load_probes(options.text("probe-record"), options.library()).record;
    for (probe::ProbeRecord& record : set.probes)
        for (const probe::ChannelMatch& match : imported.mapped.matched)
            if (match.channel == record.channel) record.channel = match.name;
    imported.probe_use = probe::apply_probes(imported.traces, set, imported.traces.started_at);
    imported.probes = std::move(set);
}

probe::MergeOptions merge_options(const Options& options) {
    probe::MergeOptions asked;
    asked.shift_s = options.quantity("shift", Dimension::time);
    asked.first_air = options.text_or("air", "");
    asked.second_air = options.text_or("and-air", "");
    return asked;
}

Imported read_all(const Options& options, const std::optional<profile::ShellProfile>& shell) {
    Imported imported;
    imported.files.push_back(read_one(options.text("file"), read_options(options), reading_options_json(options)));
    imported.traces = imported.files[0].log.traces;
    if (!options.has("and")) {
        if (options.has("shift") || options.has("and-air")) wrong_option("--shift", "serves with a second log, --and FILE");
        imported.mapped = map_all(imported.traces, options, shell, {});
        return imported;
    }
    imported.files.push_back(read_one(options.text("and"), {}, "{}"));
    imported.merged = probe::merge_logs(imported.traces, imported.files[1].log.traces, merge_options(options));
    imported.traces = imported.merged->traces;
    // Both logs have an air channel: the first one's is the booth's, the other is kept beside it.
    imported.mapped = map_all(imported.traces, options, shell, imported.merged->alignment.first_air);
    return imported;
}

book::BakeId keep_log(book::Book& book, const Options& options, const Imported& imported) {
    const profile::Library library = options.library();
    book::NewBake bake;
    bake.kind = book::BakeKind::logged;
    bake.title = options.text_or("title", imported.files[0].file_name);
    bake.started_at = imported.traces.started_at;
    bake.program_version = kVersion;
    if (options.has("shell")) bake.documents.push_back(keep(book, shell_of(options).record));
    if (options.has("booth")) bake.documents.push_back(keep(book, booth_of(options).record));
    if (options.has("coating"))
        bake.documents.push_back(keep(book, profile::load_coating(options.text("coating"), library).record));
    if (options.has("of")) bake.paired_bake = bake_id(options.text("of"), "--of");
    for (const ReadLog& read : imported.files)
        bake.logs.push_back({book::RawFileRepository(book).store(read.file_name, read.bytes), read.options_json});
    if (imported.probes) bake.documents.push_back(keep(book, *imported.probes));
    if (imported.merged) bake.options_json = merge_json(imported.merged->alignment);
    const book::BakeId id = book::BakeRepository(book).add(bake);
    book::TraceRepository(book).store(id, imported.traces);
    return id;
}

/// The bake that these files were imported as before, the same part of the first one; nothing where there is none.
std::optional<book::BakeId> find_known(book::Book& book, const Imported& imported) {
    std::vector<std::string> hashes;
    for (const ReadLog& read : imported.files) hashes.push_back(book::sha256_hex(read.bytes));
    book::BakeRepository bakes(book);
    for (const book::BakeId id : bakes.find_by_raw_file(hashes.front())) {
        const book::Bake bake = bakes.get(id);
        const bool same_files = std::equal(bake.logs.begin(), bake.logs.end(), hashes.begin(), hashes.end(),
                                           [](const book::BakeLog& log, const std::string& hash) { return log.sha256 == hash; });
        if (same_files && same_part(bake.logs.front().reading_options_json, imported.files.front().options_json)) return id;
    }
    return std::nullopt;
}

std::string json_text(const Imported& imported, std::optional<book::BakeId> id) {
    std::string text = report::to_json_text(imported.files[0].log.reading, imported.mapped);
    if (imported.merged) text = report::with_second_log(text, imported.files[1].log.reading, *imported.merged);
    if (imported.probes) text = report::with_probes(text, *imported.probes, imported.probe_use);
    return report::with_bake_number(text, id ? static_cast<std::int64_t>(*id) : 0);
}

std::string plain_text(const Imported& imported, const report::TextOptions& how) {
    std::string text = report::log_text(imported.files[0].log, imported.mapped, how);
    if (imported.merged)
        text += "\n" + report::log_text(imported.files[1].log, imported.mapped, how, imported.merged->renamed) + "\n" +
                report::merge_text(*imported.merged, how);
    if (imported.probes) text += "\n" + report::probes_text(*imported.probes, imported.probe_use, how);
    return text;
}

void describe(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("file", text("FILE"), "the log")("shell", text("NAME"),
                                                   "shell that was baked: channels find its zones and items")(
        "booth", text("NAME"), "booth it was baked in")("coating", text("NAME"), "coating that was baked")(
        "of", text("BAKE"), "number of the predicted bake this is the log of")("title", text("TEXT"), "title in the book")(
        "map", texts("COLUMN=NAME"), "this column is that zone, cavity, item, 'booth air' or 'booth wall'; may be repeated")(
        "air", text("COLUMN"), "this column is the booth air")(
        "probe-record", text("NAME"),
        "records of the probes (a profile of kind probes): readings are corrected, and verdicts know how far off they may be")(
        "reading", text("NAME"), "read the file as one whose reading was kept under this name")(
        "save-reading", text("NAME"), "keep the options of this reading under a name, for the next file of the kind")(
        "and", text("FILE"), "a second logger's file of the same bake, put on the time of the first")(
        "shift", text("TIME"),
        "what is added to the second file's times, such as \"+35 s\" or --shift=-2min; else found by aligning the air channels")(
        "and-air", text("COLUMN"), "the booth air in the second file")("dry-run", "say how the file is read and keep nothing");
    describe_reading(options);
}

/// Nothing where help was asked for and printed.
std::optional<Options> import_options(const std::vector<std::string>& words) {
    Options options(
        "import FILE [options]",
        "Brings a probe log (CSV) into the book as the log of a bake. How it was read is printed; every guess can be\n"
        "overridden. The file is kept byte for byte; importing it a second time adds nothing.");
    describe(options);
    options.positional("file", 1);
    if (!options.read(words)) return std::nullopt;
    return options;
}

int import_with(const Options& options) {
    std::optional<profile::ShellProfile> shell;
    if (options.has("shell")) shell = shell_of(options).record;
    Imported imported = read_all(options, shell);
    use_probes(imported, options);

    std::optional<book::BakeId> id;
    bool known = false;
    if (!options.has("dry-run")) {
        book::Book book = book::Book::open(options.book_path(), book::Mode::create);
        book::Transaction transaction(book);
        id = find_known(book, imported);
        known = id.has_value();
        if (!known) id = keep_log(book, options, imported);
        if (options.has("save-reading")) save_reading(book, options);
        transaction.commit();
    }
    if (options.json()) {
        print(json_text(imported, id));
        return static_cast<int>(ExitStatus::fine);
    }
    print(plain_text(imported, text_options(options)));
    if (known)
        fmt::print("\nthis log is in the book already, as bake {}; nothing was added\n", static_cast<std::int64_t>(*id));
    else if (id)
        fmt::print("\nkept as bake {} in {}\n", static_cast<std::int64_t>(*id), options.book_path());
    else
        fmt::print("\ndry run: nothing was kept\n");
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_import(const std::vector<std::string>& words) {
    const std::optional<Options> given = import_options(words);
    if (!given) return static_cast<int>(ExitStatus::fine);
    if (!given->has("reading")) return import_with(*given);
    return import_with(import_options(with_saved_reading(words, *given)).value());
}

}  // namespace bakewright::cli
