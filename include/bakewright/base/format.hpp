// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

namespace bakewright {

enum class TemperatureUnit { celsius, fahrenheit, kelvin };
enum class LengthUnit { metric, inch };

/// The user's choice of units for everything printed. Stored values stay SI.
struct Units {
    TemperatureUnit temperature = TemperatureUnit::celsius;
    LengthUnit length = LengthUnit::metric;
};

/// "metric" (degrees Celsius, mm), "us" (degrees Fahrenheit, inch) or "si" (kelvin, mm); nothing for any other text.
[[nodiscard]] std::optional<Units> units_from_name(std::string_view name) noexcept;

/// "°C", "°F" or "K".
[[nodiscard]] std::string_view temperature_symbol(const Units& units) noexcept;
/// The number alone, for table columns whose head carries temperature_symbol().
[[nodiscard]] double temperature_in(double temperature_k, const Units& units) noexcept;
/// A difference in the user's degrees (times 1.8 for Fahrenheit, no 32).
[[nodiscard]] double temperature_difference_in(double difference_k, const Units& units) noexcept;

/// "62.0 °C"; "n/a" for a value that is not finite.
[[nodiscard]] std::string format_temperature(double temperature_k, const Units& units, int decimals = 1);
/// "+1.5 °C" style without sign unless negative: "1.5 K" for Celsius and Kelvin, "2.7 °F" for Fahrenheit.
[[nodiscard]] std::string format_temperature_difference(double difference_k, const Units& units, int decimals = 1);
/// "1.5 K/min" or "2.7 °F/min".
[[nodiscard]] std::string format_heating_rate(double rate_k_per_s, const Units& units, int decimals = 1);
/// "1 h 20 min", "45 min", "38 s", "0 s"; rounded to whole seconds below two minutes and to whole minutes above.
[[nodiscard]] std::string format_duration(double time_s);
/// "12.3 min", for tables that compare minutes.
[[nodiscard]] std::string format_minutes(double time_s, int decimals = 1);
/// "1.2 mm", "1.21 mm" or "0.047 in"; below 0.2 mm, where it is a film build, "55 µm" or "2.2 mil".
[[nodiscard]] std::string format_thickness(double length_m, const Units& units);
/// "12.0 m2" or "129.2 ft2".
[[nodiscard]] std::string format_area(double area_m2, const Units& units);

/// A sentence or a part of one in which names of places (zones, cavities, items) are kept apart from the words. Whoever shows it
/// to people puts titles in place of the names; text that happens to read like a name ("film", "interior") stays as it is.
class Phrase {
public:
    struct Part {
        std::string text;
        bool is_place = false;
        bool operator==(const Part&) const = default;
    };

    Phrase() = default;
    Phrase(std::string words) { add(std::move(words)); }       // NOLINT(google-explicit-constructor): most have no place
    Phrase(const char* words) : Phrase(std::string(words)) {}  // NOLINT(google-explicit-constructor)
    [[nodiscard]] static Phrase place(std::string name) { return Phrase().add_place(std::move(name)); }

    Phrase& add(std::string words) { return add(std::move(words), false); }
    Phrase& add(const char* words) { return add(std::string(words), false); }
    Phrase& add_place(std::string name) { return add(std::move(name), true); }
    Phrase& add(const Phrase& other) {
        parts_.insert(parts_.end(), other.parts_.begin(), other.parts_.end());
        return *this;
    }

    [[nodiscard]] const std::vector<Part>& parts() const noexcept { return parts_; }
    [[nodiscard]] std::string text() const {
        std::string joined;
        for (const Part& part : parts_) joined += part.text;
        return joined;
    }
    /// Puts in place of each name what is made of it.
    void rename_places(const std::function<std::string(const std::string&)>& rename) {
        for (Part& part : parts_)
            if (part.is_place) part.text = rename(part.text);
    }

    bool operator==(const Phrase&) const = default;

private:
    Phrase& add(std::string text, bool is_place) {
        if (!text.empty()) parts_.push_back({std::move(text), is_place});
        return *this;
    }

    std::vector<Part> parts_;
};

/// Their texts.
[[nodiscard]] inline std::vector<std::string> texts_of(const std::vector<Phrase>& phrases) {
    std::vector<std::string> texts;
    for (const Phrase& phrase : phrases) texts.push_back(phrase.text());
    return texts;
}

}  // namespace bakewright
