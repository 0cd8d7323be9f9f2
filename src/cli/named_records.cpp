#include "named_records.hpp"

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

}  // namespace bakewright::cli
