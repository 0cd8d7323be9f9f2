// SPDX-License-Identifier: Apache-2.0
// Any body posted to a route that its first byte chooses is answered: done, or refused with problems, never a fault of the
// program. The answer is JSON. Routes that begin long work are left to the tests of the page.
#include <cstddef>
#include <cstdint>
#include <iterator>
#include <nlohmann/json.hpp>
#include <string>

#include "page_of_fuzz.hpp"

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const char* const kPaths[]{"/api/history/library_van/coats",
                                      "/api/history/library_van/bakes",
                                      "/api/coats/1/sanded",
                                      "/api/profiles/coating/check",
                                      "/api/bakes/1/note",
                                      "/api/logs/1/read",
                                      "/api/prepare/keep",
                                      "/api/tune/1/keep"};
    static const fuzz::Page page;
    if (size == 0) return 0;
    const std::string body(reinterpret_cast<const char*>(data) + 1, size - 1);
    const bakewright::page::Answer answer = page.ask("POST", kPaths[data[0] % std::size(kPaths)], body);
    bakewright::ensure(nlohmann::json::accept(answer.text), "an answer is JSON");
    return 0;
}
