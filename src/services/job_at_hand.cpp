// SPDX-License-Identifier: Apache-2.0
#include "bakewright/services/job_at_hand.hpp"

#include <filesystem>
#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"
#include "bakewright/services/files.hpp"

namespace bakewright::services {
namespace {

constexpr std::size_t kLargestBytes = 10000;

}  // namespace

std::string JobAtHand::of(const std::string& option) const {
    if (option == "shell") return shell;
    if (option == "booth") return booth;
    return option == "coating" ? coating : std::string();
}

std::string job_path(const std::string& book_path) { return book_path + ".job.json"; }

JobAtHand job_at_hand(const std::string& book_path) {
    const std::string path = job_path(book_path);
    std::error_code error;
    if (!std::filesystem::exists(path, error)) return {};
    const auto json = nlohmann::json::parse(read_file(path, kLargestBytes), nullptr, false);
    if (!json.is_object())
        throw InputError(Problem{path, 0, {}, "is not what `bakewright use` writes; set the job again, or remove it"});
    const auto text = [&](const char* key) {
        const auto found = json.find(key);
        return found != json.end() && found->is_string() ? found->get<std::string>() : std::string();
    };
    return {text("shell"), text("booth"), text("coating")};
}

void set_job(const std::string& book_path, const JobAtHand& job) {
    const std::string path = job_path(book_path);
    std::error_code error;
    std::filesystem::create_directories(std::filesystem::path(path).parent_path(), error);  // what fails is told by writing
    nlohmann::ordered_json json;
    json["shell"] = job.shell;
    json["booth"] = job.booth;
    json["coating"] = job.coating;
    write_file(path, json.dump(1) + "\n");
}

}  // namespace bakewright::services
