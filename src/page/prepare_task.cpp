// SPDX-License-Identifier: Apache-2.0
#include "prepare_task.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/profile/read.hpp"
#include "bakewright/services/stored_bake.hpp"

namespace bakewright::page {
namespace {

void take_out(profile::ShellProfile& shell, const std::string& item) {
    const auto is_it = [&](const auto& one) { return one.name == item; };
    if (std::none_of(shell.shell.items.begin(), shell.shell.items.end(), is_it))
        throw InputError(Problem{{}, 0, "out", fmt::format("'{}' is not an item of shell '{}'", item, shell.shell.id)});
    std::erase_if(shell.shell.items, is_it);
    std::erase_if(shell.item_limits, is_it);
}

std::vector<plan::Step> steps_in(const Body& body, const char* key) {
    std::vector<plan::Step> steps;
    for (const Body& step : body.objects(key))
        steps.push_back({step.number("setpoint_k", 0.0, 1000.0), step.number("hold_s", 0.0, 1e6)});
    return steps;
}

/// What a bake that was cut short has given: its log, and the state it left the shell in.
void go_on_with(PrepareTask& made, const Body& body, book::Book& book, book::BakeId bake) {
    const services::StoredBake stored = services::load_bake(book, bake);
    made.broken = std::make_shared<const plan::BrokenBake>(
        plan::broken_bake(made.shell.shell, made.booth, stored.traces, made.options.predict));
    made.options.predict.node_start_k = made.broken->node_k;
    made.options.wait_s = body.maybe_number("waited_s", 0.0, 7.0 * 86400.0).value_or(0.0);
    made.options.flash_off_s = made.options.flash_off_s.value_or(0.0);
}

/// A text that is written just now and not saved yet.
template <class Record>
Record accepted(profile::Located<Record> read) {
    if (!read.problems.empty()) throw InputError(read.problems);
    return std::move(read.record);
}

// Names alone, never paths: a request must not make the server read other files. A text stands for the profile of its kind.
profile::ShellProfile shell_of(const Body& body, const Context& context) {
    if (!body.has("shell_text")) return context.shell(body.text("shell"));
    return accepted(profile::read_shell(body.long_text("shell_text"), "new.toml", context.library));
}
bake::Booth booth_of(const Body& body, const Context& context) {
    if (!body.has("booth_text")) return context.booth(body.text("booth"));
    return accepted(profile::read_booth(body.long_text("booth_text"), "new.toml"));
}
cure::Coating coating_of(const Body& body, const Context& context) {
    if (body.has("coating_text")) return accepted(profile::read_coating(body.long_text("coating_text"), "new.toml"));
    return profile::load_coating(context.library.find_name(profile::Kind::coating, body.text("coating")), context.library).record;
}

}  // namespace

PrepareTask prepare_task(const Body& body, const Context& context) {
    PrepareTask made{shell_of(body, context),
                     booth_of(body, context),
                     coating_of(body, context),
                     {},
                     body.number("setpoint_k", 0.0, 1000.0),
                     body.number("hold_s", 0.0, 1e6),
                     body.units()};
    for (const std::string& item : body.texts("out")) take_out(made.shell, item);
    made.items = made.shell.heat_sensitive();
    made.options.ramp_k_per_s = body.maybe_number("ramp_k_per_s", 0.0, 10.0).value_or(made.options.ramp_k_per_s);
    made.options.flash_off_s = body.maybe_number("flash_off_s", 0.0, 1e6);
    made.options.purge_s = plan::purge_time_s(made.booth, body.maybe_number("purge_s", 0.0, 1e5));
    made.options.predict.start_temperature_k =
        body.maybe_number("start_temperature_k", 0.0, 1000.0).value_or(made.booth.ambient_k);
    made.options.steps = steps_in(body, "steps");
    made.options.second_holds = steps_in(body, "second_holds");
    made.keep = body.texts("keep");
    std::optional<book::BakeId> finished;
    if (body.has("finish")) {
        book::Book book = context.book(book::Mode::read_only);
        finished = services::bake_id(book, body.reference("finish"), "finish");
        go_on_with(made, body, book, *finished);
    }
    if (body.flag("history")) {
        book::Book book = context.book(book::Mode::read_only);
        const std::string shell = body.text("shell");
        const std::string known_as = services::history_name(book, shell, made.shell.shell.learned).value_or(shell);
        made.history = std::make_shared<const services::PlanHistory>(book, known_as, made.items, finished);
    }
    return made;
}

}  // namespace bakewright::page
