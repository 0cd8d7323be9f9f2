// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace bakewright::support {

using HttpFields = std::vector<std::pair<std::string, std::string>>;

struct HttpAnswer {
    int status = 0;
    HttpFields fields{};  ///< names in small letters
    std::string body{};

    [[nodiscard]] std::string field(std::string_view name) const;  ///< the first of that name; empty where there is none
    [[nodiscard]] std::size_t count(std::string_view name) const;
};

/// A connection to a port of this machine that speaks no more than it is told to. Waits for at most a minute.
class Wire {
public:
    /// @throws std::runtime_error where nobody listens
    explicit Wire(int port);
    ~Wire();
    Wire(const Wire&) = delete;
    Wire& operator=(const Wire&) = delete;

    bool say(std::string_view text) const;  ///< false where the other side is gone
    void say_no_more() const;               ///< and still listen
    /// The next answer, interim ones passed over; nothing where the connection ends first.
    [[nodiscard]] std::optional<HttpAnswer> hear(bool without_body = false);
    /// What goes on after an answer, up to and with `mark`; nothing where the connection ends before it.
    [[nodiscard]] std::optional<std::string> hear_to(std::string_view mark);
    /// Whether nothing more comes and the other side has closed.
    [[nodiscard]] bool ends();

private:
    [[nodiscard]] bool read_on();
    int socket_;
    std::string read_{};
};

/// A request as text; a body comes with its Content-Length.
[[nodiscard]] std::string http_request(const std::string& method, const std::string& target, const HttpFields& fields,
                                       const std::optional<std::string>& body = std::nullopt);

/// "a b" as "a%20b": anything but letters, digits and - . _ ~ (RFC 3986, 2.3).
[[nodiscard]] std::string percent_encoded(std::string_view text);

}  // namespace bakewright::support
