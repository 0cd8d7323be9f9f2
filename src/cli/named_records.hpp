#pragma once

#include <string>

#include "bakewright/bake/booth.hpp"
#include "bakewright/profile/located.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "options.hpp"

namespace bakewright::cli {

/// The shell or booth of an option: a profile's name or file, or else one of that name kept in the book (such as a tuned one; the
/// newest counts). @throws InputError where neither has it
[[nodiscard]] profile::Located<profile::ShellProfile> shell_of(const Options& options, const char* option = "shell");
[[nodiscard]] profile::Located<bake::Booth> booth_of(const Options& options, const char* option = "booth");
/// The booth that is named, or else the one a bake was kept with. @param remedy  what to do where there is neither
[[nodiscard]] bake::Booth booth_for(const Options& options, const shop::StoredBake& bake, const char* remedy);

}  // namespace bakewright::cli
