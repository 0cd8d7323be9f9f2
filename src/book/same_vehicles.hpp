// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <filesystem>
#include <map>
#include <string>
#include <vector>

#include "aggregate.hpp"
#include "bakewright/book/identity_repository.hpp"

namespace bakewright::book {

/// Which vehicle of another book is which one here, and under what name its history goes here.
class SameVehicles {
public:
    struct One {
        Vehicle there;
        std::string here;         ///< the name its history has here, or gets
        std::string uid_here;     ///< of the vehicle here; empty: it comes in
        bool is_renamed = false;  ///< the name is another vehicle's here, and nothing says that the two are one
    };

    /// The same are vehicles with one uid, job number or maker's number; and those of one name of which both books know the same
    /// coat (name, moment, coating) or the same bake. What they are called makes no two of them one.
    SameVehicles(Book& book, Book& other);

    [[nodiscard]] const std::vector<One>& all() const noexcept { return all_; }
    /// Any of them has another name here than there.
    [[nodiscard]] bool any_other_name() const;
    /// A coat or an entry of a history as it is called here; anything else as it is.
    [[nodiscard]] Aggregate here(Aggregate there) const;
    /// Gives the histories of a copy of the other book the names that they have here.
    void rename_in(const std::filesystem::path& copy) const;

private:
    void place(const Vehicle& there, const std::vector<Vehicle>& known);

    std::vector<One> all_;
    std::map<std::string, std::string> names_;  ///< there, here
    std::vector<std::string> proofs_here_, proofs_there_;
};

}  // namespace bakewright::book
