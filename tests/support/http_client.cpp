// SPDX-License-Identifier: Apache-2.0
#include "support/http_client.hpp"

#include <arpa/inet.h>
#include <sys/socket.h>
#include <sys/time.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <cstdio>
#include <stdexcept>

namespace bakewright::support {
namespace {

constexpr const char* kHeadEnd = "\r\n\r\n";

HttpAnswer answer_from(const std::string& head) {
    HttpAnswer answer;
    answer.status = head.starts_with("HTTP/1.1 ") ? std::stoi(head.substr(9, 3)) : 0;
    for (std::size_t at = head.find("\r\n"); at + 2 < head.size();) {
        const std::size_t end = std::min(head.find("\r\n", at + 2), head.size());
        const std::string line = head.substr(at + 2, end - at - 2);
        const std::size_t colon = std::min(line.find(": "), line.size());
        std::string name = line.substr(0, colon);
        std::transform(name.begin(), name.end(), name.begin(),
                       [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
        answer.fields.emplace_back(std::move(name), line.substr(std::min(colon + 2, line.size())));
        at = end;
    }
    return answer;
}

}  // namespace

std::string HttpAnswer::field(std::string_view name) const {
    const auto at = std::find_if(fields.begin(), fields.end(), [&](const auto& one) { return one.first == name; });
    return at == fields.end() ? std::string() : at->second;
}

std::size_t HttpAnswer::count(std::string_view name) const {
    return static_cast<std::size_t>(
        std::count_if(fields.begin(), fields.end(), [&](const auto& one) { return one.first == name; }));
}

Wire::Wire(int port) : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
    const timeval most{.tv_sec = 60, .tv_usec = 0};
    ::setsockopt(socket_, SOL_SOCKET, SO_RCVTIMEO, &most, sizeof most);
    sockaddr_in address{};
    address.sin_family = AF_INET;
    address.sin_port = htons(static_cast<std::uint16_t>(port));
    address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
    if (::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0) return;
    ::close(socket_);
    throw std::runtime_error("nobody listens at port " + std::to_string(port));
}

Wire::~Wire() { ::close(socket_); }

bool Wire::say(std::string_view text) const {
    while (!text.empty()) {
        const ssize_t count = ::send(socket_, text.data(), text.size(), MSG_NOSIGNAL);
        if (count <= 0) return false;
        text.remove_prefix(static_cast<std::size_t>(count));
    }
    return true;
}

void Wire::say_no_more() const { ::shutdown(socket_, SHUT_WR); }

bool Wire::read_on() {
    std::array<char, 65536> block{};
    const ssize_t count = ::recv(socket_, block.data(), block.size(), 0);
    if (count > 0) read_.append(block.data(), static_cast<std::size_t>(count));
    return count > 0;
}

std::optional<HttpAnswer> Wire::hear(bool without_body) {
    for (;;) {
        const std::size_t end = read_.find(kHeadEnd);
        if (end == std::string::npos) {
            if (!read_on()) return std::nullopt;
            continue;
        }
        HttpAnswer answer = answer_from(read_.substr(0, end));
        read_.erase(0, end + 4);
        if (answer.status >= 100 && answer.status < 200) continue;
        const std::size_t bytes =
            without_body || answer.count("content-length") == 0 ? 0 : std::stoul(answer.field("content-length"));
        while (read_.size() < bytes)
            if (!read_on()) return std::nullopt;
        answer.body = read_.substr(0, bytes);
        read_.erase(0, bytes);
        return answer;
    }
}

std::optional<std::string> Wire::hear_to(std::string_view mark) {
    for (;;) {
        const std::size_t at = read_.find(mark);
        if (at != std::string::npos) {
            std::string heard = read_.substr(0, at + mark.size());
            read_.erase(0, heard.size());
            return heard;
        }
        if (!read_on()) return std::nullopt;
    }
}

bool Wire::ends() {
    if (!read_.empty()) return false;
    char next = 0;
    return ::recv(socket_, &next, 1, 0) == 0;
}

std::string http_request(const std::string& method, const std::string& target, const HttpFields& fields,
                         const std::optional<std::string>& body) {
    std::string text = method + " " + target + " HTTP/1.1\r\n";
    for (const auto& [name, value] : fields) text += name + ": " + value + "\r\n";
    if (body) text += "Content-Length: " + std::to_string(body->size()) + "\r\n";
    return text + "\r\n" + body.value_or("");
}

std::string percent_encoded(std::string_view text) {
    std::string encoded;
    for (const char c : text) {
        if (std::isalnum(static_cast<unsigned char>(c)) != 0 || std::string_view("-._~").find(c) != std::string_view::npos) {
            encoded += c;
            continue;
        }
        std::array<char, 4> digits{};
        std::snprintf(digits.data(), digits.size(), "%%%02X", static_cast<unsigned>(static_cast<unsigned char>(c)));
        encoded += digits.data();
    }
    return encoded;
}

}  // namespace bakewright::support
