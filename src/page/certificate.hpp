// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace bakewright::page {

/// What a server shows that it is who it says, and the key to it.
struct Certificate {
    std::string chain_pem;  ///< the server's own first
    std::string key_pem;
    std::string fingerprint;  ///< SHA-256 of the server's own, as browsers show it: "A1:B2:..."
};

/// @throws InputError that names --certificate or --key where a file is not PEM, the key has a pass phrase or is another's
[[nodiscard]] Certificate read_certificate(const std::string& certificate_file, const std::string& key_file);

/// One for this run, on the curve P-256, good from yesterday for 90 days, that names the host, this machine and the loopback
/// addresses. Nobody vouches for it: a browser warns, and whoever opens the page compares the fingerprint.
[[nodiscard]] Certificate self_signed_certificate(const std::string& host);

}  // namespace bakewright::page
