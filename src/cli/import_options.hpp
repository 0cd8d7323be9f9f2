#pragma once

#include "bakewright/shop/reading_options.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds the options that overrule how a log is read.
void describe_reading(Options& options);

/// Those that were given, in the order in which the shop area lists them.
[[nodiscard]] GivenOptions reading_options(const Options& options);

/// Those that belong to the kind of file, not to one file: name without dashes, value.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> given_reading_options(const Options& options);

/// The words of saved options, without those that the command gives itself.
[[nodiscard]] std::vector<std::string> saved_words(const std::vector<std::pair<std::string, std::string>>& saved,
                                                   const Options& options);

}  // namespace bakewright::cli
