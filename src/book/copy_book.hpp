// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <mutex>
#include <optional>

#include "bakewright/base/files.hpp"
#include "connection.hpp"

namespace bakewright::book {

/// A book that is being made, in a folder of its own beside the name it will have: nobody meets a book half made. What an earlier
/// process left there is swept away. One at a time in a process.
class BookInMaking {
public:
    /// @param file  absolute; the name it will have. @throws BookError where its folder cannot be written
    explicit BookInMaking(std::filesystem::path file);
    ~BookInMaking();
    BookInMaking(const BookInMaking&) = delete;
    BookInMaking& operator=(const BookInMaking&) = delete;

    [[nodiscard]] const std::filesystem::path& at() const noexcept { return at_; }
    /// Closed and whole, it takes its name. @return false where a file has the name already; nothing is overwritten
    /// @throws BookError
    [[nodiscard]] bool take_name();

private:
    std::unique_lock<std::mutex> alone_;
    std::filesystem::path file_, folder_, at_;
    std::optional<UnfinishedMark> mark_;
};

/// back_up() for a connection whose schema may be an older one.
void copy_book(Connection& connection, const std::filesystem::path& copy);

}  // namespace bakewright::book
