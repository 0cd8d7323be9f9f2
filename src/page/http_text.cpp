// SPDX-License-Identifier: Apache-2.0
#include "http_text.hpp"

#include <fmt/core.h>

#include <algorithm>
#include <array>

#include "answers.hpp"

namespace bakewright::page {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 6> kEveryAnswer = {{
    {"Content-Security-Policy",
     "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; "
     "form-action 'none'; frame-ancestors 'none'"},
    {"X-Content-Type-Options", "nosniff"},
    {"Referrer-Policy", "no-referrer"},
    {"Cross-Origin-Opener-Policy", "same-origin"},
    {"Cross-Origin-Resource-Policy", "same-origin"},
    {"Cache-Control", "no-store"},
}};

/// RFC 9110, section 15; RFC 6585 for 431. A client reads the number alone.
std::string_view reason(int status) {
    constexpr std::array<std::pair<int, std::string_view>, 14> kReasons = {{{200, "OK"},
                                                                            {303, "See Other"},
                                                                            {400, "Bad Request"},
                                                                            {403, "Forbidden"},
                                                                            {404, "Not Found"},
                                                                            {405, "Method Not Allowed"},
                                                                            {408, "Request Timeout"},
                                                                            {409, "Conflict"},
                                                                            {411, "Length Required"},
                                                                            {413, "Content Too Large"},
                                                                            {415, "Unsupported Media Type"},
                                                                            {431, "Request Header Fields Too Large"},
                                                                            {500, "Internal Server Error"},
                                                                            {503, "Service Unavailable"}}};
    const auto* at = std::find_if(kReasons.begin(), kReasons.end(), [&](const auto& one) { return one.first == status; });
    return at == kReasons.end() ? std::string_view("Answer") : at->second;
}

}  // namespace

std::size_t Head::count(std::string_view name) const {
    return static_cast<std::size_t>(
        std::count_if(fields.begin(), fields.end(), [&](const auto& one) { return one.first == name; }));
}

std::string Head::field(std::string_view name) const {
    const auto at = std::find_if(fields.begin(), fields.end(), [&](const auto& one) { return one.first == name; });
    return at == fields.end() ? std::string() : at->second;
}

std::string head_text(const Answer& answer, bool closes) {
    std::string head = fmt::format("HTTP/1.1 {} {}\r\nContent-Type: {}\r\n", answer.status, reason(answer.status), answer.type);
    if (!answer.more) head += fmt::format("Content-Length: {}\r\n", answer.text.size());  // else it ends with the connection
    head += fmt::format("Connection: {}\r\n", closes || answer.more ? "close" : "keep-alive");
    for (const auto& [name, value] : kEveryAnswer)
        if (!answer.headers.contains(std::string(name))) head += fmt::format("{}: {}\r\n", name, value);
    for (const auto& [name, value] : answer.headers) head += fmt::format("{}: {}\r\n", name, value);
    return head + "\r\n";
}

Answer plain_answer(int status, std::string_view words) {
    return {.status = status, .type = "text/plain; charset=utf-8", .text = std::string(words) + "\n"};
}

Answer busy_answer(std::string_view words) {
    Answer answer = problem_answer(503, std::string(words));
    answer.headers["Retry-After"] = "1";
    return answer;
}

}  // namespace bakewright::page
