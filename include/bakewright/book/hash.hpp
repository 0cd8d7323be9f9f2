// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <memory>
#include <string>
#include <string_view>

namespace bakewright::book {

/// SHA-256 of bytes, as 64 lower-case hexadecimal digits. Source: FIPS 180-4.
[[nodiscard]] std::string sha256_hex(std::string_view bytes);

/// The same hash of bytes that arrive in pieces. After hex() it is spent.
class Sha256 {
public:
    Sha256();
    ~Sha256();
    Sha256(Sha256&&) noexcept;
    Sha256& operator=(Sha256&&) noexcept;

    void update(std::string_view bytes);
    [[nodiscard]] std::string hex();

private:
    struct State;
    std::unique_ptr<State> state_;
};

}  // namespace bakewright::book
