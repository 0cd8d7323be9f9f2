#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/cure/readings.hpp"
#include "bakewright/cure/rule.hpp"
#include "item_offsets.hpp"
#include "offset_scenarios.hpp"

namespace bakewright::cure {

void ItemOffsets::add(const Trace& trace, double standard_k) {
    ensure(standard_k > 0.0, "a standard uncertainty is above 0");
    parts_.emplace_back(trace, standard_k);
}

bool ItemOffsets::passed(const ExposureLimit& limit, double deviations) const {
    double exposed_s = 0.0;
    for (const Part& part : parts_) {
        const StayReading stay = stay_at_or_above(part.trace, limit.temperature_k - deviations * part.standard_k);
        if (passes(limit, 0.0, stay.first_up_s.has_value())) return true;
        exposed_s = limit.scope == ExposureScope::lifetime ? exposed_s + stay.total_s : std::max(exposed_s, stay.total_s);
    }
    return passes(limit, exposed_s, false);
}

Certainty ItemOffsets::certainty() const {
    Scenario scenario{1.0, -std::numeric_limits<double>::infinity()};
    for (const ExposureLimit& limit : limits_)
        if (makes_over(limit))
            scenario.too_much_from = std::min(scenario.too_much_from,
                                              critical_deviations([&](double deviations) { return passed(limit, deviations); }));
    Certainty certainty = certainty_of(probabilities_of({scenario}));
    if (!certainty.too_close || parts_.empty()) return certainty;
    const auto largest = std::max_element(parts_.begin(), parts_.end(),
                                          [](const Part& one, const Part& other) { return one.standard_k < other.standard_k; });
    if (const auto factor = sharper_factor({scenario}, certainty.best)) certainty.sharper_k = *factor * largest->standard_k;
    return certainty;
}

Certainty item_certainty(const Trace& trace, const std::vector<ExposureLimit>& limits,
                         const TemperatureUncertainty& uncertainty) {
    ItemOffsets offsets(limits);
    offsets.add(trace, uncertainty.standard_k);
    return offsets.certainty();
}

}  // namespace bakewright::cure
