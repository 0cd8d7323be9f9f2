// SPDX-License-Identifier: Apache-2.0
#include "bakewright/tune/probe_advice.hpp"

#include <fmt/core.h>

#include "bakewright/profile/read.hpp"
#include "bakewright/report/tune_text.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

void describe_probe_advice(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    options.add()("shell", text("NAME"), "profile of the shell, or a tuned one of the book")(
        "booth", text("NAME"), "the booth, likewise")("cycle", text("NAME"), "cycle that the probes would log")(
        "probed", po::value<std::vector<std::string>>()->composing()->value_name("LIST"),
        "zones that have a probe already, by commas")("probes", text("N"), "how many to place, 1 to 20; default 4")(
        "uncertainty", text("T"), "standard uncertainty of a probe; default 1 K, a taped class 1 probe");
}

}  // namespace

int run_probe_advice(const std::vector<std::string>& words) {
    Options options(
        "probe-advice --shell NAME --booth NAME --cycle NAME [options]",
        "Says on which zone the next probe teaches most: by how much the predictions of all coated zones together get surer\n"
        "once it has logged one bake. Keeps nothing.");
    describe_probe_advice(options);
    options.takes_job_at_hand();
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    tune::AdviceOptions asked;
    asked.probed = names_in(options.texts("probed"));
    const double probes = options.number("probes").value_or(4.0);
    if (!(probes >= 1.0 && probes <= 20.0)) wrong_option("--probes", "accepts 1 to 20");
    asked.most_probes = static_cast<std::size_t>(probes);
    asked.probe_standard_k = options.quantity("uncertainty", Dimension::temperature_difference).value_or(asked.probe_standard_k);
    if (!(asked.probe_standard_k >= 0.01 && asked.probe_standard_k <= 20.0))
        wrong_option("--uncertainty", "accepts 0.01 to 20 K");
    const auto shell = shell_of(options);
    const auto booth = booth_of(options);
    const auto cycle = profile::load_cycle(options.text("cycle"), options.library());
    const tune::ProbeAdvice advice = tune::probe_advice(shell.record.shell, booth.record, cycle.record, asked);
    print(options.json() ? report::json_text(report::document_of(advice)) : report::advice_text(advice, text_options(options)));
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
