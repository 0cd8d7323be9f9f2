#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

/// Two ways to write one value: one key with it, or two keys whose product it is.
struct Product {
    std::string_view whole;
    Dimension whole_dimension;
    std::string_view first;
    Dimension first_dimension;
    std::string_view second;
    Dimension second_dimension;
};

constexpr Product kHeatCapacity{"heat_capacity", Dimension::heat_capacity, "mass",
                                Dimension::mass, "specific_heat",          Dimension::specific_heat};
constexpr Product kConductance{"conductance", Dimension::conductance, "film", Dimension::film_coefficient,
                               "area",        Dimension::area};

void read_factors(TableReader& reader, const Product& product, double& target) {
    double first = 0.0;
    double second = 0.0;
    bool complete = reader.read_quantity(product.first, product.first_dimension, first, Need::required);
    complete &= reader.read_quantity(product.second, product.second_dimension, second, Need::required);
    if (!complete) return reader.collector().mark_unread(reader.path_of(product.whole));
    target = first * second;
    // A product that is out of range has to be mended at one of its factors.
    for (const auto& [key, value] : {std::pair(product.first, first), std::pair(product.second, second)})
        if (!(value > 0.0)) reader.problem(key, "must be greater than 0");
    if (!(target > 0.0)) reader.collector().mark_unread(reader.path_of(product.whole));
}

void read_product(TableReader& reader, const Product& product, double& target) {
    const bool whole = reader.has(product.whole);
    const bool first = reader.has(product.first);
    const bool factors = reader.has(product.second) || first;
    if (whole && factors)
        reader.problem(product.whole, fmt::format("is given twice: write either {}, or {} and {}", product.whole, product.first,
                                                  product.second));
    else if (factors)
        read_factors(reader, product, target);
    else if (whole)
        reader.read_quantity(product.whole, product.whole_dimension, target);
    else
        reader.problem(product.whole, fmt::format("is missing; expected {}, or {} and {} instead",
                                                  accepted_forms(product.whole_dimension), product.first, product.second));
}

cure::ExposureLimit read_limit(TableReader& reader) {
    cure::ExposureLimit limit;
    reader.read_quantity("temperature", Dimension::temperature, limit.temperature_k, Need::required);
    if (!reader.holds_text("allowed", "never"))
        reader.read_quantity("allowed", Dimension::time, limit.allowed_s, Need::required);
    else
        reader.has("allowed");
    reader.read_word("scope", kScopeWords, limit.scope);
    if (bool warns = false; reader.read_boolean("warn", warns) && warns) limit.kind = cure::LimitKind::warn;
    reader.finish();
    return limit;
}

/// An item is fixed to a zone, or hangs in the air of a cavity or of the booth.
void read_place(TableReader& reader, bake::Item& item) {
    constexpr std::array<std::string_view, 3> kKeys{"zone", "cavity", "booth"};
    const auto given = std::count_if(kKeys.begin(), kKeys.end(), [&](std::string_view key) { return reader.has(key); });
    bool in_booth = false;
    if (given != 1)
        reader.problem("cavity", "an item has exactly one place: expected zone = \"...\", cavity = \"...\" or booth = true");
    if (reader.read_name("zone", item.where)) item.place = bake::Item::Place::zone;
    if (reader.read_name("cavity", item.where)) item.place = bake::Item::Place::cavity;
    if (reader.read_boolean("booth", in_booth) && in_booth)
        item.place = bake::Item::Place::booth;
    else if (given == 1 && reader.has("booth") && !in_booth)
        reader.problem("booth", "is not true: name a zone or a cavity instead");
    for (const std::string_view key : {"zone", "cavity"})
        if (given != 1 || !reader.has(key)) reader.collector().mark_unread(reader.path_of(key));
}

}  // namespace

void read_item(TableReader& reader, bake::Item& item, cure::HeatSensitiveItem& limits) {
    reader.read_name("name", item.name, Need::required);
    reader.read_text("title", item.title);
    read_place(reader, item);
    read_product(reader, kHeatCapacity, item.heat_capacity_j_per_k);
    read_product(reader, kConductance, item.conductance_w_per_k);
    reader.read_quantity("start", Dimension::temperature, item.start_temperature_k);
    reader.read_name("instead_of", item.instead_of);
    limits.name = item.name;
    limits.title = item.title;
    for (TableReader& limit : reader.tables("limits", Need::required)) limits.limits.push_back(read_limit(limit));
    reader.read_sources(limits.sources);
    reader.finish();
}

}  // namespace bakewright::profile
