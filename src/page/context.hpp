#pragma once

#include <optional>

#include "bakewright/book/book.hpp"
#include "bakewright/page/server.hpp"
#include "bakewright/profile/library.hpp"
#include "bakewright/profile/shell_profile.hpp"
#include "bakewright/shop/tune_records.hpp"
#include "jobs.hpp"
#include "uploads.hpp"

namespace bakewright::page {

/// What was learned, and from what.
struct Tuning {
    shop::TuneRecords records;
    tune::TuneResult result;
};

/// What the routes work with. Each request opens the book anew: a Book belongs to one thread.
struct Context {
    explicit Context(const ServerOptions& given);

    const ServerOptions& options;
    profile::Library library;
    Jobs jobs;
    Uploads uploads;
    AtHand<Tuning> tunings{"tuning", "what was learned is not at hand any more; learn from the bakes once more"};

    /// @throws InputError where there is none and mode does not make it; BookError
    [[nodiscard]] book::Book book(book::Mode mode) const { return book::Book::open(options.book_path, mode); }
    /// To read; nothing where there is no book yet.
    [[nodiscard]] std::optional<book::Book> book_if_any() const;
    /// By name, from the profiles or the book. @throws InputError
    [[nodiscard]] profile::ShellProfile shell(const std::string& name) const;
    [[nodiscard]] bake::Booth booth(const std::string& name) const;
};

void add_shop_routes(Routes& routes, Context& context);     ///< what there is to choose from
void add_prepare_routes(Routes& routes, Context& context);  ///< a bake still to come
void add_bake_routes(Routes& routes, Context& context);     ///< bakes of the book
void add_log_routes(Routes& routes, Context& context);      ///< logs that are brought in
void add_profile_routes(Routes& routes, Context& context);  ///< profiles that are looked at and edited
void add_card_routes(Routes& routes, Context& context);     ///< cards for the booth door
void add_tune_routes(Routes& routes, Context& context);     ///< what logs teach
void add_history_routes(Routes& routes, Context& context);  ///< what a shell went through

}  // namespace bakewright::page
