// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>

#include "bakewright/builder/build.hpp"
#include "bakewright/builder/parts.hpp"
#include "bakewright/profile/kind.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/text.hpp"

namespace bakewright::report {

/// What was made of a painter's answers, for people: what was read, what is asked about, what was assumed.
[[nodiscard]] std::string built_text(profile::Kind kind, const builder::Built& built, const TextOptions& options);

/// The same as a document, "built". @param path  of the file it was written to; empty: none
[[nodiscard]] Json document_of(profile::Kind kind, const std::string& name, const std::string& path, const builder::Built& built);

/// The parts of a shell in words, "shell-parts", after a change where there was one. @param problem  what was not understood of
/// it: `key`, `message`, `meant`; null: nothing
[[nodiscard]] Json document_of(const builder::PartEdit& edit, const builder::ShellParts& parts, const ShellDrawing& drawing,
                               Json problem);

}  // namespace bakewright::report
