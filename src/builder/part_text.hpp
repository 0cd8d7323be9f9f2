// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/builder/parts.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::builder {

/// A shell's text as it was read, without problems.
using ReadShell = profile::Located<profile::ShellProfile>;
/// @throws InputError with every problem
[[nodiscard]] ReadShell read_good_shell(const std::string& text, const profile::Library& library);
/// "zone[2]" of a part. @throws InputError where there is none
[[nodiscard]] std::size_t index_of_part(const bake::Shell& shell, const std::string& name);

[[nodiscard]] std::string title_of(const bake::Zone& zone);
/// Values of ShellParts::behinds and finishes that a part has now.
[[nodiscard]] std::string behind_of(const bake::Zone& zone);
[[nodiscard]] std::string finish_of(const bake::Zone& zone);
[[nodiscard]] LayerWords words_of_layer(const ReadShell& read, std::size_t part, std::size_t layer);

/// What is said of a part, by the keys of its form, and how it was read.
class PartSaid {
public:
    explicit PartSaid(const Answers& said) : said_(&said) {}

    /// Without blanks round it; nothing where it is not said.
    [[nodiscard]] std::optional<std::string> said(const std::string& key) const {
        const auto found = said_->find(key);
        if (found == said_->end()) return std::nullopt;
        const std::size_t begin = found->second.find_first_not_of(" \t"), end = found->second.find_last_not_of(" \t");
        return begin == std::string::npos ? std::string() : found->second.substr(begin, end - begin + 1);
    }
    /// What it does not understand is told with the key.
    template <class Read>
    static auto hear(const std::string& key, Read read) {
        try {
            return read();
        } catch (const NotUnderstood& reason) {
            throw AnswerNotUnderstood(key, reason);
        }
    }
    [[noreturn]] static void ask(const std::string& key, const std::string& question) {
        throw AnswerNotUnderstood(key, NotUnderstood(question));
    }
    void tell(const std::string& key, std::string words) { understood_.push_back({key, std::move(words)}); }
    [[nodiscard]] const std::vector<Understood>& understood() const noexcept { return understood_; }

private:
    const Answers* said_;
    std::vector<Understood> understood_{};
};

/// The text with the joints of a part as they are said; heat paths that follow from its sheets follow them.
/// @param before  the shell before anything was said of the part
[[nodiscard]] std::string with_joints_said(std::string text, const bake::Shell& before, const std::string& part, PartSaid& said,
                                           const profile::Library& library);

/// The text with a part's places as they are said: `place[i].side`, `.from`, `.to`, `.low`, `.high`. Its height, its length along
/// the air and an area that follows from the sizes go with them.
[[nodiscard]] std::string with_places_said(std::string text, const bake::Shell& before, std::size_t part, PartSaid& said);
/// A length from an end of the shell [m]. @throws AnswerNotUnderstood for one that is beyond it
[[nodiscard]] double heard_extent_m(const std::string& key, const std::string& text, double most_m);

/// The word for a layer of air.
inline constexpr const char* kGapWord = "gap";

}  // namespace bakewright::builder
