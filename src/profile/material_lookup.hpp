// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <map>
#include <optional>
#include <string>
#include <string_view>

#include "bakewright/profile/library.hpp"
#include "bakewright/thermal/material.hpp"
#include "collector.hpp"

namespace bakewright::profile {

class TableReader;

/// The materials a shell file can name: those it defines itself, before those of the library.
class MaterialLookup {
public:
    MaterialLookup(const Library& library, Collector& collector) : library_(&library), collector_(&collector) {}

    /// Reads the file's own [[material]] tables.
    void read_own(TableReader& shell_reader);

    /// The material that a key names, or defines in place as a table. Nothing where that failed; the collector then knows why.
    [[nodiscard]] std::optional<thermal::Material> read(TableReader& reader, std::string_view key);

private:
    [[nodiscard]] const thermal::Material* find(const std::string& id, const std::string& key);
    [[nodiscard]] std::optional<thermal::Material> load(const std::string& id, const std::string& key);
    void add_unknown(const std::string& id, const std::string& key);

    const Library* library_;
    Collector* collector_;
    std::map<std::string, std::optional<thermal::Material>, std::less<>> known_;
};

}  // namespace bakewright::profile
