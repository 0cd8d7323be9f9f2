// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <optional>
#include <string>

#include "bakewright/base/error.hpp"
#include "bakewright/services/files.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {

namespace {

namespace fs = std::filesystem;
namespace po = boost::program_options;

/// $XDG_CONFIG_HOME/bakewright/units; empty without a home.
fs::path settings_file() {
    const char* config = std::getenv("XDG_CONFIG_HOME");
    if (config != nullptr && *config == '/') return fs::path(config) / "bakewright" / "units";
    const char* home = std::getenv("HOME");
    return home == nullptr || *home == '\0' ? fs::path() : fs::path(home) / ".config" / "bakewright" / "units";
}

void keep_units(const std::string& name) {
    if (!units_from_name(name)) wrong_option("UNITS", fmt::format("'{}' is not metric, us or si", name));
    const fs::path file = settings_file();
    if (file.empty()) throw FileError("there is no folder to keep the units in: HOME is not set");
    std::error_code failure;
    fs::create_directories(file.parent_path(), failure);
    if (failure) throw FileError(fmt::format("{}: cannot be made: {}", file.parent_path().string(), failure.message()));
    write_file(file.string(), name + "\n");
}

}  // namespace

std::optional<std::string> kept_units() {
    const fs::path file = settings_file();
    std::string name;
    if (file.empty() || !(std::ifstream(file) >> name)) return std::nullopt;
    return name;
}

int run_units(const std::vector<std::string>& words) {
    Options options("units [metric | us | si]",
                    "Shows the units that commands print, or keeps others for this user: metric (°C, mm), us (°F, inch, mil) or "
                    "si (K). A temperature without a unit is then read in them. --units and $BAKEWRIGHT_UNITS go before it.");
    options.add()("name", po::value<std::string>()->value_name("UNITS"), "the units to keep");
    options.positional("name", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    if (options.has("name")) keep_units(options.text("name"));
    const std::optional<std::string> kept = kept_units();
    if (options.json())
        print_json(report::document("bakewright.units", {{"units", kept ? report::Json(*kept) : report::Json(nullptr)}}));
    else
        fmt::print("{}\n", kept ? *kept : "none kept: metric");
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
