#pragma once

#include <optional>
#include <string>
#include <vector>

#include "bakewright/bake/booth.hpp"
#include "bakewright/bake/cycle.hpp"
#include "bakewright/base/trace.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/book/book.hpp"
#include "bakewright/cure/coating.hpp"
#include "bakewright/probe/probe_record.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::shop {

/// A bake of the book with everything it was computed from, read back.
struct StoredBake {
    book::Bake record;
    TraceSet traces;
    std::optional<profile::ShellProfile> shell;
    std::optional<bake::Booth> booth;
    std::optional<bake::Cycle> cycle;
    std::optional<cure::Coating> coating;
    std::optional<probe::ProbeSet> probes;  ///< records of the probes of a log; their channels bear the names of the traces

    /// What to know before a word is trusted: rows that are not those the program stored, a reading that was replaced.
    std::vector<std::string> doubts;

    /// Limits of the shell's items; empty without a shell.
    [[nodiscard]] std::vector<cure::HeatSensitiveItem> item_limits() const;
    /// Coated zones of the shell; empty without one, which means all zones.
    [[nodiscard]] std::vector<std::string> coated_zones() const;
};

/// "12" or "#12". @throws InputError that names the option or word
[[nodiscard]] book::BakeId bake_id(const std::string& text, const std::string& what);

/// The same, or the uid of a bake or the first eight digits of it or more. @throws InputError where no bake has it
[[nodiscard]] book::BakeId bake_id(book::Book& book, const std::string& text, const std::string& what);

/// @throws InputError where there is no such bake; BookError where it is damaged
[[nodiscard]] StoredBake load_bake(book::Book& book, book::BakeId id);

/// Stores records as documents; the same content is stored once.
[[nodiscard]] book::DocumentId keep(book::Book& book, const profile::ShellProfile& shell);
[[nodiscard]] book::DocumentId keep(book::Book& book, const bake::Booth& booth);
[[nodiscard]] book::DocumentId keep(book::Book& book, const bake::Cycle& cycle);
[[nodiscard]] book::DocumentId keep(book::Book& book, const cure::Coating& coating);
[[nodiscard]] book::DocumentId keep(book::Book& book, const probe::ProbeSet& probes);

}  // namespace bakewright::shop
