// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>

#include "answers.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/builder_text.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/services/files.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

namespace fs = std::filesystem;
using profile::Kind;

Kind kind_of(const std::string& word) {
    if (const auto kind = profile::kind_from_name(word)) return *kind;
    throw InputError(Problem{{}, 0, "kind", "'" + word + "' is not material, coating, booth, shell, cycle, probes or source"});
}

std::string own_path(const Context& context, Kind kind, const std::string& name) {
    const std::string& folder = context.options.user_profile_folder;
    if (folder.empty()) throw InputError(Problem{{}, 0, "name", "there is no folder to save profiles in: HOME is not set"});
    return folder + "/" + std::string(profile::kind_folder(kind)) + "/" + name + ".toml";
}

bool is_own(const Context& context, const std::string& path) {
    const auto holds = [&](const std::string& folder) { return !folder.empty() && path.starts_with(folder + "/"); };
    const std::vector<std::string>& old = context.options.old_profile_folders;
    return holds(context.options.user_profile_folder) || std::any_of(old.begin(), old.end(), holds);
}

Answer list(const Asked& asked, const Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    Json profiles = Json::array();
    for (const std::string& name : context.library.names(kind)) {
        const std::string path = context.library.find_name(kind, name);
        const profile::CheckReport found = profile::check_file(path, context.library);
        profiles.push_back({{"name", name},
                            {"title", found.title.empty() ? name : found.title},
                            {"path", path},
                            {"is_own", is_own(context, path)},
                            {"mistakes", found.problems.size()}});
    }
    return json_answer("profiles", {{"kind", asked.parts[0]}, {"profiles", std::move(profiles)}});
}

Answer show(const Asked& asked, const Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const std::string path = context.library.find_name(kind, asked.parts[1]);
    const std::string text = profile::file_text(path);
    return json_answer(
        "profile",
        {{"kind", asked.parts[0]}, {"name", asked.parts[1]}, {"path", path}, {"sha256", book::sha256_hex(text)}, {"text", text}});
}

Answer checked(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    const std::string name = body.text_or("name", "new");
    return answer_of(report::document_of(
        std::vector{profile::check_text(kind_of(asked.parts[0]), body.long_text("text"), name + ".toml", context.library)}));
}

Json question_json(const builder::Question& question) {
    return {{"key", question.key},     {"asks", question.asks},        {"help", question.help},
            {"usual", question.usual}, {"needed", question.is_needed}, {"words", question.words}};
}

/// The questions that matter as the answers so far have it, and what those make; or the first that was not understood.
Answer asked_for(const Asked& asked, const Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const Body body(asked.body);
    builder::Answers answers;
    for (const auto& [key, text] : body.pairs("answers"))
        if (!text.empty()) answers[key] = text;
    const auto title = answers.find("title");
    const std::string name = safe_name(body.text_or("name", title == answers.end() ? "own" : builder::name_from(title->second)));
    Json fields = {
        {"kind", asked.parts[0]}, {"name", name}, {"questions", Json::array()}, {"built", nullptr}, {"problem", nullptr}};
    std::vector<std::string> missing;
    for (const builder::Question& question : builder::questions_of(kind, answers)) {
        fields["questions"].push_back(question_json(question));
        if (question.is_needed && !answers.contains(question.key)) missing.push_back(question.key);
    }
    const auto problem = [](const std::string& key, const std::string& message, const std::string& meant) {
        return Json{{"key", key}, {"message", message}, {"meant", meant}};
    };
    try {
        // What is there is looked at before the rest is.
        builder::Built built = builder::build(kind, name, builder::with_examples(kind, answers), context.library);
        if (missing.empty()) fields["built"] = report::document_of(kind, name, "", built);
    } catch (const builder::AnswerNotUnderstood& reason) {
        fields["problem"] = problem(reason.key(), reason.what(), reason.meant());
    }
    return json_answer("questions", std::move(fields));
}

