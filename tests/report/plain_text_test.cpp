// SPDX-License-Identifier: Apache-2.0
#include "bakewright/report/plain_text.hpp"

#include <doctest/doctest.h>

#include <nlohmann/json.hpp>

using namespace bakewright::report;

TEST_CASE("a name with line ends and escape sequences stays one harmless line") {
    CHECK(one_line("roof\nskin\t\x1b[31mred") == "roof skin  [31mred");
    CHECK(one_line(std::string("a\0b", 3)) == "a b");
    CHECK(one_line("csi \xC2\x9B here") == "csi   here");
}

TEST_CASE("marks that reorder a line are dropped, right-to-left letters are kept") {
    CHECK(one_line("a\xE2\x80\xAEz") == "az");  // U+202E
    CHECK(one_line("a\xE2\x81\xA6z") == "az");  // U+2066
    CHECK(one_line("\xD7\x92\xD7\x92") == "\xD7\x92\xD7\x92");
}

TEST_CASE("bytes that are not UTF-8 become the replacement character, one each") {
    const std::string replacement = "\xEF\xBF\xBD";
    CHECK(one_line("a\xFFz") == "a" + replacement + "z");
    CHECK(one_line("\xC0\xAF") == replacement + replacement);                    // overlong
    CHECK(one_line("\xED\xA0\x80") == replacement + replacement + replacement);  // surrogate
    CHECK(one_line("\xF4\x90\x80\x80") == replacement + replacement + replacement + replacement);
    CHECK(one_line("end\xE2\x82") == "end" + replacement + replacement);  // cut off
    CHECK(one_line("\xF0\x9F\x9A\x90") == "\xF0\x9F\x9A\x90");
}

TEST_CASE("display width counts columns, not bytes") {
    // Source of the widths: Unicode Standard Annex 11 (wide characters take two columns).
    CHECK(display_width("60 °C") == 5);
    CHECK(display_width("漆") == 2);
    CHECK(display_width("e\xCC\x81") == 1);  // e and a combining acute accent
    CHECK(display_width("") == 0);
}

TEST_CASE("wrapping breaks at spaces, and a word that is too long where it must") {
    CHECK(wrap("never reached sixty", 8) == std::vector<std::string>{"never", "reached", "sixty"});
    CHECK(wrap("abcdefghij", 4) == std::vector<std::string>{"abcd", "efgh", "ij"});
    CHECK(wrap("漆漆漆", 4) == std::vector<std::string>{"漆漆", "漆"});
    CHECK(wrap("漆漆", 1) == std::vector<std::string>{"漆", "漆"});
    CHECK(wrap("", 5) == std::vector<std::string>{""});
    CHECK(wrap("  two   words ", 40) == std::vector<std::string>{"two words"});
}

TEST_CASE("text for HTML has no character left that could end an element or an attribute") {
    CHECK(escape_html("<b a=\"1\" c='2'>&") == "&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp;");
    CHECK(escape_html("a\x01z") == "a\xEF\xBF\xBDz");
    CHECK(escape_html("\xE2\x80\x8F") == "\xE2\x80\x8F");  // a right-to-left mark stays
}

TEST_CASE("JSON for a script element cannot end it and reads back the same") {
    const nlohmann::json value = {{"name", "</script><!-- & \xE2\x80\xA8"}};
    const std::string safe = json_for_script(value.dump());
    CHECK(safe.find_first_of("<>&") == std::string::npos);
    CHECK(safe.find("\xE2\x80\xA8") == std::string::npos);
    CHECK(nlohmann::json::parse(safe) == value);
}
