// SPDX-License-Identifier: Apache-2.0
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "bakewright/base/format.hpp"
#include "bakewright/builder/sanity.hpp"
#include "bakewright/profile/edit.hpp"
#include "draft.hpp"
#include "part_text.hpp"

/// Where a part is on the drawing, moved and resized; what follows from that.
namespace bakewright::builder {
namespace {

using bake::DrawnOn;
using bake::DrawnPlace;

double to(int decimals, double value) {
    const double scale = std::pow(10.0, decimals);
    return std::round(value * scale) / scale;
}

bool is_flat(DrawnOn on) { return on == DrawnOn::top || on == DrawnOn::underside; }

double square_m2(const DrawnPlace& place, const bake::ShellSize& size) {
    const DrawnFace face = drawn_face(place.on, size);
    return face.count * (place.to - place.from) * face.along_m * (place.high - place.low) * face.up_m;
}

double area_m2(const std::vector<DrawnPlace>& places, const bake::ShellSize& size) {
    double sum_m2 = 0.0;
    for (const DrawnPlace& place : places) sum_m2 += square_m2(place, size);
    return sum_m2;
}

/// Middle of what is drawn of it upright, by area [m]; nothing where all of it lies flat.
std::optional<double> middle_m(const std::vector<DrawnPlace>& places, const bake::ShellSize& size) {
    double sum = 0.0, weight = 0.0;
    for (const DrawnPlace& place : places)
        if (!is_flat(place.on)) {
            const double square = square_m2(place, size);
            sum += square * 0.5 * (place.low + place.high) * size.height_m, weight += square;
        }
    return weight > 0.0 ? std::optional(sum / weight) : std::nullopt;
}

/// Along the air: upright parts down, others across.
double along_m(const DrawnPlace& place, const bake::ShellSize& size) {
    const DrawnFace face = drawn_face(place.on, size);
    const double up = (place.high - place.low) * face.up_m, along = (place.to - place.from) * face.along_m;
    return is_flat(place.on) ? std::min(along, up) : up;
}

class Moving {
public:
    Moving(std::string text, const bake::Shell& shell, std::size_t index, PartSaid& said)
        : text_(std::move(text)), shell_(shell), zone_(shell.zones[index]), path_(fmt::format("zone[{}]", index)), said_(said) {}

    std::string run() {
        std::vector<DrawnPlace> places = zone_.places;
        const std::size_t count = std::max<std::size_t>(places.size(), 1);
        bool is_moved = false;
        for (std::size_t i = 0; i < count; ++i) is_moved = move(places, i) || is_moved;
        if (!is_moved) return std::move(text_);
        if (!zone_.places.empty()) follow(places);
        return std::move(text_);
    }

private:
    void put(const std::string& key, const std::string& value) { text_ = profile::with_value(text_, path_ + "." + key, value); }

    /// @return whether something else is said of that place than is so
    bool move(std::vector<DrawnPlace>& places, std::size_t i) {
        const std::string key = fmt::format("place[{}]", i);
        const auto is_said = [&](const char* what) { return said_.said(fmt::format("{}.{}", key, what)).has_value(); };
        if (!is_said("side") && !is_said("from") && !is_said("to") && !is_said("low") && !is_said("high")) return false;
        if (!shell_.size) PartSaid::ask(key + ".from", "How large is the shell? Write its size into the text first.");
        const bool is_new = i >= places.size();
        const DrawnPlace was = is_new ? DrawnPlace{} : places[i];
        DrawnPlace now = was;
        now.on = side_of(key, was.on);
        const DrawnFace face = drawn_face(now.on, *shell_.size);
        const auto extent = [&](const char* what, double share, double full_m) {
            const std::string name = fmt::format("{}.{}", key, what);
            const auto text = said_.said(name);
            if (!text || text->empty()) return share;
            const double length_m = heard_extent_m(name, *text, full_m);
            // What is shown is rounded: the same again moves nothing.
            return std::abs(length_m - share * full_m) < kShownM ? share : to(4, length_m / full_m);
        };
        now.from = extent("from", was.from, face.along_m), now.to = extent("to", was.to, face.along_m);
        now.low = extent("low", was.low, face.up_m), now.high = extent("high", was.high, face.up_m);
        if (!(now.to > now.from)) PartSaid::ask(key + ".to", "It ends before it begins.");
        if (!(now.high > now.low)) PartSaid::ask(key + ".high", "Its upper edge is not over its lower one.");
        if (!is_new && now == was) return false;
        write(now, was, i, is_new);
        if (is_new)
            places.push_back(now);
        else
            places[i] = now;
        return true;
    }

