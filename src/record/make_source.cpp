// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <chrono>
#include <cmath>
#include <condition_variable>
#include <mutex>
#include <utility>

#include "bakewright/base/error.hpp"
#include "bakewright/record/source.hpp"
#include "sources.hpp"

namespace bakewright::record {

std::unique_ptr<Source> make_source(const probe::SourceRecord& record, SourceNeeds needs) {
    ensure(probe::problems_in(record).empty(), "a source is made of a record without mistakes");
    switch (record.way) {
        case probe::SourceWay::lines:
            return make_lines_source(record, std::move(needs.reading));
        case probe::SourceWay::replay:
            return make_replay_source(record, std::move(needs.replayed));
        case probe::SourceWay::serial:
            return make_serial_source(record, std::move(needs.reading));
        case probe::SourceWay::modbus_tcp:
        case probe::SourceWay::modbus_rtu:
            return make_modbus_source(record);
        case probe::SourceWay::mqtt:
            return make_mqtt_source(record);
    }
    throw PromiseError("every way has its source");
}

bool wait_for(const std::stop_token& stop, double seconds) {
    std::mutex mutex;
    std::condition_variable_any stopped;
    std::unique_lock lock(mutex);
    stopped.wait_for(lock, stop, std::chrono::duration<double>(seconds), [] { return false; });
    return !stop.stop_requested();
}

Reading reading_of(const probe::SourceRecord& record, std::size_t channel, double number) {
    const double value_k = std::isfinite(number) ? probe::temperature_k(record.channels.at(channel), number) : std::nan("");
    if (!std::isfinite(value_k)) return {channel, std::nan(""), SampleQuality::missing};
    const bool is_reading = value_k >= record.least_k && value_k <= record.most_k;
    // A number that no thermometer gives is not kept as one: float registers in the wrong order are 1e38 as easily as 1e-38.
    return is_reading ? Reading{channel, value_k, SampleQuality::good}
                      : Reading{channel, std::nan(""), SampleQuality::out_of_range};
}

}  // namespace bakewright::record
