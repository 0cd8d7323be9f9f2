// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

namespace bakewright::profile {

/// The text of a profile file. Never waits: a pipe or a device among profiles is refused.
/// @throws InputError where there is no such file, or it is no regular file or too large; FileError where the system refuses to
/// read it
[[nodiscard]] std::string file_text(const std::string& path);

}  // namespace bakewright::profile
