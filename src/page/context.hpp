// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <atomic>
#include <mutex>
#include <optional>

#include "bakewright/book/book.hpp"
#include "bakewright/page/server_options.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/services/tune_records.hpp"
#include "jobs.hpp"
#include "live_desk.hpp"
#include "route.hpp"
#include "uploads.hpp"

namespace bakewright::page {

/// What was learned, and from what.
struct Tuning {
    services::TuneRecords records;
    tune::TuneResult result;
};

/// What the routes work with. Each request opens the book anew: a Book belongs to one thread.
struct Context {
    explicit Context(const ServerOptions& given);

    const ServerOptions& options;
    profile::Library library;
    Uploads uploads;
    AtHand<Tuning> tunings{"tuning", "what was learned is not at hand any more; learn from the bakes once more"};
    mutable std::mutex saving{};  ///< held from the look at a profile's file to its change
    Jobs jobs;                    ///< behind what its work uses
    LiveDesk live{*this};         ///< as well

    /// @throws InputError where there is none and mode does not make it; BookError, also where it was there and is gone: a new
    /// one in its place would look like a shop without bakes
    [[nodiscard]] book::Book book(book::Mode mode) const;
    /// To read; nothing where there is no book yet. @throws BookError
    [[nodiscard]] std::optional<book::Book> book_if_any() const;
    /// By name, from the profiles or the book. @throws InputError
    [[nodiscard]] profile::ShellProfile shell(const std::string& name) const;
    [[nodiscard]] bake::Booth booth(const std::string& name) const;

private:
    [[nodiscard]] bool book_is_there() const;
    mutable std::atomic<bool> book_was_there_{false};
};

void add_shop_routes(Routes& routes, Context& context);     ///< what there is to choose from
void add_prepare_routes(Routes& routes, Context& context);  ///< a bake still to come
void add_bake_routes(Routes& routes, Context& context);     ///< bakes of the book
void add_log_routes(Routes& routes, Context& context);      ///< logs that are brought in
void add_profile_routes(Routes& routes, Context& context);  ///< profiles that are looked at and edited
void add_card_routes(Routes& routes, Context& context);     ///< cards for the booth door
void add_tune_routes(Routes& routes, Context& context);     ///< what logs teach
void add_live_routes(Routes& routes, Context& context);     ///< bakes while they are recorded
void add_history_routes(Routes& routes, Context& context);  ///< what a shell went through

}  // namespace bakewright::page
