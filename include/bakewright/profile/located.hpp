// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/base/quantity.hpp"

namespace bakewright::profile {

/// Which line of a file each key stands on, and how its number was written. Keys are paths: "zone[2].layers[0].thickness",
/// indices from 0.
class LineIndex {
public:
    /// A number with its unit, or without one, as the user wrote it.
    struct Written {
        std::optional<Dimension> dimension;
        std::string text;
    };

    /// The first line told for a key is kept.
    void add(std::string key, int line);
    /// 1-based line of a key, or of its nearest ancestor that is in the file; 0 for an empty index.
    [[nodiscard]] int line_of(std::string_view key) const;
    [[nodiscard]] bool contains(std::string_view key) const;

    void add_written(std::string key, Written number);
    /// Nothing where no number was read at this very key.
    [[nodiscard]] const Written* written(std::string_view key) const;

private:
    std::map<std::string, int, std::less<>> lines_;
    std::map<std::string, Written, std::less<>> written_;
};

/// A record read from a profile, with everything found wrong in it.
/// Where there are problems the record is incomplete and only good for being looked at.
template <class Record>
struct Located {
    Record record;
    std::string file;  ///< as the user named it
    LineIndex lines;
    std::vector<Problem> problems;   ///< with file and line, in the order of lines; empty for a good profile
    std::vector<std::string> notes;  ///< not wrong, worth knowing: numbers without a source, defaults that were used
};

/// Gives problems that only know their key path (such as those of problems_in) the file and the line of that key; one about a
/// number's range is put in the unit that was written. A problem that has a file already is left as it is.
[[nodiscard]] std::vector<Problem> locate(std::vector<Problem> problems, const std::string& file, const LineIndex& lines);

template <class Record>
[[nodiscard]] std::vector<Problem> locate(std::vector<Problem> problems, const Located<Record>& located) {
    return locate(std::move(problems), located.file, located.lines);
}

}  // namespace bakewright::profile
