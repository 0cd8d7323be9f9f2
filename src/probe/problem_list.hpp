// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/error.hpp"

namespace bakewright::probe {

/// Collects what is wrong in one file; throws all of it at the twentieth, or when asked.
class ProblemList {
public:
    explicit ProblemList(std::string file) : file_(std::move(file)) {}

    void add(int line, std::string key, std::string message) {
        problems_.push_back({file_, line, std::move(key), std::move(message)});
        if (problems_.size() >= kMost) throw_if_any();
    }
    void throw_if_any() const {
        if (!problems_.empty()) throw InputError(problems_);
    }
    /// For problems after which nothing more can be said.
    [[noreturn]] void fail(int line, std::string key, std::string message) {
        problems_.push_back({file_, line, std::move(key), std::move(message)});
        throw InputError(problems_);
    }
    [[nodiscard]] const std::string& file() const noexcept { return file_; }

private:
    static constexpr std::size_t kMost = 20;
    std::string file_;
    std::vector<Problem> problems_;
};

}  // namespace bakewright::probe
