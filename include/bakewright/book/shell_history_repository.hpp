// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/book/book.hpp"
#include "bakewright/book/ids.hpp"

namespace bakewright::book {

/// True for exactly "YYYY-MM-DDThh:mm:ss" by the shop's clock: sorts as text and has no zone.
[[nodiscard]] bool is_local_timestamp(std::string_view text) noexcept;

/// A coat to be entered. Whether the zones are there and the coating is one is the caller's business: the book knows no physics.
struct NewCoat {
    std::string shell{};               ///< name of the shell whose history it belongs to; not empty
    std::string name{};                ///< "clear, group 1"; not empty
    DocumentId coating{};              ///< a stored document
    std::string applied_at{};          ///< is_local_timestamp()
    std::string over{};                ///< what it lies on; may be empty
    std::vector<std::string> zones{};  ///< at least one, each once
    std::string note{};
};

struct StoredCoat : NewCoat {
    CoatId id{};
    std::optional<std::string> sanded_at{};  ///< is_local_timestamp()
};

/// A bake of the book as a part of a shell's history. One bake may stand in the histories of several shells (panels baked
/// together).
struct HistoryEntry {
    std::string shell{};
    BakeId bake{};
    std::string began_at{};            ///< is_local_timestamp()
    std::vector<std::string> zones{};  ///< that took part; empty: all
    std::vector<std::string> items{};  ///< heat-sensitive items aboard
};

/// Coats and bakes by shell. Every call may throw BookError.
class ShellHistoryRepository {
public:
    explicit ShellHistoryRepository(Book& book) noexcept : connection_(&book.connection()) {}

    /// @throws PromiseError where a coat is not as described; InputError where its coating is not there
    CoatId add_coat(const NewCoat& coat);
    /// In the order they were sprayed.
    [[nodiscard]] std::vector<StoredCoat> coats(std::string_view shell) const;
    /// @throws InputError where there is no such coat
    [[nodiscard]] StoredCoat coat(CoatId id) const;
    /// @throws InputError where there is no such coat
    void set_sanded(CoatId id, std::string_view sanded_at);
    /// Removes a coat, and its coating where nothing else uses it. @throws InputError where there is no such coat
    void remove_coat(CoatId id);

    /// @throws InputError where the bake is not there or stands in this history already
    void add_bake(const HistoryEntry& entry);
    /// In the order they began.
    [[nodiscard]] std::vector<HistoryEntry> bakes(std::string_view shell) const;
    /// Takes a bake out of a history; the bake itself stays in the book. @throws InputError where it is not in it
    void remove_bake(std::string_view shell, BakeId bake);

    /// Every shell that has a coat or a bake here, by name.
    [[nodiscard]] std::vector<std::string> shells() const;
    /// The shells in whose histories a bake stands.
    [[nodiscard]] std::vector<std::string> shells_with(BakeId bake) const;

private:
    Connection* connection_;
};

}  // namespace bakewright::book
