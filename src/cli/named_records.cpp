#include "named_records.hpp"

#include <fmt/core.h>

#include "bakewright/shop/named_records.hpp"

namespace bakewright::cli {

profile::Located<profile::ShellProfile> shell_of(const Options& options, const char* option) {
    const profile::Library library = options.library();
    return find_shell({library, options.book_path()}, options.text(option));
}

profile::Located<bake::Booth> booth_of(const Options& options, const char* option) {
    const profile::Library library = options.library();
    return find_booth({library, options.book_path()}, options.text(option));
}

bake::Booth booth_for(const Options& options, const shop::StoredBake& bake, const char* remedy) {
    if (options.has("booth")) return booth_of(options).record;
    if (bake.booth) return *bake.booth;
    wrong_option("--booth", fmt::format("is missing: the bake was kept without a booth; {}", remedy));
}

}  // namespace bakewright::cli
