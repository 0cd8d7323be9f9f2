// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "command.hpp"

namespace bakewright::cli {

/// One option, as the help of its command tells it.
struct OptionDescription {
    std::string name;    ///< "shell", without dashes
    char letter = '\0';  ///< of its short form
    std::string value;   ///< what stands for its value: "NAME"; empty for a flag
    std::string text;
    bool repeats = false;  ///< may be given more than once
};

/// What one command takes.
struct CommandDescription {
    std::string usage;
    std::string about;
    std::vector<OptionDescription> own;
    std::vector<OptionDescription> common;  ///< of every command
    std::vector<std::string> verbs;         ///< "list", "show": the words that may follow the command's own name
};

/// The one word that makes Options::read() throw a CommandDescription in place of reading.
inline constexpr std::string_view kDescribe = "--describe-options";

/// Every command of the program.
[[nodiscard]] std::span<const Command> commands() noexcept;

/// What a command would read.
[[nodiscard]] CommandDescription describe(const Command& command);

/// A script that completes commands and options as one types: for "bash" or "zsh".
[[nodiscard]] std::string completion_script(std::string_view shell);

/// The manual page, section 1, as man(7) source.
[[nodiscard]] std::string manual_page();

int run_completion(const std::vector<std::string>& words);
int run_manual(const std::vector<std::string>& words);

}  // namespace bakewright::cli
