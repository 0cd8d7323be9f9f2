// SPDX-License-Identifier: Apache-2.0
#include "card.hpp"

#include <fmt/core.h>

#include "bakewright/report/bake_card.hpp"
#include "bakewright/services/bake_card.hpp"
#include "bakewright/services/entered.hpp"
#include "bakewright/services/files.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {

std::string started_at(const Options& options) {
    return options.has("start") ? services::shop_time(options.text("start"), "--start").text : "";
}

namespace {

namespace po = boost::program_options;

services::CardAsked card_asked(const Options& options, const report::Checklist& checklist) {
    return {.title = options.text_or("title", ""),
            .started_at = started_at(options),
            .checklist = checklist,
            .taken_out = {},
            .program_version = std::string(kVersion),
            .units = options.units()};
}

bool write(const services::CardAnswer& answer, const std::string& path) {
    if (answer.card)
        write_file(path, report::html_card(*answer.card));
    else
        fmt::print(stderr, "bakewright: {}\n", answer.refusal);
    return answer.card.has_value();
}

}  // namespace

void describe_card(Options& options) {
    options.add()("card", po::value<std::string>()->value_name("FILE"),
                  "write the bake card for the booth door as one HTML page to print; - is standard output")(
        "start", po::value<std::string>()->value_name("TIME"),
        "when the bake starts, such as \"2027-03-01 16:20\" or \"3/1/2027 4:20 PM\"; times are then the clock's");
}

std::optional<std::string> card_path(const Options& options) {
    const bool out_is_page = options.has("out") && options.text("out").ends_with(".html");
    if (options.has("card") && out_is_page)
        wrong_option("--card", "stands beside an --out that ends in .html: give one of the two");
    if (options.has("card")) return options.text("card");
    return out_is_page ? std::optional(options.text("out")) : std::nullopt;
}

std::optional<std::string> cycle_path(const Options& options) {
    if (!options.has("out") || card_path(options) == options.text("out")) return std::nullopt;
    return options.text("out");
}

bool write_card(const Options& options, const plan::PlanTask& task, const plan::Plan& plan,
                const std::vector<std::string>& taken_out, const report::Checklist& checklist, const std::string& path) {
    services::CardAsked asked = card_asked(options, checklist);
    asked.taken_out = taken_out;
    if (plan.probe_places) asked.probe_places = plan.probe_places->places;
    return write(services::bake_card(asked, task, plan.cycle, plan.prediction, plan.verdict), path);
}

bool write_card(const Options& options, const services::StoredBake& bake, const cure::Coating& coating,
                const std::optional<services::StoredBake>& log, const services::CertaintyOptions& how,
                const report::Checklist& checklist, const std::string& path) {
    const services::CardAnswer answer = services::bake_card(card_asked(options, checklist), bake, coating, log, how);
    if (answer.card && options.json()) print_json(report::document_of(*answer.card));
    return write(answer, path);
}

}  // namespace bakewright::cli
