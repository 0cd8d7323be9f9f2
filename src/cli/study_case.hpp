// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <map>
#include <memory>
#include <mutex>
#include <string>
#include <string_view>

#include "bakewright/bake/cycle.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/report/json.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// Answers the cases of a study: each a bake to plan, to try at one set point and hold, or to predict by a cycle, as one object
/// of JSON whose keys are options of `plan` (docs/studies.md). No book, and nothing kept from one case for another but profiles
/// that were read. Several threads may ask at a time.
class StudyCases {
public:
    /// @param is_whole  answers hold the whole verdict
    StudyCases(profile::Library library, bool is_whole) : library_(std::move(library)), is_whole_(is_whole) {}

    /// One answer. What is wrong with the case is an answer too: its key "error".
    /// @param text  of the case; @param line  its number in the study, 1 for the first
    [[nodiscard]] report::Json answer(std::string_view text, std::size_t line) const;

private:
    using Changes = std::map<std::string, std::string>;  ///< values as TOML, by key path within the profile

    [[nodiscard]] report::Json result(const report::Json& asked) const;
    [[nodiscard]] report::Json planned(const Options& options, const report::Json& asked) const;
    [[nodiscard]] report::Json predicted(const Options& options, const report::Json& asked) const;
    void tell(report::Json& found, const cure::BakeVerdict& verdict) const;

    template <class Record, class Read>
    [[nodiscard]] std::shared_ptr<const Record> record_of(profile::Kind kind, const Options& options, const report::Json& asked,
                                                          Read read) const;
    [[nodiscard]] std::shared_ptr<const profile::ShellProfile> shell_of_case(const Options& options,
                                                                             const report::Json& asked) const;
    [[nodiscard]] std::shared_ptr<const bake::Booth> booth_of_case(const Options& options, const report::Json& asked) const;
    [[nodiscard]] std::shared_ptr<const cure::Coating> coating_of_case(const Options& options, const report::Json& asked) const;

    profile::Library library_;
    bool is_whole_ = false;
    mutable std::mutex mutex_;
    mutable std::map<std::string, std::shared_ptr<const void>> read_;  ///< records, by kind, name and changes
};

}  // namespace bakewright::cli
