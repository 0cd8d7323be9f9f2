// SPDX-License-Identifier: Apache-2.0
// Runs a fuzzing harness without a fuzzer: over every file of a corpus as it is, then over damaged copies of them, the same each
// time.
//
//   replay CORPUS_FOLDER DAMAGED_COPIES_A_FILE
#include <algorithm>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <exception>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <string_view>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

constexpr char kTroublesomeBytes[] = "\0\xFF\x80\"',;|\t\r\n=+-.:/eE0123456789TZ%\xC2\xB0";
constexpr std::string_view kTroublesome(kTroublesomeBytes, sizeof kTroublesomeBytes - 1);

void run(const std::string& input) { LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(input.data()), input.size()); }

std::string damaged(std::string text, const std::string& other, std::mt19937& random) {
    const auto below = [&](std::size_t bound) { return bound == 0 ? 0 : random() % bound; };
    for (std::size_t changes = 1 + below(4); changes > 0; --changes) {
        const std::size_t at = below(text.size() + 1), length = below(std::min<std::size_t>(text.size() - at, 40) + 1);
        switch (below(5)) {
            case 0:
                if (at < text.size()) text[at] = kTroublesome[below(kTroublesome.size())];
                break;
            case 1:
                text.insert(at, 1, kTroublesome[below(kTroublesome.size())]);
                break;
            case 2:
                text.erase(at, length);
                break;
            case 3:
                text.insert(at, text.substr(at, length));
                break;
            default:
                text = text.substr(0, at) + other.substr(std::min(at, other.size()));
        }
    }
    return text;
}

}  // namespace

int main(int count, char** words) {
    if (count != 3) {
        std::fputs("usage: replay CORPUS_FOLDER DAMAGED_COPIES_A_FILE\n", stderr);
        return 2;
    }
    std::vector<std::filesystem::path> paths;
    for (const auto& entry : std::filesystem::directory_iterator(words[1])) paths.push_back(entry.path());
    std::sort(paths.begin(), paths.end());
    std::vector<std::string> inputs;
    for (const auto& path : paths) {
        std::ifstream file(path, std::ios::binary);
        inputs.emplace_back(std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>());
    }
    std::mt19937 random(1);
    std::string input;
    try {
        for (std::size_t i = 0; i < inputs.size(); ++i) {
            run(input = inputs[i]);
            for (int copy = std::atoi(words[2]); copy > 0; --copy)
                run(input = damaged(inputs[i], inputs[random() % inputs.size()], random));
        }
    } catch (const std::exception& error) {
        std::ofstream("fuzz-failure.bin", std::ios::binary) << input;
        std::fprintf(stderr, "%s\nthe input stands in fuzz-failure.bin\n", error.what());
        return 1;
    }
    std::printf("%zu files and %s damaged copies of each were read or refused\n", inputs.size(), words[2]);
    return inputs.empty() ? 1 : 0;
}
