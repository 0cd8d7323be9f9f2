#pragma once

#include "bakewright/probe/merge_logs.hpp"
#include "bakewright/probe/read_log.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Adds the options that overrule how a log is read.
void describe_reading(Options& options);

/// What they say. @throws InputError that names the option
[[nodiscard]] probe::ReadOptions read_options(const Options& options);

/// "COLUMN=NAME" at the last '='. @throws InputError that names the option
[[nodiscard]] std::pair<std::string, std::string> assignment(const std::string& text, const std::string& option);

/// The options that were given, as a JSON object, to be kept beside the raw file: with it the file can be read the same way
/// again.
[[nodiscard]] std::string reading_options_json(const Options& options);

/// The options of the reading that were given and belong to the kind of file, not to one file: name without dashes, value.
[[nodiscard]] std::vector<std::pair<std::string, std::string>> given_reading_options(const Options& options);

/// The words of saved options, without those that the command gives itself.
[[nodiscard]] std::vector<std::string> saved_words(const std::vector<std::pair<std::string, std::string>>& saved,
                                                   const Options& options);

/// True where two such texts take the same lines of a file.
[[nodiscard]] bool same_part(const std::string& one_json, const std::string& other_json);

/// How two logs were put together, to be kept with the bake.
[[nodiscard]] std::string merge_json(const probe::LogAlignment& alignment);

}  // namespace bakewright::cli
