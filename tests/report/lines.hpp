// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "bakewright/report/plain_text.hpp"

inline std::vector<std::string> lines_of(const std::string& text) {
    std::vector<std::string> lines;
    std::istringstream stream(text);
    for (std::string line; std::getline(stream, line);) lines.push_back(line);
    return lines;
}

/// In columns of a terminal.
inline std::size_t widest_line(const std::string& text) {
    std::size_t width = 0;
    for (const std::string& line : lines_of(text)) width = std::max(width, bakewright::report::display_width(line));
    return width;
}
