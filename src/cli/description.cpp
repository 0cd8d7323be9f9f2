// SPDX-License-Identifier: Apache-2.0
#include "description.hpp"

#include "bakewright/base/error.hpp"

namespace bakewright::cli {
namespace {

/// "book list|show [BAKE]" has list and show.
std::vector<std::string> verbs_in(const std::string& usage) {
    std::vector<std::string> verbs;
    const std::size_t bar = usage.find('|');
    if (bar == std::string::npos) return verbs;
    const std::size_t begin = usage.rfind(' ', bar) + 1;
    const std::string list = usage.substr(begin, usage.find(' ', bar) - begin);
    if (list.find_first_not_of("abcdefghijklmnopqrstuvwxyz|") != std::string::npos) return verbs;
    for (std::size_t from = 0; from <= list.size();) {
        const std::size_t to = std::min(list.find('|', from), list.size());
        verbs.push_back(list.substr(from, to - from));
        from = to + 1;
    }
    return verbs;
}

}  // namespace

CommandDescription describe(const Command& command) {
    try {
        command.run({std::string(kDescribe)});
    } catch (CommandDescription& description) {
        description.verbs = verbs_in(description.usage);
        return description;
    }
    ensure(false, "every command reads its words by Options");
    return {};
}

}  // namespace bakewright::cli
