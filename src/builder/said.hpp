// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <exception>
#include <string>
#include <string_view>
#include <utility>

#include "bakewright/builder/build.hpp"
#include "bakewright/builder/questions.hpp"

namespace bakewright::builder {

/// The answers to one set of questions, with the usual answer where none was given.
class Said {
public:
    Said(profile::Kind kind, const Answers& answers, Built& built)
        : questions_(questions_of(kind, answers)), answers_(&answers), built_(&built) {}

    /// Whether it was answered at all, other than by "-".
    [[nodiscard]] bool is_said(std::string_view key) const {
        const auto found = answers_->find(std::string(key));
        return found != answers_->end() && found->second != "-";
    }
    /// The answer, the usual one, or nothing. @throws InputError where it is needed and missing
    [[nodiscard]] std::string text(std::string_view key) const;
    /// Whether its plain words begin with one of these, or hold it as a word.
    [[nodiscard]] bool says(std::string_view key, std::initializer_list<std::string_view> words) const;

    /// Reads an answer. @param read  of its text; what it does not understand is told with the key
    template <class Read>
    auto hear(std::string_view key, Read read) const {
        try {
            return read(text(key));
        } catch (const NotUnderstood& reason) {
            throw AnswerNotUnderstood(std::string(key), reason);
        }
    }
    [[nodiscard]] Heard quantity(std::string_view key, const Expected& expected) const {
        return hear(key, [&](const std::string& said) { return heard(said, expected); });
    }
    void tell(std::string_view key, std::string said) const {
        if (is_said(key)) built_->understood.push_back({std::string(key), std::move(said)});
    }
    void doubt(std::string_view key, std::string question) const {
        built_->doubts.push_back({std::string(key), std::move(question)});
    }
    [[noreturn]] static void refuse(std::string_view key, const std::string& message, std::string meant = {}) {
        throw AnswerNotUnderstood(std::string(key), NotUnderstood(message, std::move(meant)));
    }

private:
    std::vector<Question> questions_;
    const Answers* answers_;
    Built* built_;
};

}  // namespace bakewright::builder
