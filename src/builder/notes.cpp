// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include "bakewright/base/error.hpp"
#include "bakewright/builder/questions.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/read.hpp"

/// What is said of a profile beside its numbers.
namespace bakewright::builder {
namespace {

using profile::Kind;

constexpr const char* kAsMade =
    "answers: they are as this was made, and would make another by now; what stands in the profile counts";

/// Whether the answers make this record still: what its text says, not how.
template <class Record>
bool holds(Kind kind, const std::string& id, const Record& record, const Answers& answers, const profile::Library& library,
           const Record Built::*made) {
    try {
        return build(kind, id, answers, library).*made == record;
    } catch (const NotUnderstood&) {
        return false;  // somebody wrote into the answers
    } catch (const InputError&) {
        return false;
    }
}

bool answers_hold(Kind kind, const std::string& text, const std::string& id, const profile::Library& library) {
    const std::string file = id + ".toml";
    switch (kind) {
        case Kind::shell: {
            const profile::Located<profile::ShellProfile> read = profile::read_shell(text, file, library);
            return !read.problems.empty() || read.record.shell.answers.empty() ||
                   holds(kind, read.record.shell.id, read.record, read.record.shell.answers, library, &Built::shell);
        }
        case Kind::booth: {
            profile::Located<bake::Booth> read = profile::read_booth(text, file);
            return !read.problems.empty() || read.record.answers.empty() ||
                   holds(kind, read.record.id, read.record, read.record.answers, library, &Built::booth);
        }
        case Kind::coating: {
            const profile::Located<cure::Coating> read = profile::read_coating(text, file);
            return !read.problems.empty() || read.record.answers.empty() ||
                   holds(kind, read.record.id, read.record, read.record.answers, library, &Built::coating);
        }
        default:
            return true;
    }
}

}  // namespace

std::vector<std::string> notes_on(Kind kind, const std::string& text, const std::string& id, const profile::Library& library) {
    std::vector<std::string> notes;
    if (kind == Kind::shell)
        if (const auto read = profile::read_shell(text, id + ".toml", library); read.problems.empty())
            for (const Doubt& doubt : doubts_in(read.record))
                notes.push_back(fmt::format("CHECK: {} ({})", doubt.question, doubt.key));
    if (!answers_hold(kind, text, id, library)) notes.emplace_back(kAsMade);
    return notes;
}

}  // namespace bakewright::builder
