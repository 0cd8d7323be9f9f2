// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/hash.hpp"

#include <openssl/evp.h>

#include <array>

#include "bakewright/base/error.hpp"

namespace bakewright::book {

struct Sha256::State {
    EVP_MD_CTX* context = EVP_MD_CTX_new();

    State() = default;
    State(const State&) = delete;
    State& operator=(const State&) = delete;
    ~State() { EVP_MD_CTX_free(context); }
};

Sha256::Sha256() : state_(std::make_unique<State>()) {
    ensure(state_->context != nullptr && EVP_DigestInit_ex(state_->context, EVP_sha256(), nullptr) == 1, "SHA-256 is available");
}

Sha256::~Sha256() = default;
Sha256::Sha256(Sha256&&) noexcept = default;
Sha256& Sha256::operator=(Sha256&&) noexcept = default;

void Sha256::update(std::string_view bytes) {
    ensure(EVP_DigestUpdate(state_->context, bytes.data(), bytes.size()) == 1, "SHA-256 takes every byte");
}

std::string Sha256::hex() {
    std::array<unsigned char, EVP_MAX_MD_SIZE> digest{};
    unsigned int size = 0;
    ensure(EVP_DigestFinal_ex(state_->context, digest.data(), &size) == 1 && size == 32, "SHA-256 has 32 bytes");
    constexpr std::string_view kDigits = "0123456789abcdef";
    std::string text;
    for (unsigned int i = 0; i < size; ++i) {
        text += kDigits[digest[i] >> 4U];
        text += kDigits[digest[i] & 15U];
    }
    return text;
}

std::string sha256_hex(std::string_view bytes) {
    Sha256 hash;
    hash.update(bytes);
    return hash.hex();
}

}  // namespace bakewright::book
