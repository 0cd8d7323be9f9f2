// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <map>
#include <set>
#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/located.hpp"

namespace bakewright::profile {

/// Gathers what is found in one file while it is read.
class Collector {
public:
    explicit Collector(std::string file) : file_(std::move(file)) {}

    [[nodiscard]] const std::string& file() const noexcept { return file_; }
    [[nodiscard]] LineIndex& lines() noexcept { return lines_; }
    [[nodiscard]] bool any_problem() const noexcept { return !problems_.empty(); }

    /// A problem of the file's form at a key. The value of that key counts as unread from now on (mark_unread).
    void add(const std::string& key, std::string message);
    /// A problem that leaves the values that were read as they are, such as an unknown key.
    void add_at_line(int line, const std::string& key, std::string message);
    /// Problems of another file, such as a material of the library.
    void add_foreign(const std::vector<Problem>& problems);
    void note(std::string text) { notes_.push_back(std::move(text)); }

    /// Problems of the finished record found at this key, above or below it would only echo that it could not be read.
    void mark_unread(const std::string& key) { unread_.insert(key); }
    [[nodiscard]] bool is_unread(std::string_view key) const;
    /// Adds problems of the finished record, without the echoes.
    void add_of_record(std::vector<Problem> problems);

    /// A number was read at this key; it should have a source.
    /// @param written  how; problems of the record answer in that
    void add_number(const std::string& key, LineIndex::Written written);
    /// Notes the numbers under a prefix (empty for the whole file) that have no entry in the record's sources. An entry covers
    /// the key of its name and everything below: "schedule" covers "schedule[1].minimum".
    void note_numbers_without_source(const std::string& prefix, const std::map<std::string, std::string>& sources);

    /// Moves everything into the record's wrapping, problems in the order of lines.
    template <class Record>
    [[nodiscard]] Located<Record> finish(Record record) {
        sort_problems();
        return {std::move(record), std::move(file_), std::move(lines_), std::move(problems_), std::move(notes_)};
    }

private:
    void push(Problem problem);
    void sort_problems();

    std::string file_;
    LineIndex lines_;
    std::vector<Problem> problems_;
    std::vector<std::string> notes_;
    std::vector<std::string> numbers_;
    std::set<std::string, std::less<>> unread_;
};

}  // namespace bakewright::profile
