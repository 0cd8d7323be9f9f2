// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

#include "at_hand.hpp"

namespace bakewright::page {

/// A file that was brought in and is not kept yet.
struct UploadedFile {
    std::string name;
    std::string bytes;
};

/// The newest few of them.
class Uploads : public AtHand<UploadedFile> {
public:
    Uploads() : AtHand("log", "this file is not at hand any more; bring it in once more") {}

    /// @param name  as the browser gives it; its folders are left out
    int add(std::string name, std::string bytes) {
        const std::size_t slash = name.find_last_of("/\\");
        if (slash != std::string::npos) name.erase(0, slash + 1);
        const std::size_t size = bytes.size();
        return AtHand::add({name.empty() ? "log.csv" : std::move(name), std::move(bytes)}, size);
    }
};

}  // namespace bakewright::page
