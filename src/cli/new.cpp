// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <filesystem>
#include <iostream>
#include <set>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/report/booth_fit_text.hpp"
#include "bakewright/report/builder_text.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/services/booth_log.hpp"
#include "bakewright/services/files.hpp"
#include "command.hpp"
#include "import_options.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;
using builder::Answers;
using builder::Question;
using profile::Kind;

constexpr Kind kMadeKinds[] = {Kind::shell, Kind::booth, Kind::coating};

std::optional<Kind> made_kind(const std::string& word) {
    const std::optional<Kind> kind = profile::kind_from_name(word);
    return kind && std::ranges::find(kMadeKinds, *kind) != std::end(kMadeKinds) ? kind : std::nullopt;
}

/// The option of a question: "skin_fixing" as "skin-fixing".
std::string option_of(std::string key) {
    std::ranges::replace(key, '_', '-');
    return key;
}

/// The questions as options: those of the kind that is named, else of all three.
void add_questions(Options& options, const std::optional<Kind>& kind) {
    std::set<std::string> known;
    for (const Kind one : kMadeKinds) {
        if (kind && *kind != one) continue;
        for (const Question& question : builder::all_questions(one)) {
            if (!known.insert(question.key).second) continue;
            const std::string help = question.help.empty() ? fmt::format("{}", fmt::join(question.words, ", ")) : question.help;
            options.add()(option_of(question.key).c_str(), po::value<std::string>()->value_name("TEXT"),
                          fmt::format("{} {}", question.asks, help).c_str());
        }
    }
}

/// "sides: 18 ga steel" a line; # begins a remark.
Answers answers_in(const std::string& path) {
    constexpr std::size_t kLargestBytes = 100000;
    Answers answers;
    int number = 0;
    for (const std::string& line : builder::split(services::read_file(path, kLargestBytes), "\n")) {
        ++number;
        const std::size_t colon = line.find(':');
        if (line.starts_with('#')) continue;
        if (colon == std::string::npos)
            throw InputError(Problem{path, number, {}, "is no answer; write such as \"sides: 18 ga steel\""});
        const std::vector<std::string> text = builder::split(std::string_view(line).substr(colon + 1), "\r");
        answers[line.substr(0, colon)] = text.empty() ? "-" : text.front();
    }
    return answers;
}

Answers answers_of(const Options& options, Kind kind) {
    Answers answers = options.has("answers") ? answers_in(options.text("answers")) : Answers{};
    for (const Question& question : builder::all_questions(kind))
        if (const std::string option = option_of(question.key); options.has(option.c_str()))
            answers[question.key] = options.text(option.c_str());
    return answers;
}

/// Goes through the questions on a terminal, one by one. Nothing is written before the last.
class Interview {
public:
    Interview(Kind kind, Answers given, const profile::Library& library)
        : kind_(kind), answers_(std::move(given)), library_(library) {
        for (const auto& [key, text] : answers_) done_.push_back(key);
    }

    Answers run() {
        fmt::print("Enter takes what stands in [ ]. ? explains, b goes back, - leaves open.\n\n");
        while (const std::optional<Question> question = next()) ask(*question);
        return answers_;
    }

private:
    std::optional<Question> next() const {
        for (const Question& question : builder::questions_of(kind_, answers_))
            if (std::ranges::find(done_, question.key) == done_.end()) return question;
        return std::nullopt;
    }

    void ask(const Question& question) {
        ++number_;
        fmt::print("{}. {}\n", number_, question.asks);
        if (!question.words.empty())
            fmt::print("   {}\n", fmt::join(question.words, ", "));
        else if (!question.help.empty())
            fmt::print("   {}\n", question.help);
        for (;;) {
            const std::optional<std::string> said = line(question.usual.empty() ? "" : question.usual);
            if (!said) throw InputError(Problem{{}, 0, question.key, "the answers ended here; nothing was written"});
            if (*said == "?") {
                fmt::print("   {}\n", question.help.empty() ? "any of the words above" : question.help);
            } else if (*said == "b") {
                back();
                return;
            } else if (take(question, *said)) {
                done_.push_back(question.key);
                return;
            }
        }
    }

    static std::optional<std::string> line(const std::string& usual) {
        fmt::print("{}> ", usual.empty() ? "   " : fmt::format("   [{}] ", usual));
        std::fflush(stdout);
        std::string text;
        if (!std::getline(std::cin, text)) return std::nullopt;
        if (!text.empty() && text.back() == '\r') text.pop_back();
        return text;
    }

