// Any bytes are a log that is read, or are refused with an InputError; nothing else may happen. The first byte chooses options.
#include <cstddef>
#include <cstdint>
#include <string_view>

#include "bakewright/base/error.hpp"
#include "bakewright/probe/map_channels.hpp"
#include "bakewright/probe/read_log.hpp"

namespace {

bakewright::probe::ReadOptions options_of(std::uint8_t choice) {
    bakewright::probe::ReadOptions options;
    if ((choice & 1U) != 0) options.thermocouple = bakewright::probe::ThermocoupleType::k;
    if ((choice & 2U) != 0) options.reference_junction_k = 298.15;
    if ((choice & 4U) != 0) options.name_column = "2", options.value_column = "3";
    if ((choice & 8U) != 0) options.correct_daylight_saving = false;
    if ((choice & 16U) != 0) options.quality.range_most_k = 330.0;
    if ((choice & 32U) != 0) options.time_form = bakewright::probe::TimeForm::date_day_first;
    if ((choice & 64U) != 0) options.to_line = 10;
    return options;
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
    if (size == 0) return 0;
    const std::string_view bytes(reinterpret_cast<const char*>(data) + 1, size - 1);
    try {
        bakewright::probe::ProbeLog log = bakewright::probe::read_log(bytes, "fuzzed.csv", options_of(data[0]));
        log.traces.ensure_well_formed();
        for (const auto& fault : log.reading.faults) (void)fault.text();
        (void)bakewright::probe::map_channels(log.traces, {});
        log.traces.ensure_well_formed();
    } catch (const bakewright::InputError&) {
    }
    return 0;
}
