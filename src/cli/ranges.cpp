#include "ranges.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "options.hpp"

namespace bakewright::cli {
namespace {

double quantity_of(const std::string& text, Dimension dimension, const std::string& option) {
    try {
        return parse_quantity(text, dimension);
    } catch (const QuantityError& error) {
        wrong_option(option, error.what());
    }
}

bool is_bare_number(const std::string& text) { return text.find_first_not_of("0123456789.+- ") == std::string::npos; }

/// What follows the number in "90 min".
std::string unit_in(const std::string& text) {
    const std::size_t at = text.find_first_not_of("0123456789.+- ");
    return at == std::string::npos ? std::string() : " " + text.substr(at);
}

}  // namespace

std::pair<double, double> range_of(const std::string& text, Dimension dimension, const std::string& option) {
    const std::size_t at = text.find(" to ");
    if (at == std::string::npos) {
        const double value = quantity_of(text, dimension, option);
        return {value, value};
    }
    const std::string from = text.substr(0, at), to = text.substr(at + 4);
    const double high = quantity_of(to, dimension, option);
    const double low = quantity_of(is_bare_number(from) ? from + unit_in(to) : from, dimension, option);
    if (low > high) wrong_option(option, fmt::format("'{}' runs from the larger to the smaller", text));
    return {low, high};
}

plan::Step step_of(const std::string& text, const std::string& option) {
    const std::size_t at = text.find(',');
    if (at == std::string::npos)
        wrong_option(option, fmt::format("'{}' is not a set point and a time such as \"45 degC, 20 min\"", text));
    return {quantity_of(text.substr(0, at), Dimension::temperature, option),
            quantity_of(text.substr(at + 1), Dimension::time, option)};
}

std::vector<plan::Step> steps_of(const std::vector<std::string>& texts, const std::string& option) {
    std::vector<plan::Step> steps;
    for (const std::string& text : texts) steps.push_back(step_of(text, option));
    return steps;
}

std::vector<std::string> names_in(const std::vector<std::string>& lists) {
    std::vector<std::string> names;
    for (const std::string& list : lists)
        for (std::size_t begin = 0; begin <= list.size();) {
            const std::size_t end = std::min(list.find(',', begin), list.size());
            const std::size_t first = list.find_first_not_of(' ', begin);
            if (first < end) names.push_back(list.substr(first, list.find_last_not_of(' ', end - 1) - first + 1));
            begin = end + 1;
        }
    return names;
}

}  // namespace bakewright::cli
