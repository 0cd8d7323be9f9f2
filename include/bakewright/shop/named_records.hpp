#pragma once

#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"

namespace bakewright::shop {

/// Where a shell or booth is looked up by its name: in the profiles, then in the book (such as a tuned one; the newest of its
/// name counts). Refers to the caller's library.
struct RecordSources {
    const profile::Library& library;
    std::string book_path;    ///< need not exist
    bool takes_paths = true;  ///< false: names alone, so that nobody makes the program read other files
};

/// @throws InputError where neither has it, or for a profile with mistakes: that is never passed over for one of the book
[[nodiscard]] profile::Located<profile::ShellProfile> find_shell(const RecordSources& sources, const std::string& name);
[[nodiscard]] profile::Located<bake::Booth> find_booth(const RecordSources& sources, const std::string& name);

}  // namespace bakewright::shop
