// SPDX-License-Identifier: Apache-2.0
#include <filesystem>
#include <fstream>
#include <string>

#include "measure.hpp"

namespace bakewright::bench {
namespace {

constexpr int kCases = 1000;

/// A thousand set points and holds of the demo van, as a study and as a list of them.
class StudyFiles {
public:
    StudyFiles() : folder_(std::filesystem::temp_directory_path() / "bakewright-bench-study") {
        std::filesystem::create_directories(folder_);
        std::ofstream cases(path("cases.jsonl")), list(path("list"));
        for (int at = 0; at < kCases; ++at) {
            const std::string celsius = std::to_string(54 + at % 14), minutes = std::to_string(5 + at / 14);
            cases
                << R"({"shell": "library_van", "booth": "stirred_insulated", "coating": "clear_low_bake", "confidence": "none", )"
                << R"("set-point": ")" << celsius << R"( degC", "hold": ")" << minutes << " min\"}\n";
            list << celsius << ' ' << minutes << '\n';
        }
    }
    ~StudyFiles() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    StudyFiles(const StudyFiles&) = delete;
    StudyFiles& operator=(const StudyFiles&) = delete;

    [[nodiscard]] std::string path(const char* name) const { return (folder_ / name).string(); }

private:
    std::filesystem::path folder_;
};

}  // namespace

Record study_1000() {
    const StudyFiles files;
    const std::string with_profiles = "BAKEWRIGHT_PROFILES=" BAKEWRIGHT_PROFILES " ";
    const std::string study = "env " + with_profiles + BAKEWRIGHT_PROGRAM " study " + files.path("cases.jsonl") + " >/dev/null";
    // A cycle that is not GOOD ends its command with status 1, which is an answer.
    std::ofstream(files.path("commands")) << "env " << with_profiles
                                          << "parallel --will-cite --colsep ' ' " BAKEWRIGHT_PROGRAM
                                             " plan --shell library_van --booth stirred_insulated --coating clear_low_bake"
                                             " --confidence none --set-point \"'{1} degC'\" --hold \"'{2} min'\" --json <"
                                          << files.path("list") << " >/dev/null 2>&1 || true\n";
    const std::string commands = "sh " + files.path("commands");
    const std::vector<double> median_s =
        interleaved_medians_s({[&] { run_measured(study); }, [&] { run_measured(commands); }}, 3);
    return {"study.1000",
            median_s[0] * 1e3,
            "ms",
            "the command a case, by GNU parallel",
            median_s[1] * 1e3,
            "1000 cycles of the demo van tried and judged, without chances"};
}

}  // namespace bakewright::bench
