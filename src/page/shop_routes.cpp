// SPDX-License-Identifier: Apache-2.0
#include <algorithm>

#include "answers.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/checklist.hpp"
#include "bakewright/services/files.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

/// Name and title of every profile of a kind that can be read; a mistaken one is listed with what is wrong.
template <class Record>
Json choices(const profile::Library& library, profile::Kind kind,
             profile::Located<Record> (*load)(std::string_view, const profile::Library&),
             const std::string& (*title_of)(const Record&)) {
    Json list = Json::array();
    for (const std::string& name : library.names(kind)) {
        try {
            list.push_back(
                {{"name", name}, {"title", title_of(load(library.find_name(kind, name), library).record)}, {"good", true}});
        } catch (const InputError&) {
            list.push_back({{"name", name}, {"title", name}, {"good", false}});
        }
    }
    return list;
}

/// Tuned ones of the book whose names no profile has; their titles are alike, so that the name stands beside.
void add_tuned(Json& list, std::string_view kind, const std::vector<services::TunedVersion>& versions) {
    const auto is_listed = [&](const std::string& name) {
        return std::any_of(list.begin(), list.end(), [&](const Json& one) { return one.at("name") == name; });
    };
    for (const services::TunedVersion& version : versions)
        if (version.kind == kind && !is_listed(version.name))
            list.push_back(
                {{"name", version.name}, {"title", version.title + ": " + version.name}, {"good", true}, {"tuned", true}});
}

const std::string& or_id(const std::string& title, const std::string& id) { return title.empty() ? id : title; }
const std::string& shell_title(const profile::ShellProfile& one) { return or_id(one.shell.title, one.shell.id); }
const std::string& booth_title(const bake::Booth& one) { return or_id(one.title, one.id); }
const std::string& coating_title(const cure::Coating& one) { return or_id(one.title, one.id); }

/// How a thing may be answered: `answer`, `text`, and whether it blocks.
Json answers_of(const report::CheckedThing& thing) {
    using report::CheckAnswer;
    std::vector<CheckAnswer> answers{CheckAnswer::not_checked, CheckAnswer::out, CheckAnswer::aboard};
    if (thing.may_stay_by != CheckAnswer::aboard) answers.push_back(thing.may_stay_by);
    Json list = Json::array();
    for (const CheckAnswer answer : answers)
        list.push_back({{"answer", report::answer_name(answer)},
                        {"text", report::answer_text(answer)},
                        {"blocks", answer == CheckAnswer::aboard}});
    return list;
}

Json things() {
    Json list = Json::array();
    for (const report::CheckedThing& thing : report::checked_things())
        list.push_back({{"thing", thing.name}, {"title", thing.title}, {"why", thing.why}, {"answers", answers_of(thing)}});
    return list;
}

Json cautions() {
    Json list = Json::array();
    for (const report::Caution& caution : report::cautions())
        list.push_back({{"subject", caution.subject}, {"text", caution.text}});
    return list;
}

std::string_view units_name(const Units& units) {
    if (units.temperature == TemperatureUnit::kelvin) return "si";
    return units.temperature == TemperatureUnit::fahrenheit ? "us" : "metric";
}

}  // namespace

void add_shop_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/shop", [&context](const Asked&) {
        const profile::Library& library = context.library;
        Json shells = choices(library, profile::Kind::shell, profile::load_shell, shell_title);
        Json booths = choices(library, profile::Kind::booth, profile::load_booth, booth_title);
        if (std::optional<book::Book> book = context.book_if_any()) {
            const std::vector<services::TunedVersion> versions = services::tuned_versions(*book);
            add_tuned(shells, "shell", versions);
            add_tuned(booths, "booth", versions);
        }
        return json_answer("shop", {{"program_version", context.options.program_version},
                                    {"book", services::shown_path(context.options.book_path)},
                                    {"profiles_are_saved_in", context.options.user_profile_folder},
                                    {"units", units_name(context.options.units)},
                                    {"largest_upload_bytes", context.options.largest_upload_bytes},
                                    {"shells", std::move(shells)},
                                    {"coatings", choices(library, profile::Kind::coating, profile::load_coating, coating_title)},
                                    {"booths", std::move(booths)},
                                    {"checklist", things()},
                                    {"cautions", cautions()}});
    });
}

}  // namespace bakewright::page
