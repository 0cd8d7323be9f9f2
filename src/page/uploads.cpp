#include "uploads.hpp"

#include <charconv>

#include "bakewright/base/error.hpp"

namespace bakewright::page {

int Uploads::add(std::string name, std::string bytes) {
    const std::size_t slash = name.find_last_of("/\\");
    if (slash != std::string::npos) name.erase(0, slash + 1);
    if (name.empty()) name = "log.csv";
    const std::lock_guard lock(mutex_);
    while (files_.size() >= kMostKept) files_.erase(files_.begin());
    files_.emplace(++last_, std::make_shared<const File>(File{std::move(name), std::move(bytes)}));
    return last_;
}

std::shared_ptr<const Uploads::File> Uploads::get(const std::string& number) {
    int wanted = 0;
    std::from_chars(number.data(), number.data() + number.size(), wanted);
    const std::lock_guard lock(mutex_);
    const auto at = files_.find(wanted);
    if (at == files_.end()) throw InputError(Problem{{}, 0, "log", "this file is not at hand any more; bring it in once more"});
    return at->second;
}

}  // namespace bakewright::page
