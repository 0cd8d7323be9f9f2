#include "bakewright/shop/probe_uncertainty.hpp"
#include "judging.hpp"
#include "output.hpp"

namespace bakewright::cli {

namespace po = boost::program_options;

void describe_uncertainty(Options& options) {
    options.add()("probe", po::value<std::string>()->value_name("TYPE, CLASS"),
                  "thermocouple type and tolerance class of the probes, such as \"K, IEC 2\" (default for a log)")(
        "uncertainty", po::value<std::string>()->value_name("T"),
        "standard uncertainty of the temperatures, such as \"0.5 K\", in place of a class")(
        "members", po::value<std::string>()->value_name("N"),
        "how often a prediction is made anew to tell how sure its verdict is; default 256, 40 to 100000");
}

namespace {

/// What --uncertainty or --probe says; nothing without them. @throws InputError
std::optional<cure::TemperatureUncertainty> asked_uncertainty(const Options& options) {
    if (options.has("probe") && options.has("uncertainty")) wrong_option("--uncertainty", "give either --probe or --uncertainty");
    if (const auto given_k = options.quantity("uncertainty", Dimension::temperature_difference)) {
        if (!(*given_k >= 0.01 && *given_k <= 50.0)) wrong_option("--uncertainty", "accepts 0.01 to 50 K");
        return cure::TemperatureUncertainty{*given_k, "the uncertainty given"};
    }
    if (options.has("probe")) return shop::probes_of_class(options.text("probe"), "--probe");
    return std::nullopt;
}

}  // namespace

shop::CertaintyOptions certainty_options(const Options& options, ProgressLine& progress) {
    const double members = options.number("members").value_or(static_cast<double>(plan::kMemberCount));
    if (!(members >= 40.0 && members <= 1e5)) wrong_option("--members", "accepts 40 to 100000");
    return {asked_uncertainty(options), static_cast<std::size_t>(members), progress.listener()};
}

void add_certainty(cure::BakeVerdict& verdict, const StoredBake& bake, const cure::Coating& coating, const Options& options) {
    ProgressLine progress("reckoning how sure this is");
    shop::add_certainty(verdict, bake, coating, certainty_options(options, progress));
}

void add_certainty(cure::ShellVerdict& verdict, const LoadedHistory& loaded, const Options& options) {
    ProgressLine progress("reckoning how sure this is");
    shop::add_certainty(verdict, loaded, certainty_options(options, progress));
}

}  // namespace bakewright::cli
