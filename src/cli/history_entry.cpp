#include "history_entry.hpp"

#include "bakewright/shop/enter_history.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

void describe_entry(Options& options) {
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()("at", po::value<std::string>()->value_name("TIME"),
                  "when the bake began by the shop's clock, such as 2027-03-01T16:00; default the start of its log")(
        "zone", texts("NAME"), "a zone that took part; may be repeated; default all zones of the shell the bake was made with")(
        "out", texts("ITEM"), "a heat-sensitive item that was taken out before; may be repeated");
}

book::HistoryEntry entry_from(book::Book& book, const Options& options, book::BakeId bake) {
    return shop::entry_from(
        book, {options.text("shell"), bake, options.text_or("at", ""), options.texts("zone"), options.texts("out")});
}

}  // namespace bakewright::cli