    void back() {
        number_ -= done_.empty() ? 1 : 2;
        if (done_.empty()) return;
        answers_.erase(done_.back());
        done_.pop_back();
    }

    /// Whether the answer stands.
    bool take(const Question& question, std::string said) {
        if ((said.empty() || said == "-") && question.is_needed) {
            fmt::print("   This one is needed, such as: {}\n", question.example);
            return false;
        }
        if (said.empty()) return true;
        for (;;) {
            answers_[question.key] = said;
            try {
                const builder::Built built = builder::build(kind_, "own", builder::with_examples(kind_, answers_), library_);
                for (const builder::Understood& one : built.understood)
                    if (one.key == question.key) fmt::print("   = {}\n", report::one_line(one.said));
                for (const builder::Doubt& one : built.doubts)
                    if (one.key == question.key) fmt::print("   CHECK: {}\n", report::one_line(one.question));
                return true;
            } catch (const builder::AnswerNotUnderstood& reason) {
                if (reason.key() != question.key) return true;  // of another answer, which is told when it is its turn
                answers_.erase(question.key);
                fmt::print("   {}\n", report::one_line(reason.what()));
                const bool is_whole = !reason.meant().empty() && reason.meant().starts_with(said);
                if (!is_whole) return false;
                const std::optional<std::string> again = line(reason.meant());
                if (!again) return false;
                said = again->empty() || *again == "y" || *again == "yes" ? reason.meant() : *again;
            } catch (const InputError& error) {  // what the answers make together does not go
                answers_.erase(question.key);
                for (const Problem& problem : error.problems()) fmt::print("   {}\n", report::one_line(problem.text()));
                return false;
            }
        }
    }

    Kind kind_;
    Answers answers_;
    const profile::Library& library_;
    std::vector<std::string> done_;
    int number_ = 0;
};

/// What is said of a log of the empty booth; options of the five questions stand beside it.
void describe_log(Options& options) {
    const auto text = [](const char* name) { return po::value<std::string>()->value_name(name); };
    const auto texts = [](const char* name) { return po::value<std::vector<std::string>>()->composing()->value_name(name); };
    options.add()(
        "from-log", text("FILE"),
        "log (CSV) of the empty booth: cold, heated at full power to one setting, held, then without heat, fans as in a "
        "bake; fits walls, heater, fresh air, controller and vertical profile")(
        "booth", text("NAME"), "the booth that was logged, in place of answers: its remarks stay")(
        "map", texts("COLUMN=PLACE"),
        "this column is air, air at 0.3 m, wall, ceiling, floor, outside or set point; else columns go by their names; may be "
        "repeated")("air", text("COLUMN"), "this column is the air in the middle")(
        "set", text("TEMPERATURE"), "what the controller was set to, such as 60 C")(
        "heat-on", text("TIME"), "when the heat came on, by the log's time; else found")(
        "heat-off", text("TIME"), "when it went off; else found")("fans-change", "the fans ran otherwise once the heat was off");
    describe_reading(options);
}

services::BoothLogTask booth_log(const Options& options) {
    constexpr std::size_t kLargestBytes = std::size_t{1} << 28;
    const std::string path = options.text("from-log");
    services::BoothLogTask task;
    task.file = {path, std::filesystem::path(path).filename().string(),
                 services::read_file(path, kLargestBytes, probe::kLongestLineBytes)};
    task.reading = reading_options(options);
    task.setpoint_k = options.quantity("set", Dimension::temperature);
    task.heat_on_s = options.quantity("heat-on", Dimension::time);
    task.heat_off_s = options.quantity("heat-off", Dimension::time);
    task.fans_change = options.flag("fans-change");
    return task;
}

std::string path_for(Kind kind, const std::string& name) {
    const std::string folder = services::user_profile_folder();
    if (folder.empty()) throw InputError(Problem{{}, 0, "--out", "is needed: there is no folder of your own, HOME is not set"});
    return fmt::format("{}/{}/{}.toml", folder, profile::kind_folder(kind), name);
}

builder::Built built_of(Kind kind, const std::string& name, const Answers& answers, const profile::Library& library) {
    try {
        return builder::build(kind, name, answers, library);
    } catch (const builder::AnswerNotUnderstood& reason) {
        wrong_option("--" + option_of(reason.key()), reason.what());
    } catch (const InputError& error) {
        std::vector<Problem> problems = error.problems();
        for (Problem& problem : problems)
            if (problem.file.empty() && !problem.key.empty()) problem.key = "--" + option_of(problem.key);
        throw InputError(std::move(problems));
    }
}

