// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/builder/build.hpp"
#include "bakewright/profile/kind.hpp"

namespace bakewright::builder {

/// One question to a painter.
struct Question {
    std::string key{};    ///< of its answer and its option: "sides"
    std::string asks{};   ///< "What are the sides made of, and how thick?"
    std::string help{};   ///< examples of answers
    std::string usual{};  ///< what is taken where nothing is answered; empty: left open, or needed
    bool is_needed = false;
    std::vector<std::string> words{};  ///< answers to pick from; others may be understood as well
    std::string example{};             ///< of a question that is needed: an answer that is understood
};

/// The questions that matter, in order, as the answers so far have it: whoever has no cab is not asked about it.
/// @param kind  shell, booth or coating
[[nodiscard]] std::vector<Question> questions_of(profile::Kind kind, const Answers& so_far);
/// Every question of a kind, whatever the answers.
[[nodiscard]] std::vector<Question> all_questions(profile::Kind kind);

/// These answers, with examples for those that are needed and not there yet: so that each can be looked at before all are given.
[[nodiscard]] Answers with_examples(profile::Kind kind, Answers answers);

/// Makes what a kind asks for. @throws as build_shell() and its kin
[[nodiscard]] Built build(profile::Kind kind, const std::string& id, const Answers& answers, const profile::Library& library);

/// A name for a file from a title: "Outreach van 3" as "outreach_van_3".
[[nodiscard]] std::string name_from(std::string_view title);

}  // namespace bakewright::builder
