#include "bakewright/base/phrase.hpp"

#include <doctest/doctest.h>

using namespace bakewright;

TEST_CASE("titles stand in place of places, and words that read like a name stay") {
    Phrase phrase = Phrase("film of zone ").add_place("film").add(" against ").add(Phrase::place("roof"));
    CHECK(phrase.text() == "film of zone film against roof");
    phrase.rename_places([](const std::string& name) { return name == "film" ? "inner film" : name; });
    CHECK(phrase.text() == "film of zone inner film against roof");
    CHECK(phrase != Phrase("film of zone inner film against roof"));  // the same words, but no place in them
    CHECK(Phrase("").parts().empty());
}
