#include "history_entry.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/shop/shell_history.hpp"
#include "bakewright/shop/shop_time.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

void require_known(const std::string& option, const std::string& name, const std::vector<std::string>& known) {
    if (std::find(known.begin(), known.end(), name) != known.end()) return;
    const std::string near = nearest_name(name, known);
    wrong_option(option, fmt::format("'{}' is not in the shell this bake was made with{}", name,
                                     near.empty() ? "" : fmt::format("; is '{}' meant?", near)));
}

}  // namespace

void describe_entry(Options& options) {
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("at", po::value<std::string>()->value_name("TIME"),
                  "when the bake began by the shop's clock, such as 2027-03-01T16:00; default the start of its log")(
        "zone", texts("NAME"), "a zone that took part; may be repeated; default all zones of the shell the bake was made with")(
        "out", texts("ITEM"), "a heat-sensitive item that was taken out before; may be repeated");
}

book::HistoryEntry entry_from(book::Book& book, const Options& options, book::BakeId bake) {
    book::HistoryEntry entry = entry_of(book, options.text("shell"), bake);
    if (options.has("at")) entry.began_at = shop_time(options.text("at"), "--at").text;
    if (entry.began_at.empty())
        wrong_option("--at",
                     fmt::format("is needed: the book does not know when bake {} began", static_cast<std::int64_t>(bake)));
    const std::vector<std::string> zones = options.texts("zone");
    if (!entry.zones.empty())
        for (const std::string& zone : zones) require_known("--zone", zone, entry.zones);
    if (!zones.empty()) entry.zones = zones;
    for (const std::string& item : options.texts("out")) {
        require_known("--out", item, entry.items);
        std::erase(entry.items, item);
    }
    return entry;
}

}  // namespace bakewright::cli
