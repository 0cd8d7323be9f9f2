// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <stdexcept>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "bakewright/base/gauge.hpp"
#include "bakewright/base/quantity.hpp"

/// Shells, booths and coatings made from what a painter says in words of the shop.
namespace bakewright::builder {

/// What somebody wrote cannot be taken as it stands. what() is a sentence or a question to that person.
class NotUnderstood : public std::runtime_error {
public:
    /// @param meant  what to write in its place, where one thing is near enough to be asked about: "3/16 in"
    explicit NotUnderstood(const std::string& message, std::string meant = {})
        : std::runtime_error(message), meant_(std::move(meant)) {}
    [[nodiscard]] const std::string& meant() const noexcept { return meant_; }

private:
    std::string meant_;
};

/// A quantity as somebody said it [SI]; low and high are the value itself where no range was said.
struct Heard {
    double value = 0.0;
    double low = 0.0;
    double high = 0.0;
    std::string written{};    ///< as parse_quantity() reads it: "18 gauge", "140 degF"; of a range its value
    std::string remark{};     ///< what was assumed in reading it; may be empty
    bool is_fuel_in = false;  ///< a power that was said as fuel, so that what it warms is less
};

/// What a listener expects.
struct Expected {
    Dimension dimension = Dimension::length;
    GaugeSeries gauge = GaugeSeries::none;
    std::string_view bare{};    ///< unit that a number without one most likely has: "mm"; empty: nobody can tell
    bool takes_bare = false;    ///< takes it in that unit and says so; else it is asked about
    bool takes_longer = false;  ///< of a range counts the upper end, as of the minutes on a data sheet
};

/// Reads a quantity as people write it in a shop: everything parse_quantity() reads, and "1,5 mm", "16ga", "half inch",
/// "inch and a half", "7ft6", "2m40", "1h30", "90m", "about 1.5 mm", "1.5 mm +-0.1", "10-12 mm", "500 MBH", "500,000 BTU".
/// Never guesses in silence: what was assumed stands in the remark.
/// @throws NotUnderstood, with what was probably meant where that can be told
[[nodiscard]] Heard heard(std::string_view text, const Expected& expected);

/// Lengths with an x between them: "7 x 2.3 x 2.9 m", "23' x 7'6\" x 9'6\"". A unit at the end counts for those without one;
/// without any, numbers under 20 are metres and from 100 on are asked about as millimetres.
/// @throws NotUnderstood  also where there are not so many of them
[[nodiscard]] std::vector<Heard> heard_sizes(std::string_view text, std::size_t count);

/// Letters made small, hyphens and marks made blanks, blanks in a row made one, and none at the ends.
[[nodiscard]] std::string plain_words(std::string_view text);

/// The parts of a text between separators, without blanks round them; empty parts are left out.
[[nodiscard]] std::vector<std::string> split(std::string_view text, std::string_view separators);

/// A number of few digits for people: "16.6", "0.97".
[[nodiscard]] std::string shown(double value);

}  // namespace bakewright::builder
