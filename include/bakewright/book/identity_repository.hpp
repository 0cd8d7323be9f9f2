// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// What a history belongs to. A shop builds several vehicles on one shell: what they are called does not make them one.
struct Vehicle {
    std::string uid{};           ///< 32 hexadecimal digits, the same in every book
    std::string shell{};         ///< the name its history goes by here
    std::string job_number{};    ///< the shop's; may be empty
    std::string maker_number{};  ///< the maker's, such as the one on its plate; may be empty
};

/// A book and where it is kept.
struct Site {
    std::string book_uid{};
    std::string name{};  ///< what the shop calls it
};

/// Vehicles and sites. Every call may throw BookError.
class IdentityRepository {
public:
    explicit IdentityRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// By the names their histories go by.
    [[nodiscard]] std::vector<Vehicle> vehicles() const;
    /// Of the history of that name; nothing where there is none.
    [[nodiscard]] std::optional<Vehicle> vehicle(std::string_view shell) const;
    /// @throws InputError where there is no such history, or another vehicle has one of these numbers
    void set_numbers(std::string_view shell, std::string_view job_number, std::string_view maker_number);

    /// Of this book and of those that were merged, as far as they were named.
    [[nodiscard]] std::vector<Site> sites() const;
    /// Names the place where this book is kept.
    void set_site(std::string_view name);
    /// The book that a bake was first kept in, with its site where that has a name; nothing where the journal does not tell.
    [[nodiscard]] std::optional<Site> origin_of(BakeId bake) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
