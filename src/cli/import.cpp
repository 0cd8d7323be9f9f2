#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/book/raw_file_repository.hpp"
#include "bakewright/book/trace_repository.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/read_log.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/report/log_text.hpp"
#include "command.hpp"
#include "import_options.hpp"
#include "options.hpp"
#include "output.hpp"
#include "places.hpp"
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

probe::MappingResult map_all(TraceSet& traces, const Options& options, const std::optional<profile::ShellProfile>& shell) {
    std::optional<bake::Shell> body;
    if (shell) body = shell->shell;
    std::vector<probe::ChannelMapping> given;
    for (const std::string& text : options.texts("map")) given.push_back(mapping(text, body));
    if (options.has("air")) given.push_back({options.text("air"), TraceRole::booth_air, "booth air"});
    return probe::map_channels(traces, given, body ? targets_of(*body) : std::vector<probe::MappingTarget>{});
}

book::BakeId keep_log(book::Book& book, const Options& options, const std::string& bytes, const std::string& file_name,
                      const TraceSet& traces) {
    const profile::Library library = options.library();
    book::NewBake bake;
    bake.kind = book::BakeKind::logged;
    bake.title = options.text_or("title", file_name);
    bake.started_at = traces.started_at;
    bake.program_version = kVersion;
    if (options.has("shell")) bake.documents.push_back(keep(book, profile::load_shell(options.text("shell"), library).record));
    if (options.has("booth")) bake.documents.push_back(keep(book, profile::load_booth(options.text("booth"), library).record));
    if (options.has("coating"))
        bake.documents.push_back(keep(book, profile::load_coating(options.text("coating"), library).record));
    if (options.has("of")) bake.paired_bake = bake_id(options.text("of"), "--of");
    bake.logs = {{book::RawFileRepository(book).store(file_name, bytes), reading_options_json(options)}};
    const book::BakeId id = book::BakeRepository(book).add(bake);
    book::TraceRepository(book).store(id, traces);
    return id;
}

void describe(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("file", text("FILE"), "the log")("shell", text("NAME"),
                                                   "shell that was baked: channels find its zones and items")(
        "booth", text("NAME"), "booth it was baked in")("coating", text("NAME"), "coating that was baked")(
        "of", text("BAKE"), "number of the predicted bake this is the log of")("title", text("TEXT"), "title in the book")(
        "map", texts("COLUMN=NAME"), "this column is that zone, cavity, item, 'booth air' or 'booth wall'; may be repeated")(
        "air", text("COLUMN"), "this column is the booth air")("dry-run", "say how the file is read and keep nothing");
    describe_reading(options);
}

}  // namespace

int run_import(const std::vector<std::string>& words) {
    Options options(
        "import FILE [options]",
        "Brings a probe log (CSV) into the book as the log of a bake. How it was read is printed; every guess can be\n"
        "overridden. The file is kept byte for byte; importing it a second time adds nothing.");
    describe(options);
    options.positional("file", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string path = options.text("file");
    const std::string bytes = read_file(path, kLargestLogBytes);
    const std::string file_name = path.substr(path.find_last_of('/') + 1);
    probe::ProbeLog log = probe::read_log(bytes, path, read_options(options));
    std::optional<profile::ShellProfile> shell;
    if (options.has("shell")) shell = profile::load_shell(options.text("shell"), options.library()).record;
    const probe::MappingResult mapped = map_all(log.traces, options, shell);

    std::optional<book::BakeId> id;
    bool known = false;
    if (!options.has("dry-run")) {
        book::Book book = book::Book::open(options.book_path(), book::Mode::create);
        book::Transaction transaction(book);
        const std::vector<book::BakeId> before = book::BakeRepository(book).find_by_raw_file(book::sha256_hex(bytes));
        known = !before.empty();
        id = known ? before.front() : keep_log(book, options, bytes, file_name, log.traces);
        transaction.commit();
    }
    if (options.json()) {
        print(report::with_bake_number(report::to_json_text(log.reading, mapped), id ? static_cast<std::int64_t>(*id) : 0));
        return static_cast<int>(ExitStatus::fine);
    }
    print(report::log_text(log, mapped, text_options(options)));
    if (known)
        fmt::print("\nthis file is in the book already, as bake {}; nothing was added\n", static_cast<std::int64_t>(*id));
    else if (id)
        fmt::print("\nkept as bake {} in {}\n", static_cast<std::int64_t>(*id), options.book_path());
    else
        fmt::print("\ndry run: nothing was kept\n");
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
