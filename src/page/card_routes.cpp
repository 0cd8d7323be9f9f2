#include "answers.hpp"
#include "bakewright/plan/plan.hpp"
#include "bakewright/shop/bake_card.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "bakewright/shop/shop_time.hpp"
#include "body.hpp"
#include "context.hpp"
#include "prepare_task.hpp"

namespace bakewright::page {
namespace {

/// What is printed with any card: `start`, `title`, `checked`, `aboard`, `written_limit` and `gas_free` (words of the checklist),
/// `units`.
shop::CardAsked card_asked(const Body& body, const Context& context) {
    shop::CardAsked asked;
    const std::string start = body.text_or("start", "");
    if (!start.empty()) asked.started_at = shop::shop_time(start, "start").text;
    asked.title = body.text_or("title", "");
    asked.checklist.answer(body.texts("checked"), report::CheckAnswer::out, "checked");
    asked.checklist.answer(body.texts("aboard"), report::CheckAnswer::aboard, "aboard");
    asked.checklist.answer(body.texts("written_limit"), report::CheckAnswer::written_limit, "written_limit");
    asked.checklist.answer(body.texts("gas_free"), report::CheckAnswer::gas_free, "gas_free");
    asked.program_version = context.options.program_version;
    asked.units = body.units();
    return asked;
}

/// A page of its own to print. It holds no script, and may ask this server nothing. What is refused is told with its reason.
Answer page_of(const shop::CardAnswer& answer) {
    if (!answer.card) return problem_answer(409, answer.refusal);
    const report::BakeCard& card = *answer.card;
    return {.type = "text/html; charset=utf-8",
            .text = report::html_card(card),
            .headers = {{"Content-Security-Policy",
                         "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'; frame-ancestors "
                         "'none'; sandbox allow-modals"}}};
}

/// Of a bake that is being prepared. What is taken out of the shell first stands on it, and how it is called there.
Answer of_prepared(const Body& body, const Context& context) {
    const PrepareTask task = prepare_task(body, context);
    shop::CardAsked asked = card_asked(body, context);
    const profile::ShellProfile whole = context.shell(body.text("shell"));
    for (const std::string& name : body.texts("out"))
        for (const bake::Item& item : whole.shell.items)
            if (item.name == name) asked.taken_out.push_back(item.title.empty() ? item.name : item.title);
    const plan::TriedCycle tried = plan::try_cycle(task.task(), task.options, task.setpoint_k, task.hold_s);
    return page_of(shop::bake_card(asked, task.task(), tried.prediction, tried.verdict));
}

Answer of_stored(const std::string& number, const Body& body, const Context& context) {
    book::Book book = context.book(book::Mode::read_only);
    const shop::StoredBake bake = shop::load_bake(book, shop::bake_id(number, "bake"));
    if (!bake.coating) throw InputError(Problem{{}, 0, "bake", "was kept without a coating, so that there is no card"});
    const std::optional<shop::StoredBake> log =
        bake.record.kind == book::BakeKind::predicted ? shop::other_half(book, bake) : std::nullopt;
    return page_of(shop::bake_card(card_asked(body, context), bake, *bake.coating, log));
}

/// A link can bear no body: what is asked stands in the address, as the same JSON.
Body task_in(const Asked& asked) { return Body(asked.query_or("task", "{}")); }

}  // namespace

void add_card_routes(Routes& routes, Context& context) {
    routes.add("GET", "/card", [&context](const Asked& asked) { return of_prepared(task_in(asked), context); });
    routes.add("GET", "/card/{}", [&context](const Asked& asked) { return of_stored(asked.parts[0], task_in(asked), context); });
}

}  // namespace bakewright::page
