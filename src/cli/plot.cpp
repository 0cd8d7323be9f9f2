#include "plot.hpp"

#include <algorithm>
#include <cstdlib>

#include "bakewright/report/temperature_plot.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

/// By the environment, in the order of POSIX.1-2017, section 8.2.
bool locale_is_utf8() {
    for (const char* name : {"LC_ALL", "LC_CTYPE", "LANG"}) {
        const char* value = std::getenv(name);
        if (value == nullptr || *value == '\0') continue;
        std::string text(value);
        std::transform(text.begin(), text.end(), text.begin(),
                       [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
        return text.find("utf-8") != std::string::npos || text.find("utf8") != std::string::npos;
    }
    return false;
}

}  // namespace

void describe_plot(Options& options) {
    options.add()("plot", "draw the temperatures in the terminal too: booth air, hottest and coolest coated zone, hottest item");
}

std::string asked_plot(const Options& options, const TraceSet& traces, const std::vector<std::string>& coated_zones,
                       std::optional<double> level_k) {
    if (!options.flag("plot")) return {};
    report::PlotOptions how;
    how.text = text_options(options);
    how.dots = locale_is_utf8();
    how.level_k = level_k;
    how.started_at = traces.started_at;
    const std::string plot = report::temperature_plot(traces, report::traces_to_plot(traces, coated_zones), how);
    return plot.empty() ? plot : plot + "\n";
}

}  // namespace bakewright::cli
