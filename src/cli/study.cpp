// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <optional>

#include "bakewright/base/error.hpp"
#include "bakewright/base/work.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"
#include "study_case.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;
using report::Json;

/// A case is a few hundred bytes; a longer line is something else, and none is held whole.
constexpr std::size_t kLongestCase = 1024 * 1024;
/// So many cases are read, answered side by side and written in their order.
constexpr std::size_t kCasesAtATime = 64;

struct Case {
    std::size_t line = 0;
    std::string text;
    bool is_too_long = false;
};

/// The lines of a study that hold a case.
class Cases {
public:
    explicit Cases(std::istream& stream) : stream_(stream) {}

    [[nodiscard]] std::optional<Case> next() {
        for (;;) {
            Case read;
            int byte = 0;
            bool is_blank = true;
            while ((byte = stream_.get()) != std::char_traits<char>::eof() && byte != '\n') {
                is_blank = is_blank && (byte == ' ' || byte == '\t' || byte == '\r');
                if (read.text.size() < kLongestCase)
                    read.text.push_back(static_cast<char>(byte));
                else
                    read.is_too_long = true;
            }
            const bool is_end = byte == std::char_traits<char>::eof();
            if (stream_.bad()) throw FileError("the cases could not be read");
            if (is_end && read.text.empty()) return std::nullopt;
            read.line = ++line_;
            if (!is_blank) return read;
        }
    }
    [[nodiscard]] std::vector<Case> next_few(std::size_t most) {
        std::vector<Case> few;
        while (few.size() < most) {
            std::optional<Case> one = next();
            if (!one) break;
            few.push_back(std::move(*one));
        }
        return few;
    }

private:
    std::istream& stream_;
    std::size_t line_ = 0;
};

/// The answers that a file holds already; what a stopped run left of the last one is cut off.
class AnswerFile {
public:
    explicit AnswerFile(const std::string& path) : path_(path) {
        std::error_code none;
        if (!std::filesystem::exists(path, none)) return;
        if (!std::filesystem::is_regular_file(path, none)) wrong_option("--out", fmt::format("{} is no regular file", path));
        std::ifstream file(path, std::ios::binary);
        std::uintmax_t whole = 0;
        for (std::string line; std::getline(file, line) && !file.eof();) {
            whole += line.size() + 1;
            const Json answer = Json::parse(line, nullptr, false);
            wrong_ += answer.is_object() && answer.contains("error") ? 1 : 0;
            last_ = std::move(line);
            ++count_;
        }
        file.close();
        std::filesystem::resize_file(path, whole, none);
        if (none) throw FileError(fmt::format("{}: could not be written: {}", path, none.message()));
    }

    [[nodiscard]] std::size_t count() const noexcept { return count_; }
    [[nodiscard]] std::size_t wrong() const noexcept { return wrong_; }

    /// @throws InputError where the last answer is not that of this case: the file belongs to another study
    void refuse_other(const Case& last) const {
        const Json answer = Json::parse(last_, nullptr, false);
        const Json asked = Json::parse(last.text, nullptr, false);
        const auto id_of = [](const Json& json) { return json.is_object() && json.contains("id") ? json["id"] : Json(nullptr); };
        const bool is_same = answer.is_object() && answer.contains("line") && answer["line"] == last.line &&
                             (answer.contains("error") || id_of(answer) == id_of(asked));
        if (!is_same)
            wrong_option("--out", fmt::format("{} holds answers of other cases; name a file that is not there yet", path_));
    }

private:
    std::string path_, last_;
    std::size_t count_ = 0, wrong_ = 0;
};

/// Passes over the cases that are answered already.
void pass_over(Cases& cases, const AnswerFile& answered) {
    std::optional<Case> last;
    for (std::size_t passed = 0; passed < answered.count(); ++passed)
        if (last = cases.next(); !last) wrong_option("--out", "holds more answers than there are cases");
    if (last) answered.refuse_other(*last);
}

void write_line(std::FILE* into, const Json& answer) {
    const std::string text = report::json_text(answer, -1) + "\n";
    if (std::fwrite(text.data(), 1, text.size(), into) != text.size()) throw std::system_error(errno, std::generic_category());
}

/// Answers all cases; how many of them could not be.
std::size_t answer_all(Cases& cases, const StudyCases& study, std::FILE* into, std::size_t threads) {
    std::size_t wrong = 0;
    for (;;) {
        const std::vector<Case> few = cases.next_few(kCasesAtATime);
        if (few.empty()) return wrong;
        std::vector<Json> answers(few.size());
        for_each_index(few.size(), threads, [&](std::size_t index, std::size_t) {
            answers[index] =
                study.answer(few[index].is_too_long ? std::string_view() : std::string_view(few[index].text), few[index].line);
            return true;
        });
        for (const Json& answer : answers) {
            wrong += answer.contains("error") ? 1 : 0;
            write_line(into, answer);
        }
        if (std::fflush(into) != 0) throw std::system_error(errno, std::generic_category());
    }
}

}  // namespace

int run_study(const std::vector<std::string>& words) {
    Options options(
        "study [FILE] [--out FILE] [options]",
        "Answers many bakes at once: a case a line, as an object of JSON whose keys are options of `plan`, or a cycle, and "
        "changes to any key of the profiles. Each line is answered by one, in the same order; a case that is wrong is answered "
        "with its error. Nothing is kept in the book.");
    options.add()("cases", po::value<std::string>()->value_name("FILE"), "file of cases; default standard input, as -")(
        "out", po::value<std::string>()->value_name("FILE"),
        "write the answers there; one that holds answers of these cases already goes on behind them")(
        "whole", "answers hold the whole verdict, as `judge --json`")("threads", po::value<std::string>()->value_name("N"),
                                                                      "how many cases go side by side; default one a core");
    options.positional("cases", 1);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const double threads = options.number("threads").value_or(0.0);
    if (!(threads >= 0.0 && threads <= 1024.0)) wrong_option("--threads", "accepts 1 to 1024");
    const std::string from = options.text_or("cases", "-");
    std::ifstream file;
    if (from != "-") {
        file.open(from, std::ios::binary);
        if (!file || std::filesystem::is_directory(from))
            throw InputError(Problem{from, 0, {}, "cannot be read; name a file of cases"});
    }
    Cases cases(from == "-" ? std::cin : file);
    const StudyCases study(options.library(), options.flag("whole"));
    std::FILE* into = stdout;
    std::size_t wrong = 0;
    if (options.has("out")) {
        const std::string path = options.text("out");
        const AnswerFile answered(path);
        pass_over(cases, answered);
        wrong = answered.wrong();
        into = std::fopen(path.c_str(), "ab");
        if (into == nullptr) throw FileError(fmt::format("{}: could not be written: {}", path, std::strerror(errno)));
    }
    wrong += answer_all(cases, study, into, static_cast<std::size_t>(threads));
    if (into != stdout && std::fclose(into) != 0) throw std::system_error(errno, std::generic_category());
    return static_cast<int>(wrong == 0 ? ExitStatus::fine : ExitStatus::input_wrong);
}

}  // namespace bakewright::cli
