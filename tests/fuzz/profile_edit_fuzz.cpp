// SPDX-License-Identifier: Apache-2.0
// A profile is edited over HTTP: of two texts, parted by a zero byte, the first is saved, then the second over it with the hash
// of the first, then again with a hash that is out of date. What is saved is the text that was sent, and reads as a good profile;
// what is refused leaves the file as it was. The first byte chooses kind and name.
#include <cstddef>
#include <cstdint>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <nlohmann/json.hpp>
#include <optional>
#include <string>

#include "bakewright/book/hash.hpp"
#include "bakewright/profile/kind.hpp"
#include "page_of_fuzz.hpp"

namespace {

const char* const kKinds[]{"material", "coating", "booth", "shell", "cycle", "probes"};

std::optional<std::string> bytes_of(const std::filesystem::path& path) {
    std::ifstream file(path, std::ios::binary);
    if (!file) return std::nullopt;
    return std::string(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
}

class Edited {
public:
    Edited(const fuzz::Page& page, std::uint8_t choice) : page_(page), kind_(kKinds[choice % std::size(kKinds)]) {
        const auto kind = bakewright::profile::kind_from_name(kind_);
        file_ = page.folder() / "own_profiles" / bakewright::profile::kind_folder(*kind) / "fuzzed.toml";
        std::filesystem::remove(file_);
    }

    void save(const std::string& text, const std::string& hash_before) {
        using nlohmann::json;
        const std::optional<std::string> before = bytes_of(file_);
        const std::string body =
            json{{"text", text}, {"sha256_before", hash_before}}.dump(-1, ' ', false, json::error_handler_t::replace);
        const std::string sent = json::parse(body).at("text");  // bytes that are not UTF-8 cannot be sent
        const auto answer = page_.ask("POST", "/api/profiles/" + kind_ + "/fuzzed/save", body);
        const std::optional<std::string> after = bytes_of(file_);
        if (answer.status != 200) return bakewright::ensure(after == before, "a refused edit leaves the file as it was");
        bakewright::ensure(after == sent, "the file holds what was sent");
        const bool was_current = !before || hash_before == bakewright::book::sha256_hex(*before) || *before == sent;
        bakewright::ensure(was_current, "nobody's change is lost");
        const json shown = json::parse(page_.ask("GET", "/api/profiles/" + kind_ + "/fuzzed", {}).text);
        bakewright::ensure(shown.at("text") == sent, "the page shows what is in the file");
        for (const json& one : json::parse(page_.ask("GET", "/api/profiles/" + kind_, {}).text).at("profiles"))
            bakewright::ensure(one.at("name") != "fuzzed" || one.at("mistakes") == 0, "what was saved is a good profile");
    }

private:
    const fuzz::Page& page_;
    std::string kind_;
    std::filesystem::path file_;
};

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    static const fuzz::Page page;
    if (size == 0) return 0;
    const std::string both(reinterpret_cast<const char*>(data) + 1, size - 1);
    const std::string first = both.substr(0, both.find('\0'));
    const std::string second = both.size() > first.size() ? both.substr(first.size() + 1) : both;
    Edited edited(page, data[0]);
    edited.save(first, "");
    edited.save(second, bakewright::book::sha256_hex(first));
    edited.save(first + "\n", bakewright::book::sha256_hex(first));
    return 0;
}
