// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/trust_text.hpp"
#include "bakewright/services/track_record.hpp"
#include "command.hpp"
#include "judge.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

int run_trust(const std::vector<std::string>& words) {
    Options options(
        "trust [--booth NAME]",
        "Says how often what was stated came true in this shop: every log of the book that belongs to a prediction is held\n"
        "against it. From three logs on they make the unknowns of that booth's plans and verdicts wider or narrower. Keeps\n"
        "nothing.");
    options.add()("booth", po::value<std::string>()->value_name("NAME"), "only bakes predicted for this booth")(
        "members", po::value<std::string>()->value_name("N"),
        "how many simulated bakes tell how sure a prediction was; default 256, 40 to 100000");
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    book::Book book = options.open_book(book::Mode::read_only);
    ProgressLine progress("making predictions anew");
    const report::ShopRecord record =
        services::shop_record(book, options.text_or("booth", ""), certainty_options(options, progress, book));
    print(options.json() ? report::json_text(report::document_of(record)) : report::trust_text(record, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
