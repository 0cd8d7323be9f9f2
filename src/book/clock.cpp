#include <algorithm>
#include <chrono>
#include <cstdio>

#include "bakewright/book/book.hpp"

namespace bakewright::book {

std::string utc_now() {
    using namespace std::chrono;
    const auto now = floor<seconds>(system_clock::now());
    const auto day = floor<days>(now);
    const year_month_day date{day};
    const hh_mm_ss time{now - day};
    char text[40];
    std::snprintf(text, sizeof text, "%04d-%02u-%02uT%02d:%02d:%02dZ", static_cast<int>(date.year()),
                  static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), static_cast<int>(time.hours().count()),
                  static_cast<int>(time.minutes().count()), static_cast<int>(time.seconds().count()));
    return text;
}

bool is_utc_timestamp(std::string_view text) noexcept {
    constexpr std::string_view kPattern = "dddd-dd-ddTdd:dd:ddZ";
    return std::equal(text.begin(), text.end(), kPattern.begin(), kPattern.end(),
                      [](char c, char p) { return p == 'd' ? c >= '0' && c <= '9' : c == p; });
}

}  // namespace bakewright::book
