// SPDX-License-Identifier: Apache-2.0
// Any text is a moment of the shop's clock, a start of a log, a field of a time column, a duration, a range or a step of a cycle
// ("45 degC, 20 min"), or is none: refused or nothing, never a crash. What was read is finite and reads back to itself.
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/services/entered.hpp"
#include "iso_time.hpp"
#include "options.hpp"
#include "time_text.hpp"

namespace {

using namespace bakewright;

void shop_clock(const std::string& text) {
    const auto time = services::shop_time_from(text);
    if (!time) return;
    ensure(std::isfinite(time->since_s), "a moment is finite");
    const auto again = services::shop_time_from(time->text);
    ensure(again && again->text == time->text && again->since_s == time->since_s, "a moment's text reads back to it");
}

void start(const std::string& text) {
    const auto time = probe::read_start_time(text);
    if (!time) return;
    ensure(std::isfinite(time->instant_s()), "a start is finite");
    ensure(probe::read_start_time(probe::moved_start(text, 3600.0)).has_value(), "a start that was moved is a start");
}

void field(const std::string& text, char mark) {
    const probe::TimeText time = probe::read_time(text, mark);
    if (time.is_number) ensure(std::isfinite(time.number), "a number of a time column is finite");
    static_cast<void>(probe::joined(time, probe::read_time(text, mark == '.' ? ',' : '.')));
}

void cycle_code(const std::string& text, std::uint8_t choice) {
    const auto [from, to] = cli::range_of(text, (choice & 1U) != 0 ? Dimension::time : Dimension::temperature, "--fuzzed");
    ensure(std::isfinite(from) && std::isfinite(to) && from <= to, "a range rises");
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string text(reinterpret_cast<const char*>(data) + 1, size - 1);
    try {
        switch (data[0] % 6) {
            case 0:
                shop_clock(text);
                break;
            case 1:
                start(text);
                break;
            case 2:
                field(text, (data[0] & 64U) != 0 ? ',' : '.');
                break;
            case 3:
                ensure(std::isfinite(parse_quantity(text, Dimension::time)), "a duration is finite");
                break;
            case 4:
                cycle_code(text, data[0] / 6);
                break;
            default:
                static_cast<void>(cli::step_of(text, "--fuzzed"));
        }
    } catch (const InputError&) {
    } catch (const QuantityError&) {
    }
    return 0;
}
