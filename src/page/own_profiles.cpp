// SPDX-License-Identifier: Apache-2.0
#include "own_profiles.hpp"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <filesystem>

#include "answers.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/profile/edit.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/services/files.hpp"
#include "bakewright/services/job_at_hand.hpp"
#include "body.hpp"

namespace bakewright::page {
namespace {

namespace fs = std::filesystem;
using profile::Kind;

std::string own_path(const Context& context, Kind kind, const std::string& name) {
    const std::string& folder = context.options.user_profile_folder;
    if (folder.empty()) throw InputError(Problem{{}, 0, "name", "there is no folder to save profiles in: HOME is not set"});
    return folder + "/" + std::string(profile::kind_folder(kind)) + "/" + name + ".toml";
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

/// What was written, for the page to go on with.
Answer written(const std::string& name, const std::string& path, const std::string& text, const std::string& goes_before) {
    return json_answer(
        "saved",
        {{"name", name}, {"path", path}, {"sha256", book::sha256_hex(text)}, {"text", text}, {"goes_before", goes_before}});
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
    return written(name, path, text, first == path ? "" : first);
}

/// The text under another title; its file's name is its id.
std::string retitled(const std::string& text, const std::string& title) {
    return profile::with_value(profile::without_value(text, "id"), "title", profile::text_value(title));
}

/// A name for the file that no profile of the kind has. @param own  the name it has now, which it may keep
std::string free_name(const Context& context, Kind kind, const std::string& title, const std::string& own = {}) {
    if (title.find_first_not_of(" \t") == std::string::npos) throw InputError(Problem{{}, 0, "title", "What is it called?"});
    const std::string name = safe_name(builder::name_from(title));
    const std::vector<std::string> names = context.library.names(kind);
    if (name != own && std::ranges::find(names, name) != names.end())
        throw InputError(Problem{
            {}, 0, "title", fmt::format("there is a {} '{}' already; call it something else", profile::kind_name(kind), name)});
    return name;
}

/// The file of a profile that is the shop's own. @throws InputError for one that came with the program
std::string own_file(const Context& context, Kind kind, const std::string& name) {
    const std::string path = context.library.find_name(kind, name);
    if (!is_own(context, path))
        throw InputError(Problem{{}, 0, "name", fmt::format("'{}' came with the program; a copy of it can be changed", name)});
    return path;
}

/// A material goes by its name in shells: those of the shop that have it would no longer be read.
void refuse_where_used(const Context& context, Kind kind, const std::string& name) {
    if (kind != Kind::material) return;
    std::vector<std::string> users;
    for (const std::string& shell : context.library.names(Kind::shell))
        if (profile::file_text(context.library.find_name(Kind::shell, shell)).find("\"" + name + "\"") != std::string::npos)
            users.push_back(shell);
    if (!users.empty())
        throw InputError(Problem{{}, 0, "name", fmt::format("shells are made of it: {}", fmt::join(users, ", "))});
}

/// The job at hand goes on with a profile by its new name.
void follow_in_job(const Context& context, Kind kind, const std::string& from, const std::string& to) {
    services::JobAtHand job = services::job_at_hand(context.options.book_path);
    std::string* const named = kind == Kind::shell     ? &job.shell
                               : kind == Kind::booth   ? &job.booth
                               : kind == Kind::coating ? &job.coating
                                                       : nullptr;
    if (named == nullptr || *named != from) return;
    *named = to;
    services::set_job(context.options.book_path, job);
}

fs::path made_folder(const std::string& path) {
    std::error_code error;
    fs::create_directories(fs::path(path).parent_path(), error);
    if (error) throw FileError(path + ": its folder could not be made: " + error.message());
    return fs::path(path).parent_path();
}

void remove_file(const std::string& path) {
    std::error_code error;
    if (!fs::remove(path, error))
        throw FileError(path + ": could not be deleted" + (error ? ": " + error.message() : std::string()));
}

Answer copy(const Asked& asked, Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const std::string title = Body(asked.body).text("title");
    const std::string text = retitled(profile::file_text(context.library.find_name(kind, asked.parts[1])), title);
    const std::string name = free_name(context, kind, title), path = own_path(context, kind, name);
    const Saving saving(context.saving, made_folder(path));
    std::error_code error;
    if (fs::exists(path, error)) return changed_meanwhile(path, services::read_file(path, profile::kLargestProfileBytes), text);
    services::write_file(path, text);
    return written(name, path, text, "");
}

/// A file of the shop's own as it is now, where nobody changed it since it was opened.
std::optional<Answer> changed_since(const Body& body, const std::string& path, const std::string& there) {
    const std::string opened = body.text("sha256_before");
    if (book::sha256_hex(there) == opened) return std::nullopt;
    return changed_meanwhile(path, there, body.has("text") ? body.long_text("text") : std::string());
}

Answer rename(const Asked& asked, Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const Body body(asked.body);
    const std::string title = body.text("title"), &from = asked.parts[1];
    const std::string old_path = own_file(context, kind, from), name = free_name(context, kind, title, from);
    const std::string path = name == from ? old_path : own_path(context, kind, name);
    if (name != from) refuse_where_used(context, kind, from);
    const Saving saving(context.saving, made_folder(path));
    const std::string there = services::read_file(old_path, profile::kLargestProfileBytes);
    if (auto answer = changed_since(body, old_path, there)) return *answer;
    std::error_code error;
    if (name != from && fs::exists(path, error))
        return changed_meanwhile(path, services::read_file(path, profile::kLargestProfileBytes), there);
    const std::string text = retitled(there, title);
    services::write_file(path, text);
    if (name != from) {
        remove_file(old_path);
        follow_in_job(context, kind, from, name);
    }
    return written(name, path, text, "");
}

Answer remove(const Asked& asked, Context& context) {
    const Kind kind = kind_of(asked.parts[0]);
    const Body body(asked.body);
    const std::string& name = asked.parts[1];
    const std::string path = own_file(context, kind, name);
    refuse_where_used(context, kind, name);
    const Saving saving(context.saving, fs::path(path).parent_path());
    const std::string there = services::read_file(path, profile::kLargestProfileBytes);
    if (auto answer = changed_since(body, path, there)) return *answer;
    remove_file(path);
    const std::vector<std::string> names = context.library.names(kind);
    const bool is_still_there = std::ranges::find(names, name) != names.end();
    return json_answer(
        "deleted",
        {{"kind", asked.parts[0]}, {"name", name}, {"uncovers", is_still_there ? context.library.find_name(kind, name) : ""}});
}

}  // namespace

Kind kind_of(const std::string& word) {
    if (const auto kind = profile::kind_from_name(word)) return *kind;
    throw InputError(Problem{{}, 0, "kind", "'" + word + "' is not material, coating, booth, shell, cycle, probes or source"});
}

bool is_own(const Context& context, const std::string& path) {
    const auto holds = [&](const std::string& folder) { return !folder.empty() && path.starts_with(folder + "/"); };
    const std::vector<std::string>& old = context.options.old_profile_folders;
    return holds(context.options.user_profile_folder) || std::any_of(old.begin(), old.end(), holds);
}

void add_own_profile_routes(Routes& routes, Context& context) {
    routes.add("POST", "/api/profiles/{}/{}/save", [&context](const Asked& asked) { return save(asked, context); });
    routes.add("POST", "/api/profiles/{}/{}/copy", [&context](const Asked& asked) { return copy(asked, context); });
    routes.add("POST", "/api/profiles/{}/{}/rename", [&context](const Asked& asked) { return rename(asked, context); });
    routes.add("POST", "/api/profiles/{}/{}/delete", [&context](const Asked& asked) { return remove(asked, context); });
}

}  // namespace bakewright::page
