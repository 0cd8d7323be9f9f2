#pragma once

#include <string>

#include "bakewright/bake/predict.hpp"

namespace bakewright::shop {

/// What a prediction was asked, as the book keeps it beside the bake. A replay names the channel whose air drove it.
[[nodiscard]] std::string options_json(const bake::PredictOptions& asked, const std::string& air_channel);

/// Reads it back; keys that are not there keep their defaults. @throws BookError where the text is not such an object
[[nodiscard]] bake::PredictOptions predict_options_from(const std::string& text);

}  // namespace bakewright::shop