/// Held from the look at a file to its change, so that of those who save at one time each sees what the others did: threads of
/// this page by its mutex, other pages by a lock of the folder. Where a file system has no locks, the mutex is all there is.
class Saving {
public:
    Saving(std::mutex& mutex, const fs::path& folder)
        : lock_(mutex), folder_(::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC)) {
        while (folder_ >= 0 && ::flock(folder_, LOCK_EX) != 0 && errno == EINTR) {
        }
    }
    ~Saving() {
        if (folder_ >= 0) ::close(folder_);
    }
    Saving(const Saving&) = delete;
    Saving& operator=(const Saving&) = delete;

private:
    std::lock_guard<std::mutex> lock_;
    int folder_;
};

std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find('\n', at), text.size());
        lines.push_back(text.substr(at, end - at));
        at = end + 1;
    }
    return lines;
}

using Line = std::vector<std::string>::const_iterator;

/// At most twenty of them.
std::vector<std::string> some(Line from, Line to) { return {from, from + std::min<std::ptrdiff_t>(to - from, 20)}; }
std::string first_of(Line from, Line to) { return from == to ? "nothing" : "'" + *from + "'"; }

/// Status 409, with what the file has and the given text has not: what lies between the lines that begin and end both.
Answer changed_meanwhile(const std::string& path, const std::string& there, const std::string& given) {
    const std::vector<std::string> theirs = lines_of(there), yours = lines_of(given);
    const auto [from, yours_from] = std::mismatch(theirs.begin(), theirs.end(), yours.begin(), yours.end());
    Line to = theirs.end(), yours_to = yours.end();
    while (to != from && yours_to != yours_from && *(to - 1) == *(yours_to - 1)) --to, --yours_to;
    const std::string message = path + " was changed by someone else since it was opened, or has this name already: it has " +
                                first_of(from, to) + " here, where your text has " + first_of(yours_from, yours_to) +
                                "; nothing was saved";
    const Problem problem{path, static_cast<int>(from - theirs.begin()) + 1, {}, message};
    Answer answer = json_answer("problems", {{"problems", json_of(std::vector<Problem>{problem})},
                                             {"sha256", book::sha256_hex(there)},
                                             {"there", some(from, to)},
                                             {"yours", some(yours_from, yours_to)}});
    answer.status = 409;
    return answer;
}

/// Saves among the user's own, where it goes before one of the same name that came with the program. A file that somebody else
/// changed since it was opened stays as it is.
Answer save(const Asked& asked, Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const Body body(asked.body);
    const std::string name = safe_name(asked.parts[1]), text = body.long_text("text");
    const profile::CheckReport found = profile::check_text(kind, text, name + ".toml", context.library);
    if (!found.good()) throw InputError(found.problems);
    const std::string path = own_path(context, kind, name);
    std::error_code error;
    const fs::path folder = fs::path(path).parent_path();
    fs::create_directories(folder, error);
    if (error) return problem_answer(500, path + ": its folder could not be made: " + error.message());
    const Saving saving(context.saving, folder);
    if (fs::exists(path, error)) {
        const std::string there = services::read_file(path, profile::kLargestProfileBytes);
        if (there != text && book::sha256_hex(there) != body.text_or("sha256_before", ""))
            return changed_meanwhile(path, there, text);
    }
    services::write_file(path, text);
    const std::string first = context.library.find_name(kind, name);
    return json_answer("saved",
                       {{"path", path}, {"sha256", book::sha256_hex(text)}, {"goes_before", first == path ? "" : first}});
}

}  // namespace

void add_profile_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/profiles/{}", [&context](const Asked& asked) { return list(asked, context); });
    routes.add("GET", "/api/profiles/{}/{}", [&context](const Asked& asked) { return show(asked, context); });
    routes.add("POST", "/api/profiles/{}/check", [&context](const Asked& asked) { return checked(asked, context); });
    routes.add("POST", "/api/profiles/{}/questions", [&context](const Asked& asked) { return asked_for(asked, context); });
    routes.add("POST", "/api/profiles/{}/{}/save", [&context](const Asked& asked) { return save(asked, context); });
}

}  // namespace bakewright::page
