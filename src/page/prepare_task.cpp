// SPDX-License-Identifier: Apache-2.0
#include "prepare_task.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/plan/finish.hpp"
#include "bakewright/profile/read.hpp"

namespace bakewright::page {
namespace {

void take_out(profile::ShellProfile& shell, const std::string& item) {
    const auto is_it = [&](const auto& one) { return one.name == item; };
    if (std::none_of(shell.shell.items.begin(), shell.shell.items.end(), is_it))
        throw InputError(Problem{{}, 0, "out", fmt::format("'{}' is not an item of shell '{}'", item, shell.shell.id)});
    std::erase_if(shell.shell.items, is_it);
    std::erase_if(shell.item_limits, is_it);
}

}  // namespace

PrepareTask prepare_task(const Body& body, const Context& context) {
    // Names alone, never paths: a request must not make the server read other files.
    const profile::Library& library = context.library;
    PrepareTask made{context.shell(body.text("shell")),
                     context.booth(body.text("booth")),
                     profile::load_coating(library.find_name(profile::Kind::coating, body.text("coating")), library).record,
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
    if (body.flag("history")) {
        book::Book book = context.book(book::Mode::read_only);
        const std::string shell = body.text("shell");
        const std::string known_as = services::history_name(book, shell, made.shell.shell.learned).value_or(shell);
        made.history = std::make_shared<const services::PlanHistory>(book, known_as, made.items);
    }
    return made;
}

}  // namespace bakewright::page
