// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "bakewright/profile/kind.hpp"

namespace bakewright::services {

/// What the shop works on just now, so that commands need not be told each time. Kept in a file beside the book.
struct JobAtHand {
    std::string shell{}, booth{}, coating{};  ///< names of profiles, or of records of the book; empty: not set

    [[nodiscard]] bool is_empty() const noexcept { return shell.empty() && booth.empty() && coating.empty(); }
    /// Of "shell", "booth" or "coating"; empty for any other word.
    [[nodiscard]] std::string of(const std::string& option) const;
    bool operator==(const JobAtHand&) const = default;
};

/// Where the job is kept: the book's path with ".job.json" behind it.
[[nodiscard]] std::string job_path(const std::string& book_path);

/// The job that is set; an empty one where there is none. @throws InputError where the file is not what set_job() writes
[[nodiscard]] JobAtHand job_at_hand(const std::string& book_path);
/// @throws FileError
void set_job(const std::string& book_path, const JobAtHand& job);

}  // namespace bakewright::services
