// SPDX-License-Identifier: Apache-2.0
#include <array>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <optional>
#include <stdexcept>
#include <string>

#include "measure.hpp"

namespace bakewright::bench {
namespace {

/// What a script of the page's tests measured. @throws std::runtime_error where it could not
nlohmann::json times_of(const std::string& script, const std::string& more, const std::string& needed) {
    const std::string command =
        "python3 '" BAKEWRIGHT_PAGE_TESTS "/" + script + "' '" BAKEWRIGHT_PROGRAM "' '" BAKEWRIGHT_PROJECT "' " + more;
    const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(::popen(command.c_str(), "r"), ::pclose);
    std::string text;
    std::array<char, 4096> block{};
    while (pipe && std::fgets(block.data(), block.size(), pipe.get()) != nullptr) text += block.data();
    nlohmann::json read = nlohmann::json::parse(text, nullptr, false);
    if (!read.is_object()) throw std::runtime_error("the page could not be timed: " + needed + " needed");
    return read;
}

/// Each once for both of its records.
const nlohmann::json& browser_times() {
    static const nlohmann::json times = times_of("timings.py", "", "chromium, chromedriver and python3 are");
    return times;
}
const nlohmann::json& attack_times() {
    static const nlohmann::json times = times_of("attack.py", "--json", "python3 is");
    return times;
}

}  // namespace

Record page_first_paint() {
    return {"page.first-paint",
            browser_times().at("first_paint"),
            "ms",
            "a page of one text",
            browser_times().at("blank_paint").get<double>(),
            "to the first content, Chromium warm"};
}

Record page_slider() {
    return {"page.slider",
            browser_times().at("slider"),
            "ms",
            "its curves alone",
            browser_times().at("redraw").get<double>(),
            "from a moved hold to everything drawn; wanted: 100 ms"};
}

Record page_attacked() {
    return {"page.attacked",
            attack_times().at("slowest_answer"),
            "ms",
            "",
            std::nullopt,
            "slowest answer to a good client during any attack; wanted: 200 ms"};
}

Record page_stop() {
    return {
        "page.stop", attack_times().at("slowest_stop"), "ms", "", std::nullopt, "slowest end during any attack; wanted: 2000 ms"};
}

}  // namespace bakewright::bench