    DrawnOn side_of(const std::string& key, DrawnOn was) const {
        const auto word = said_.said(key + ".side");
        if (!word || word->empty()) return was;
        const auto words = words_of(DrawnOn{});
        const auto found = std::ranges::find(words, *word);
        if (found == words.end()) PartSaid::ask(key + ".side", fmt::format("'{}' is no side of a shell.", *word));
        return static_cast<DrawnOn>(found - words.begin());
    }

    void write(const DrawnPlace& now, const DrawnPlace& was, std::size_t i, bool is_new) {
        if (is_new) {
            put("places", fmt::format("[{{ on = \"{}\", from = {}, to = {}, low = {}, high = {} }}]", word_of(now.on), now.from,
                                      now.to, now.low, now.high));
            return;
        }
        const std::string key = fmt::format("places[{}].", i);
        if (now.on != was.on) put(key + "on", profile::text_value(word_of(now.on)));
        for (const auto& [name, here, before] : {std::tuple{"from", now.from, was.from},
                                                 {"to", now.to, was.to},
                                                 {"low", now.low, was.low},
                                                 {"high", now.high, was.high}})
            if (here != before) put(key + name, fmt::format("{}", here));
    }

    /// Area, height and length along the air go with the drawing, each as far as it went with it before: what a hand wrote beside
    /// the drawing keeps its distance. An area that was typed stays.
    void follow(const std::vector<DrawnPlace>& places) {
        const bake::ShellSize& size = *shell_.size;
        const double share = area_m2(places, size) / area_m2(zone_.places, size);
        const std::string remark = profile::remark_behind(text_, path_ + ".area");
        if (std::abs(share - 1.0) > 1e-6 && !said_.said("area")) {
            if (remark.starts_with("from the sizes")) {
                const double now_m2 = to(4, zone_.area_m2 * share);
                put("area", profile::text_value(fmt::format("{} m2", now_m2)));
                said_.tell("area", fmt::format("{}, as it is drawn", format_area(now_m2, {})));
            } else {
                said_.tell("area", fmt::format("stays {}, as somebody wrote it", format_area(zone_.area_m2, {})));
            }
        }
        const auto before_m = middle_m(zone_.places, size), now_m = middle_m(places, size);
        if (before_m && now_m && std::abs(*now_m - *before_m) > 1e-4) {
            const double height_m = std::max(0.0, to(3, zone_.height_m + *now_m - *before_m));
            put("height", profile::text_value(fmt::format("{} m", height_m)));
            said_.tell("height", fmt::format("middle {:.2f} m over the ground: the air there counts", height_m));
        }
        const double along = along_m(places.front(), size) / along_m(zone_.places.front(), size);
        if (std::abs(along - 1.0) > 1e-6)
            put("length", profile::text_value(fmt::format("{} m", std::max(0.001, to(3, zone_.length_m * along)))));
    }

    static constexpr double kShownM = 0.006;
    std::string text_;
    const bake::Shell& shell_;
    const bake::Zone& zone_;
    std::string path_;
    PartSaid& said_;
};

}  // namespace

std::string with_places_said(std::string text, const bake::Shell& before, std::size_t part, PartSaid& said) {
    return Moving(std::move(text), before, part, said).run();
}

double heard_extent_m(const std::string& key, const std::string& text, double most_m) {
    const double length_m = PartSaid::hear(key, [&] {
        if (plain_words(text) == "0") return 0.0;
        return heard(text, {.dimension = Dimension::length, .bare = "m", .takes_bare = true}).value;
    });
    constexpr double kRoundingM = 0.006;
    if (length_m > most_m + kRoundingM)
        PartSaid::ask(key, fmt::format("The shell ends at {} m there; {} m is beyond it.", shown(most_m), shown(length_m)));
    if (length_m < 0.0) PartSaid::ask(key, "It begins before the shell does.");
    return std::min(length_m, most_m);
}

}  // namespace bakewright::builder
