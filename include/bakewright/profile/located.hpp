#pragma once

#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::profile {

/// Which line of a file each key stands on. Keys are paths: "zone[2].layers[0].thickness", indices from 0.
class LineIndex {
public:
    /// The first line told for a key is kept.
    void add(std::string key, int line);
    /// 1-based line of a key, or of its nearest ancestor that is in the file; 0 for an empty index.
    [[nodiscard]] int line_of(std::string_view key) const;
    [[nodiscard]] bool contains(std::string_view key) const;

private:
    std::map<std::string, int, std::less<>> lines_;
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

/// Gives problems that only know their key path (such as those of problems_in) the file and the line of that key.
/// A problem that has a file already is left as it is.
[[nodiscard]] std::vector<Problem> locate(std::vector<Problem> problems, const std::string& file, const LineIndex& lines);

template <class Record>
[[nodiscard]] std::vector<Problem> locate(std::vector<Problem> problems, const Located<Record>& located) {
    return locate(std::move(problems), located.file, located.lines);
}

}  // namespace bakewright::profile
