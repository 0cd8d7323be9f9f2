#include <algorithm>
#include <filesystem>

#include "answers.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json_commands.hpp"
#include "bakewright/shop/files.hpp"
#include "body.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

namespace fs = std::filesystem;
using profile::Kind;

Kind kind_of(const std::string& word) {
    if (const auto kind = profile::kind_from_name(word)) return *kind;
    throw InputError(Problem{{}, 0, "kind", "'" + word + "' is not material, coating, booth, shell, cycle or probes"});
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
    return {.text = report::to_json_text(std::vector{profile::check_text(kind_of(asked.parts[0]), body.long_text("text"),
                                                                         name + ".toml", context.library)},
                                         {.indent = -1, .traces = false})};
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
    if (fs::exists(path, error)) {
        const std::string there = book::sha256_hex(profile::file_text(path));
        if (there != body.text_or("sha256_before", "") && there != book::sha256_hex(text))
            return problem_answer(
                409, "the file " + path + " was changed by someone else, or has this name already; nothing was saved");
    }
    fs::create_directories(fs::path(path).parent_path(), error);
    if (error) return problem_answer(500, path + ": its folder could not be made: " + error.message());
    shop::write_file(path, text);
    const std::string first = context.library.find_name(kind, name);
    return json_answer("saved",
                       {{"path", path}, {"sha256", book::sha256_hex(text)}, {"goes_before", first == path ? "" : first}});
}

}  // namespace

void add_profile_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/profiles/{}", [&context](const Asked& asked) { return list(asked, context); });
    routes.add("GET", "/api/profiles/{}/{}", [&context](const Asked& asked) { return show(asked, context); });
    routes.add("POST", "/api/profiles/{}/check", [&context](const Asked& asked) { return checked(asked, context); });
    routes.add("POST", "/api/profiles/{}/{}/save", [&context](const Asked& asked) { return save(asked, context); });
}

}  // namespace bakewright::page
