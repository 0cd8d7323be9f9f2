// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <stdexcept>
#include <string>
#include <string_view>

namespace bakewright::codec {

/// Stored bytes that are not what was stored. Repositories turn it into a BookError that says whose they are.
class DamagedBytes : public std::runtime_error {
public:
    using std::runtime_error::runtime_error;
};

/// How hard to try: zstd's own default for packed samples; its quickest for the text of logs, of which that makes less in half
/// the time (3.1 MB of 40 real logs to 718 kB, by the default to 738 kB).
enum class Effort { usual, quick };

/// One zstd frame (RFC 8878) with a checksum of its content. Each thread keeps what it takes for the next time.
[[nodiscard]] std::string compress(std::string_view bytes, Effort effort = Effort::usual);

/// The bytes of a frame, of which there must be exactly `expected_size`; never takes more memory than that.
/// @throws DamagedBytes
[[nodiscard]] std::string decompress(std::string_view frame, std::size_t expected_size);

/// Size of the content as the frame states it. @throws DamagedBytes where it states none, or more than `limit`
[[nodiscard]] std::size_t content_size(std::string_view frame, std::size_t limit);

}  // namespace bakewright::codec
