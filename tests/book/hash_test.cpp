// SPDX-License-Identifier: Apache-2.0
#include "bakewright/book/hash.hpp"

#include <doctest/doctest.h>

#include <string>

using namespace bakewright::book;

TEST_CASE("SHA-256 gives the published digests") {
    // Source: NIST, Cryptographic Standards and Guidelines, Examples with Intermediate Values, SHA-256 (one block, two blocks);
    // the empty message and the million letters a: NIST CAVP and FIPS 180-2 appendix B.3.
    CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    CHECK(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
          "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
    CHECK(sha256_hex(std::string(1000000, 'a')) == "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

TEST_CASE("a hash in pieces is the hash of the whole") {
    Sha256 hash;
    hash.update("a");
    hash.update("");
    hash.update("bc");
    CHECK(hash.hex() == sha256_hex("abc"));
}
