// SPDX-License-Identifier: Apache-2.0
#include "certificate.hpp"

#include <doctest/doctest.h>
#include <unistd.h>

#include <filesystem>
#include <fstream>

#include "bakewright/base/error.hpp"

using namespace bakewright::page;
using bakewright::InputError;

namespace {

/// Files that are there for as long as it lives.
class Files {
public:
    Files() { std::filesystem::create_directories(folder_); }
    ~Files() { std::filesystem::remove_all(folder_); }
    Files(const Files&) = delete;
    Files& operator=(const Files&) = delete;
    [[nodiscard]] std::string with(const std::string& name, const std::string& text) const {
        std::ofstream(folder_ / name) << text;
        return (folder_ / name).string();
    }

private:
    std::filesystem::path folder_ =
        std::filesystem::temp_directory_path() / ("bakewright-certificate-" + std::to_string(::getpid()));
};

}  // namespace

TEST_CASE("a certificate that is made has its key and a fingerprint, another one each time") {
    const Certificate one = self_signed_certificate("0.0.0.0"), other = self_signed_certificate("[::1]");
    CHECK(one.fingerprint.size() == 95);  // 32 bytes as two digits each, with colons between
    CHECK(one.fingerprint.find_first_not_of("0123456789ABCDEF:") == std::string::npos);
    CHECK(one.fingerprint != other.fingerprint);
    const Files files;
    const std::string certificate = files.with("c.pem", one.chain_pem), key = files.with("k.pem", one.key_pem);
    CHECK(read_certificate(certificate, key).fingerprint == one.fingerprint);
    CHECK_THROWS_WITH_AS(static_cast<void>(read_certificate(certificate, files.with("o.pem", other.key_pem))),
                         doctest::Contains("is not the key of the certificate"), InputError);
}

TEST_CASE("a host with what would end a name in a certificate is left out of it") {
    CHECK_NOTHROW(static_cast<void>(self_signed_certificate("a,IP:1.2.3.4")));
}

TEST_CASE("files that hold no certificate or key are named") {
    const Certificate made = self_signed_certificate("127.0.0.1");
    const Files files;
    const std::string certificate = files.with("c.pem", made.chain_pem), key = files.with("k.pem", made.key_pem);
    const std::string nothing = files.with("n.pem", "nothing");
    CHECK_THROWS_WITH_AS(static_cast<void>(read_certificate(nothing, key)), doctest::Contains("holds no certificate"),
                         InputError);
    CHECK_THROWS_WITH_AS(static_cast<void>(read_certificate(certificate, nothing)), doctest::Contains("holds no private key"),
                         InputError);
    CHECK_THROWS_AS(static_cast<void>(read_certificate(certificate + ".none", key)), InputError);
}
