#include "bakewright/shop/entered_text.hpp"

#include "bakewright/base/error.hpp"
#include "bakewright/profile/text_rules.hpp"

namespace bakewright::shop {

std::string entered_text(const std::string& option, std::string text) {
    return entered_text(option, std::move(text), profile::kLongestText);
}

std::string entered_text(const std::string& option, std::string text, std::size_t longest) {
    if (text.empty()) return text;
    if (std::string fault = profile::fault_of_text(text, longest); !fault.empty())
        throw InputError(Problem{{}, 0, option, std::move(fault)});
    return text;
}

}  // namespace bakewright::shop
