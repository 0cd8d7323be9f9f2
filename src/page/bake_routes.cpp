#include "answers.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/report/json_commands.hpp"
#include "context.hpp"

namespace bakewright::page {

void add_bake_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/bakes", [&context](const Asked&) -> Answer {
        std::vector<book::BakeSummary> bakes;
        if (std::optional<book::Book> book = context.book_if_any()) bakes = book::BakeRepository(*book).list({.limit = 500});
        return {.text = report::to_json_text(bakes, {.indent = -1, .traces = false})};
    });
}

}  // namespace bakewright::page
