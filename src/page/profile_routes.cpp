// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "answers.hpp"
#include "bakewright/book/hash.hpp"
#include "bakewright/builder/parts.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/check.hpp"
#include "bakewright/profile/file_text.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/builder_text.hpp"
#include "bakewright/report/json.hpp"
#include "body.hpp"
#include "context.hpp"
#include "own_profiles.hpp"

namespace bakewright::page {
namespace {

using profile::Kind;

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
    return json_answer("profile", {{"kind", asked.parts[0]},
                                   {"name", asked.parts[1]},
                                   {"path", path},
                                   {"is_own", is_own(context, path)},
                                   {"sha256", book::sha256_hex(text)},
                                   {"text", text}});
}

Answer checked(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    const std::string name = body.text_or("name", "new");
    const std::string text = body.long_text("text");
    profile::CheckReport found = profile::check_text(kind_of(asked.parts[0]), text, name + ".toml", context.library);
    if (found.good() && found.kind)
        for (std::string& note : builder::notes_on(*found.kind, text, name, context.library))
            found.notes.push_back(std::move(note));
    return answer_of(report::document_of(std::vector{std::move(found)}));
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

/// What is said of a part, put into the text; which was meant.
builder::PartEdit edited(const Body& body, const std::string& text, const profile::Library& library) {
    const std::string deed = body.text_or("deed", "");
    builder::Answers said;
    for (const auto& [key, words] : body.pairs("said")) said[key] = words;
    if (deed.empty()) return {text, {}, {}};
    if (deed == "change") return builder::with_part_changed(text, body.text("part"), said, library);
    if (deed == "add") return builder::with_part_added(text, said, library);
    if (deed == "remove") return builder::without_part(text, body.text("part"), library);
    throw InputError(Problem{{}, 0, "deed", "'" + deed + "' is not change, add or remove"});
}

/// The parts of a shell's text, after a change where one is asked for; what was not understood leaves the text as it is.
Answer parts(const Asked& asked, const Context& context) {
    const Body body(asked.body);
    builder::PartEdit edit{body.long_text("text"), {}, {}};
    Json problem = nullptr;
    try {
        edit = edited(body, edit.text, context.library);
    } catch (const builder::AnswerNotUnderstood& reason) {
        problem = {{"key", reason.key()}, {"message", reason.what()}, {"meant", reason.meant()}};
    }
    const profile::Located<profile::ShellProfile> read = profile::read_shell(edit.text, "new.toml", context.library);
    if (!read.problems.empty()) throw InputError(read.problems);
    return answer_of(report::document_of(edit, builder::parts_in(edit.text, context.library),
                                         report::draw_shell(read.record.shell), std::move(problem)));
}

}  // namespace

void add_profile_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/profiles/{}", [&context](const Asked& asked) { return list(asked, context); });
    routes.add("GET", "/api/profiles/{}/{}", [&context](const Asked& asked) { return show(asked, context); });
    routes.add("POST", "/api/profiles/{}/check", [&context](const Asked& asked) { return checked(asked, context); });
    routes.add("POST", "/api/profiles/{}/questions", [&context](const Asked& asked) { return asked_for(asked, context); });
    routes.add("POST", "/api/profiles/shell/parts", [&context](const Asked& asked) { return parts(asked, context); });
    add_own_profile_routes(routes, context);
}

}  // namespace bakewright::page
