// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <stdlib.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <string>

#include "bakewright/base/error.hpp"
#include "context.hpp"
#include "route.hpp"

/// The page's routes without a server, over a book and a folder of own profiles that go with the process.
namespace fuzz {

class Page {
public:
    Page() : folder_(make_folder()), options_(make_options(folder_)), context_(options_) {
        using namespace bakewright::page;
        add_shop_routes(routes_, context_);
        add_prepare_routes(routes_, context_);
        add_bake_routes(routes_, context_);
        add_log_routes(routes_, context_);
        add_history_routes(routes_, context_);
        add_card_routes(routes_, context_);
        add_tune_routes(routes_, context_);
        add_profile_routes(routes_, context_);
        context_.uploads.add("fuzz.csv", "Time [s],roof_skin [C],air [C]\n0,20,20\n60,25,40\n120,31,50\n");
    }
    ~Page() {
        std::error_code ignored;
        std::filesystem::remove_all(folder_, ignored);
    }
    Page(const Page&) = delete;
    Page& operator=(const Page&) = delete;

    /// @throws PromiseError where an answer is a fault of ours, or no JSON
    bakewright::page::Answer ask(const char* method, const std::string& path, const std::string& body) const {
        bakewright::page::Asked asked;
        asked.method = method;
        asked.path = path;
        asked.body = body;
        bakewright::page::Answer answer = routes_.answer(std::move(asked));
        if (answer.status >= 500) std::fprintf(stderr, "%s %s: %s\n", method, path.c_str(), answer.text.c_str());
        bakewright::ensure(answer.status < 500, "no request is a fault of the program");
        return answer;
    }
    [[nodiscard]] const std::filesystem::path& folder() const { return folder_; }

private:
    static std::filesystem::path make_folder() {
        std::string name = (std::filesystem::temp_directory_path() / "bakewright-fuzz-XXXXXX").string();
        if (::mkdtemp(name.data()) == nullptr) std::abort();
        return name;
    }
    static bakewright::page::ServerOptions make_options(const std::filesystem::path& folder) {
        bakewright::page::ServerOptions made;
        made.book_path = (folder / "fuzz.book").string();
        made.profile_folders = {BAKEWRIGHT_PROFILES};
        made.user_profile_folder = (folder / "own_profiles").string();
        made.program_version = "fuzz";
        return made;
    }

    std::filesystem::path folder_;
    bakewright::page::ServerOptions options_;
    bakewright::page::Context context_;
    bakewright::page::Routes routes_;
};

}  // namespace fuzz
