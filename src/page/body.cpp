// SPDX-License-Identifier: Apache-2.0
#include "body.hpp"

#include <fmt/core.h>

#include <cmath>

#include "bakewright/base/error.hpp"

namespace bakewright::page {
namespace {

constexpr int kDeepest = 16;
constexpr std::size_t kLongestTextBytes = 4096;

[[noreturn]] void refuse(const std::string& key, const std::string& message) { throw InputError(Problem{{}, 0, key, message}); }

std::string text_in(const nlohmann::json& value, const std::string& key, std::size_t longest) {
    if (!value.is_string()) refuse(key, fmt::format("is {}, a text is wanted", value.type_name()));
    std::string text = value.get<std::string>();
    if (text.size() > longest) refuse(key, fmt::format("has {} bytes, at most {} are accepted", text.size(), longest));
    return text;
}

double number_in(const nlohmann::json& value, const char* key, double least, double most) {
    if (!value.is_number()) refuse(key, fmt::format("is {}, a number is wanted", value.type_name()));
    const double number = value.get<double>();
    if (!(number >= least && number <= most)) refuse(key, fmt::format("is {}, accepted is {} to {}", number, least, most));
    return number;
}

}  // namespace

Body::Body(std::string_view text) {
    const auto deep = [](int depth, nlohmann::json::parse_event_t, nlohmann::json&) {
        if (depth > kDeepest) refuse({}, fmt::format("is nested deeper than {} levels", kDeepest));
        return true;
    };
    try {
        json_ = nlohmann::json::parse(text, deep);
    } catch (const nlohmann::json::exception& error) {
        refuse({}, fmt::format("the request is not JSON: {}", error.what()));
    }
    if (!json_.is_object()) refuse({}, "the request is not a JSON object");
}

bool Body::has(const char* key) const {
    const auto found = json_.find(key);
    return found != json_.end() && !found->is_null();
}

const nlohmann::json& Body::at(const char* key) const {
    if (!has(key)) refuse(key, "is missing");
    return *json_.find(key);
}

double Body::number(const char* key, double least, double most) const { return number_in(at(key), key, least, most); }

std::vector<double> Body::numbers(const char* key, double least, double most) const {
    std::vector<double> found;
    if (!has(key)) return found;
    if (!at(key).is_array()) refuse(key, fmt::format("is {}, a list of numbers is wanted", at(key).type_name()));
    for (const nlohmann::json& value : at(key)) found.push_back(number_in(value, key, least, most));
    return found;
}

std::optional<double> Body::maybe_number(const char* key, double least, double most) const {
    return has(key) ? std::optional(number(key, least, most)) : std::nullopt;
}

std::string Body::text(const char* key) const { return text_in(at(key), key, kLongestTextBytes); }

std::string Body::text_or(const char* key, const std::string& otherwise) const { return has(key) ? text(key) : otherwise; }

std::string Body::long_text(const char* key) const { return text_in(at(key), key, std::string::npos); }

namespace {

constexpr double kLargestNumber = 9e15;

std::string reference_in(const nlohmann::json& value, const char* key) {
    if (value.is_string()) return text_in(value, key, kLongestTextBytes);
    return fmt::format("{:.0f}", number_in(value, key, 1.0, kLargestNumber));
}

}  // namespace

std::string Body::reference(const char* key) const { return reference_in(at(key), key); }

std::vector<std::string> Body::references(const char* key) const {
    std::vector<std::string> found;
    if (!has(key)) return found;
    if (!at(key).is_array()) refuse(key, fmt::format("is {}, a list of bakes is wanted", at(key).type_name()));
    for (const nlohmann::json& value : at(key)) found.push_back(reference_in(value, key));
    return found;
}

std::vector<std::string> Body::texts(const char* key) const {
    std::vector<std::string> found;
    if (!has(key)) return found;
    if (!at(key).is_array()) refuse(key, fmt::format("is {}, a list of texts is wanted", at(key).type_name()));
    for (const nlohmann::json& value : at(key)) found.push_back(text_in(value, key, kLongestTextBytes));
    return found;
}

std::vector<std::pair<std::string, std::string>> Body::pairs(const char* key) const {
    std::vector<std::pair<std::string, std::string>> found;
    if (!has(key)) return found;
    if (!at(key).is_object()) refuse(key, fmt::format("is {}, an object of texts is wanted", at(key).type_name()));
    for (const auto& [name, value] : at(key).items()) {
        if (!value.is_array()) {
            found.emplace_back(name, text_in(value, name, kLongestTextBytes));
            continue;
        }
        for (const nlohmann::json& one : value) found.emplace_back(name, text_in(one, name, kLongestTextBytes));
    }
    return found;
}

bool Body::flag(const char* key) const {
    if (!has(key)) return false;
    if (!at(key).is_boolean()) refuse(key, fmt::format("is {}, true or false is wanted", at(key).type_name()));
    return at(key).get<bool>();
}

Units Body::units() const {
    const std::string name = text_or("units", "metric");
    if (const auto units = units_from_name(name)) return *units;
    refuse("units", fmt::format("'{}' is not metric, us or si", name));
}

std::string safe_name(const std::string& name) {
    constexpr std::string_view kLetters = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_-";
    if (name.empty() || name.size() > 60 || name.find_first_not_of(kLetters) != std::string::npos)
        throw InputError(Problem{{}, 0, "name", "accepts 1 to 60 letters a to z, digits, _ and -"});
    return name;
}

}  // namespace bakewright::page
