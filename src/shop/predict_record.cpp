#include "bakewright/shop/predict_record.hpp"

#include <nlohmann/json.hpp>

#include "bakewright/base/error.hpp"
#include "bakewright/report/json.hpp"

namespace bakewright::shop {

std::string options_json(const bake::PredictOptions& asked, const std::string& air_channel) {
    report::Json fields = {{"start_temperature_k", asked.start_temperature_k},
                           {"output_interval_s", asked.output_interval_s},
                           {"after_s", asked.after_s},
                           {"film_factor", asked.film_factor},
                           {"relative_tolerance", asked.relative_tolerance},
                           {"absolute_tolerance_k", asked.absolute_tolerance_k}};
    if (!air_channel.empty()) fields["air_from_channel"] = air_channel;
    return report::json_text(fields, -1);
}

bake::PredictOptions predict_options_from(const std::string& text) {
    const nlohmann::json json = nlohmann::json::parse(text, nullptr, false);
    if (!json.is_object()) throw BookError("what a prediction was asked is not readable in the book: " + text.substr(0, 80));
    bake::PredictOptions asked;
    const auto read = [&](const char* key, double& value) {
        if (const auto at = json.find(key); at != json.end() && at->is_number()) value = at->get<double>();
    };
    read("start_temperature_k", asked.start_temperature_k);
    read("output_interval_s", asked.output_interval_s);
    read("after_s", asked.after_s);
    read("film_factor", asked.film_factor);
    read("relative_tolerance", asked.relative_tolerance);
    read("absolute_tolerance_k", asked.absolute_tolerance_k);
    return asked;
}

}  // namespace bakewright::shop
