// SPDX-License-Identifier: Apache-2.0
// Any text is a profile of the kind that its first byte chooses, or is refused with an InputError. What was read is written as
// canonical text that reads back to the same text.
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/saved_reading.hpp"
#include "bakewright/profile/write.hpp"

namespace {

using namespace bakewright::profile;

template <class Read>
void round_trip(const Read& read, std::string_view text) {
    const std::string canonical = to_toml(read(text, "fuzzed.toml"));
    bakewright::ensure(to_toml(read(canonical, "canonical.toml")) == canonical, "canonical text reads back to itself");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string_view text(reinterpret_cast<const char*>(data) + 1, size - 1);
    try {
        switch (data[0] % 7) {
            case 0:
                round_trip(material_from_toml, text);
                break;
            case 1:
                round_trip(coating_from_toml, text);
                break;
            case 2:
                round_trip(booth_from_toml, text);
                break;
            case 3:
                round_trip(cycle_from_toml, text);
                break;
            case 4:
                round_trip(probes_from_toml, text);
                break;
            case 5:
                round_trip(shell_from_toml, text);
                break;
            default:
                round_trip(saved_reading_from_toml, text);
        }
    } catch (const bakewright::InputError&) {
    }
    return 0;
}
