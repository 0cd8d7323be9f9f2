#include <array>
#include <cstdio>
#include <memory>
#include <nlohmann/json.hpp>
#include <stdexcept>
#include <string>

#include "measure.hpp"

namespace bakewright::bench {
namespace {

/// What the browser measured, once for both records. @throws std::runtime_error where there is no browser
const nlohmann::json& browser_times() {
    static const nlohmann::json times = [] {
        const std::string command =
            "python3 '" BAKEWRIGHT_PAGE_TESTS "/timings.py' '" BAKEWRIGHT_PROGRAM "' '" BAKEWRIGHT_PROJECT "'";
        const std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(::popen(command.c_str(), "r"), ::pclose);
        std::string text;
        std::array<char, 4096> block{};
        while (pipe && std::fgets(block.data(), block.size(), pipe.get()) != nullptr) text += block.data();
        nlohmann::json read = nlohmann::json::parse(text, nullptr, false);
        if (!read.is_object())
            throw std::runtime_error("the page could not be timed: chromium, chromedriver and python3 are needed");
        return read;
    }();
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

}  // namespace bakewright::bench
