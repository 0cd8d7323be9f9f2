#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>

namespace bakewright::page {

/// Files that were brought in and are not kept yet. The oldest are forgotten where there are too many. Any thread may call.
class Uploads {
public:
    struct File {
        std::string name;
        std::string bytes;
    };
    static constexpr std::size_t kMostKept = 4;

    /// @param name  as the browser gives it; its folders are left out
    int add(std::string name, std::string bytes);
    /// @throws InputError for one that is not there (any more)
    [[nodiscard]] std::shared_ptr<const File> get(const std::string& number);

private:
    std::mutex mutex_;
    std::map<int, std::shared_ptr<const File>> files_;
    int last_ = 0;
};

}  // namespace bakewright::page
