// SPDX-License-Identifier: Apache-2.0
#include <exception>
#include <fstream>
#include <iostream>
#include <sstream>

#include "field_tables.hpp"

/// Puts the tables of a page in order: write_field_tables docs/profiles.md
int main(int count, char** words) {
    if (count != 2) {
        std::cerr << "usage: write_field_tables FILE\n";
        return 2;
    }
    try {
        std::stringstream page;
        page << std::ifstream(words[1]).rdbuf();
        const std::string text = field_tables::with_tables(page.str());
        std::ofstream(words[1]) << text;
    } catch (const std::exception& error) {
        std::cerr << words[1] << ": " << error.what() << "\n";
        return 2;
    }
    return 0;
}
