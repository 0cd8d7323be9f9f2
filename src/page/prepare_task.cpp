#include "prepare_task.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/profile/read.hpp"

namespace bakewright::page {
namespace {

void take_out(profile::ShellProfile& shell, const std::string& item) {
    const auto is_it = [&](const auto& one) { return one.name == item; };
    if (std::none_of(shell.shell.items.begin(), shell.shell.items.end(), is_it))
        throw InputError(Problem{{}, 0, "out", fmt::format("'{}' is no item of shell '{}'", item, shell.shell.id)});
    std::erase_if(shell.shell.items, is_it);
    std::erase_if(shell.item_limits, is_it);
}

/// Names alone, never paths: a request must not make the server read other files.
template <class Record>
Record load(const Body& body, const char* key, profile::Kind kind, const profile::Library& library,
            profile::Located<Record> (*load_path)(std::string_view, const profile::Library&)) {
    return load_path(library.find_name(kind, body.text(key)), library).record;
}

}  // namespace

PrepareTask prepare_task(const Body& body, const Context& context) {
    const profile::Library& library = context.library;
    PrepareTask made{load(body, "shell", profile::Kind::shell, library, profile::load_shell),
                     load(body, "booth", profile::Kind::booth, library, profile::load_booth),
                     load(body, "coating", profile::Kind::coating, library, profile::load_coating),
                     {},
                     body.number("setpoint_k", 0.0, 1000.0),
                     body.number("hold_s", 0.0, 1e6),
                     body.units()};
    for (const std::string& item : body.texts("out")) take_out(made.shell, item);
    made.options.ramp_k_per_s = body.maybe_number("ramp_k_per_s", 0.0, 10.0).value_or(made.options.ramp_k_per_s);
    made.options.flash_off_s = body.maybe_number("flash_off_s", 0.0, 1e6);
    made.options.predict.start_temperature_k =
        body.maybe_number("start_temperature_k", 0.0, 1000.0).value_or(made.booth.ambient_k);
    if (body.flag("history")) {
        book::Book book = context.book(book::Mode::read_only);
        made.history = std::make_shared<const shop::PlanHistory>(book, body.text("shell"), made.shell.item_limits);
    }
    return made;
}

}  // namespace bakewright::page