/// Unless it is there already, or is only to be printed.
void write_new(const Options& options, const std::string& path, const std::string& text) {
    std::error_code error;
    if (path == "-") return;
    if (!options.flag("replace") && std::filesystem::exists(path, error))
        wrong_option("--name", fmt::format("{} is there already; take another name, or --replace", path));
    const std::filesystem::path folder = std::filesystem::path(path).parent_path();
    if (!folder.empty()) std::filesystem::create_directories(folder, error);
    write_file(path, text);
}

void tell_next(const std::string& path, const std::string& kind, const std::string& name) {
    fmt::print("\nwritten: {}\nnext: bakewright use --{} {}\n", report::one_line(path), kind, name);
}

/// A booth as it stands, by its name and text.
struct BoothText {
    std::string name, text;
};

/// The booth with what its log tells: one of answers, or that of --booth.
int booth_from_log(const Options& options, BoothText booth) {
    if (options.has("booth")) {
        const std::string word = options.text("booth");
        const bool is_path = word.find('/') != std::string::npos || word.ends_with(".toml");
        const std::string file = is_path ? word : options.library().find_name(Kind::booth, word);
        booth = {options.text_or("name", std::filesystem::path(file).stem().string()), profile::file_text(file)};
    }
    const std::string path = options.has("out") ? options.text("out") : path_for(Kind::booth, booth.name);
    const services::FittedBoothText made = services::fitted_booth(booth.text, booth.name, booth_log(options));
    write_new(options, path, made.text);
    if (options.json()) {
        print_json(report::document_of(made.fit, booth.name, path == "-" ? "" : path, made.text));
    } else if (path == "-") {
        print(made.text);
    } else {
        print(report::booth_fit_text(made.fit, text_options(options)));
        tell_next(path, "booth", options.has("out") ? path : booth.name);
    }
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace

int run_new(const std::vector<std::string>& words) {
    const std::optional<Kind> named = words.empty() ? std::nullopt : made_kind(words.front());
    Options options(
        "new shell|booth|coating [options]",
        "Makes a shell, a booth or a coating of answers in words of the shop: \"18 ga steel\", \"3/16 in ply\", \"7 x 2.3 x 2.9 "
        "m\".\n"
        "On a terminal it asks for what was not given; Enter takes the usual answer. What it writes is a profile as any other.");
    options.add()("kind", po::value<std::string>()->value_name("KIND"), "shell, booth or coating")(
        "name", po::value<std::string>()->value_name("NAME"), "name of the profile; default made of its title")(
        "answers", po::value<std::string>()->value_name("FILE"), "file with an answer a line: \"sides: 18 ga steel\"")(
        "out", po::value<std::string>()->value_name("FILE"),
        "where to write it in place of your own profiles; - prints it alone")("replace", "writes over a profile of this name")(
        "ask", "asks also where standard input is no terminal");
    options.positional("kind", 1);
    add_questions(options, named);
    if (!named || *named == Kind::booth) describe_log(options);
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string word = options.text("kind");
    const std::optional<Kind> kind = made_kind(word);
    if (!kind)
        wrong_option("KIND", fmt::format("'{}' is not shell, booth or coating{}", word,
                                         did_you_mean(word, {"shell", "booth", "coating"})));
    const profile::Library library = options.library();
    Answers answers = answers_of(options, *kind);
    const bool has_log = *kind == Kind::booth && options.has("from-log");
    if (has_log && !answers.contains("heat")) answers["heat"] = "don't know";
    if (has_log && options.has("booth")) return booth_from_log(options, {});
    const bool asks = options.flag("ask") || (::isatty(STDIN_FILENO) != 0 && ::isatty(STDOUT_FILENO) != 0 && !options.json());
    if (asks) answers = Interview(*kind, std::move(answers), library).run();
    const std::string title = answers.contains("title") ? answers.at("title") : "our " + word;
    const std::string name = options.text_or("name", builder::name_from(title));
    if (name != builder::name_from(name))
        wrong_option("--name", fmt::format("'{}' is no name of small letters, digits and _; '{}' would be", name,
                                           builder::name_from(name)));
    const builder::Built built = built_of(*kind, name, answers, library);
    if (has_log) return booth_from_log(options, {name, built.text});
    const std::string path = options.has("out") ? options.text("out") : path_for(*kind, name);
    const bool prints = path == "-";
    write_new(options, path, built.text);
    if (options.json()) {
        print_json(report::document_of(*kind, name, prints ? "" : path, built));
    } else if (prints) {
        print(built.text);
    } else {
        print(report::built_text(*kind, built, text_options(options)));
        tell_next(path, word, options.has("out") ? path : name);
    }
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
