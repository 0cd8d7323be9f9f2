// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <any>
#include <cmath>
#include <concepts>
#include <cstddef>
#include <limits>
#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <type_traits>
#include <utility>
#include <vector>

#include "bakewright/base/gauge.hpp"
#include "bakewright/base/quantity.hpp"
#include "bakewright/base/units.hpp"
#include "bakewright/base/words.hpp"

/// Fields of records. What a record's values are called in files, in which unit, range and words they are accepted, what stands
/// in where one is missing and why, is told once: by `void visit_fields(Record&, Fields&)` beside the record. Reading, writing,
/// checking, listing and drawing at random are visitors.
namespace bakewright {

/// A unit that ranges are told in: SI = shown * si_per_unit + zero_si.
struct FieldUnit {
    std::string_view name{};
    std::optional<Dimension> dimension{};  ///< absent: a number without a unit, written without quotes
    double si_per_unit = 1.0;
    double zero_si = 0.0;

    [[nodiscard]] constexpr double si(double shown) const noexcept { return shown * si_per_unit + zero_si; }
    [[nodiscard]] constexpr double shown(double value_si) const noexcept { return (value_si - zero_si) / si_per_unit; }
    /// "20 degC"
    [[nodiscard]] std::string text(double value_si) const;
};

/// The units of the tables of fields.
namespace unit {
inline constexpr FieldUnit none{};
inline constexpr FieldUnit deg_c{"degC", Dimension::temperature, 1.0, celsius_to_kelvin(0.0)};
inline constexpr FieldUnit k{"K", Dimension::temperature_difference};
inline constexpr FieldUnit k_per_min{"K/min", Dimension::heating_rate, 1.0 / kSecondPerMinute};
inline constexpr FieldUnit s{"s", Dimension::time};
inline constexpr FieldUnit h{"h", Dimension::time, kSecondPerHour};
inline constexpr FieldUnit d{"d", Dimension::time, 24.0 * kSecondPerHour};
inline constexpr FieldUnit per_h{"per h", Dimension::air_change_rate, 1.0 / kSecondPerHour};
inline constexpr FieldUnit um{"um", Dimension::length, 1e-6};
inline constexpr FieldUnit mm{"mm", Dimension::length, 1e-3};
inline constexpr FieldUnit m{"m", Dimension::length};
inline constexpr FieldUnit m2{"m2", Dimension::area};
inline constexpr FieldUnit m3{"m3", Dimension::volume};
inline constexpr FieldUnit kg{"kg", Dimension::mass};
inline constexpr FieldUnit kg_per_m3{"kg/m3", Dimension::density};
inline constexpr FieldUnit m_per_s{"m/s", Dimension::speed};
inline constexpr FieldUnit m3_per_s{"m3/s", Dimension::volume_flow};
inline constexpr FieldUnit kw{"kW", Dimension::power, 1e3};
inline constexpr FieldUnit w_per_k{"W/K", Dimension::conductance};
inline constexpr FieldUnit w_per_mk{"W/mK", Dimension::conductivity};
inline constexpr FieldUnit w_per_m2{"W/m2", Dimension::heat_flux};
inline constexpr FieldUnit w_per_m2k{"W/m2K", Dimension::film_coefficient};
inline constexpr FieldUnit m2k_per_w{"m2K/W", Dimension::thermal_resistance};
inline constexpr FieldUnit j_per_k{"J/K", Dimension::heat_capacity};
inline constexpr FieldUnit j_per_kgk{"J/kgK", Dimension::specific_heat};
inline constexpr FieldUnit kj_per_m2k{"kJ/m2K", Dimension::areal_heat_capacity, 1e3};
inline constexpr FieldUnit kj_per_mol{"kJ/mol", Dimension::activation_energy, 1e3};
}  // namespace unit

/// What a number may be, in the unit of its field; the ends are accepted where nothing else is said.
struct Range {
    double least = -std::numeric_limits<double>::infinity();
    double most = std::numeric_limits<double>::infinity();
    bool above_least = false;
    bool below_most = false;
};

/// "0.01 to 100000 m3", "more than 0, up to 60 d", "any finite number".
[[nodiscard]] std::string accepted_text(const Range& range, const FieldUnit& unit);

/// A number with the range it may plausibly have; low <= value <= high.
struct Spread {
    double low = 0.0;
    double value = 0.0;
    double high = 0.0;
    bool operator==(const Spread&) const = default;
};

enum class Need { optional, required };

/// One field of a record.
struct Field {
    std::string_view key{};
    FieldUnit unit{};
    Range range{};
    Need need = Need::optional;
    std::string_view what{};       ///< what it is, for people
    std::string_view rule{};       ///< what is accepted beyond the range and looks at other fields too
    std::string_view needed{};     ///< when it is, where that is not always or never
    std::string_view otherwise{};  ///< what counts where it is missing and the record's own default does not tell
    std::string_view source{};     ///< of that default
    std::string_view note{};       ///< told where it is missing: the default that is then used, and why
    GaugeSeries gauge = GaugeSeries::none;
    bool is_section = false;    ///< a table or list that files write under headings of its own
    bool counts = true;         ///< a number that counts for nothing, as the other fields stand, may be any
    bool rows_compare = false;  ///< a list whose rows are held against each other: one that cannot be read spoils them all
};

/// Visits the fields of a record. Every value is told with its field; the answer is whether it is given. Who reads puts in what
/// it finds and says false where that is nothing; for who looks at a record as it is, all that is in it is given.
class Fields {
public:
    Fields() = default;
    Fields(const Fields&) = delete;
    Fields& operator=(const Fields&) = delete;
    virtual ~Fields() = default;

    bool operator()(const Field& field, std::optional<double>& value) { return number(field, value); }
    bool operator()(const Field& field, double& value) {
        return as_optional(value, [&](auto& held) { return number(field, held); });
    }
    bool operator()(const Field& field, std::optional<bool>& value) { return flag(field, value); }
    bool operator()(const Field& field, bool& value) {
        return as_optional(value, [&](auto& held) { return flag(field, held); });
    }
    /// A flag that is not worth a word while it is not set.
    bool mark(const Field& field, bool& value);
    bool operator()(const Field& field, std::string& value) { return text(field, value, false); }
    /// A name that other parts use, shorter than a text may be.
    bool name(const Field& field, std::string& value) { return text(field, value, true); }
    bool operator()(const Field& field, std::vector<std::string>& value) { return names(field, value); }
    bool operator()(const Field& field, std::vector<double>& value) { return numbers(field, value); }

    template <class Value>
    requires std::is_enum_v<Value>
    bool operator()(const Field& field, std::optional<Value>& value) {
        const auto words = words_of(Value{});
        std::optional<std::size_t> index;
        if (value) index = static_cast<std::size_t>(*value);
        const bool given = word(field, words, index);
        if (index) value = static_cast<Value>(*index);
        return given;
    }
    template <class Value>
    requires std::is_enum_v<Value>
    bool operator()(const Field& field, Value& value) {
        return as_optional(value, [&](std::optional<Value>& held) { return (*this)(field, held); });
    }

    /// Low, value and high of a quantity; one quantity stands for all three. @tparam Triple  a record of these three numbers
    template <class Triple>
    bool spread(const Field& field, std::optional<Triple>& value) {
        std::optional<Spread> held;
        if (value) {
            const auto& [low, middle, high] = *value;
            held = Spread{low, middle, high};
        }
        const bool given = spread_of(field, held);
        if (held) value = Triple{held->low, held->value, held->high};
        return given;
    }

    /// A table below this one. @param visit  visits its fields
    template <std::invocable Visit>
    bool table(const Field& field, Visit visit) {
        return optional_table(field, true, std::move(visit));
    }
    /// @param is_there  whether the record has it
    template <std::invocable Visit>
    bool optional_table(const Field& field, bool is_there, Visit visit) {
        if (!enter(field, is_there)) return false;
        visit();
        leave();
        return true;
    }
    template <class Part>
    requires(!std::invocable<Part&>) bool table(const Field& field, Part& part) {
        return table(field, [&] { visit_fields(part, *this); });
    }
    template <class Part>
    bool table(const Field& field, std::optional<Part>& part) {
        return optional_table(field, part.has_value(), [&] {
            if (!part) part.emplace();
            visit_fields(*part, *this);
        });
    }
    /// A list of tables. @param visit  visits the fields of one part, (part, index)
    template <class Part, class Visit>
    void list(const Field& field, std::vector<Part>& parts, Visit visit) {
        parts.resize(enter_list(field, parts.size()));
        for (std::size_t i = 0; i < parts.size(); ++i) {
            enter_entry(i);
            visit(parts[i], i);
            leave();
        }
        leave_list();
    }
    template <class Part>
    void list(const Field& field, std::vector<Part>& parts) {
        list(field, parts, [&](Part& part, std::size_t) { visit_fields(part, *this); });
    }
    /// A part that may stand in a table here, or elsewhere under a name which is then written here, such as a material.
    template <class Part>
    void part(const Field& field, Part& part) {
        if (!by_name(field, std::any(&part))) table(field, part);
    }
    /// Where the parts of by_name() stand that a file brings along.
    virtual void named_parts(const Field&) {}

    /// Texts under keys that are free.
    virtual void texts(const Field&, std::map<std::string, std::string>&) {}
    void sources(std::map<std::string, std::string>& target) {
        texts({.key = "sources", .what = "where each number comes from"}, target);
    }

    /// Which of several ways a record is given: whether the file has this key; who does not read is told what is so.
    virtual bool chooses(const Field&, bool is_so) { return is_so; }
    /// A word that may stand in place of a number: "by itself". @return whether it does
    virtual bool instead(const Field&, std::string_view /*word*/, bool& is_so) { return is_so; }
    /// A number that a file may also give as the product of two.
    virtual bool product(const Field& whole, const Field& /*first*/, const Field& /*second*/, double& value) {
        return (*this)(whole, value);
    }

    // For what only the form of a file can have wrong; who does not read has no use for it. Keys are those of this table.
    virtual void problem(std::string_view /*key*/, std::string /*message*/) {}
    /// What is found wrong at the key (empty: in this table) would only echo that it could not be read.
    virtual void spoiled(std::string_view /*key*/) {}
    /// What the other keys of this table mean is not known.
    virtual void give_up() {}
    virtual void remark(std::string_view) {}

protected:
    virtual bool number(const Field&, std::optional<double>&) { return true; }
    virtual bool flag(const Field&, std::optional<bool>&) { return true; }
    virtual bool text(const Field&, std::string&, bool /*is_name*/) { return true; }
    virtual bool word(const Field&, std::span<const std::string_view>, std::optional<std::size_t>&) { return true; }
    virtual bool spread_of(const Field&, std::optional<Spread>&) { return true; }
    virtual bool numbers(const Field&, std::vector<double>&) { return true; }
    virtual bool names(const Field&, std::vector<std::string>&) { return true; }
    virtual bool by_name(const Field&, const std::any& /*pointer to the part*/) { return false; }
    /// @param is_there  whether the record has it  @return whether its fields are to be visited; leave() follows
    virtual bool enter(const Field&, bool is_there) { return is_there; }
    virtual void leave() {}
    /// @return how many entries there are to be
    virtual std::size_t enter_list(const Field&, std::size_t count) { return count; }
    virtual void enter_entry(std::size_t /*index*/) {}
    virtual void leave_list() {}

private:
    template <class Value, class Visit>
    static bool as_optional(Value& value, Visit visit) {
        std::optional<Value> held(value);
        const bool given = visit(held);
        if (held) value = *held;
        return given;
    }
};

/// Holds a record's numbers to the ranges of their fields, and gathers what rules across fields find beside. Messages give a
/// number and what is accepted in the unit of the range; a reader of files says both in the unit that was written.
class FieldCheck final : public Fields {
public:
    /// @param prefix  path of the record inside its file, such as "material[1]"
    explicit FieldCheck(std::string prefix = {}) : path_(std::move(prefix)) {}

    template <class Record>
    void check(Record record) {  // visitors may write: a copy
        visit_fields(record, *this);
    }
    /// @param key  where the record stands
    template <class Record>
    void check(std::string_view key, Record record) {
        descend(key);
        visit_fields(record, *this);
        leave();
    }
    void add(std::string_view key, std::string message, std::optional<OutOfRange> range = std::nullopt);
    void within(std::string_view key, double value, const Range& range, const FieldUnit& unit);
    void require(bool holds, std::string_view key, double value, const FieldUnit& unit, std::string_view accepted);
    void add_all(std::vector<Problem> problems);
    /// Whether nothing was found at or below a key.
    [[nodiscard]] bool is_fine(std::string_view key) const;
    [[nodiscard]] bool found_none() const noexcept { return problems_.empty(); }
    [[nodiscard]] std::vector<Problem> take() { return std::move(problems_); }
    /// @throws InputError where anything was found
    void throw_if_any();

private:
    bool number(const Field& field, std::optional<double>& value) override;
    bool spread_of(const Field& field, std::optional<Spread>& value) override;
    bool numbers(const Field& field, std::vector<double>& values) override;
    bool enter(const Field& field, bool is_there) override;
    void leave() override;
    std::size_t enter_list(const Field& field, std::size_t count) override;
    void enter_entry(std::size_t index) override;
    void leave_list() override { lists_.pop_back(); }
    void descend(std::string_view step);
    [[nodiscard]] std::string path_of(std::string_view key) const;

    std::string path_;
    std::vector<std::size_t> lengths_;     ///< of path_ before each step down
    std::vector<std::string_view> lists_;  ///< keys of the lists that are visited
    std::vector<Problem> problems_;
};

/// What is wrong with a record's fields, each for itself.
template <class Record>
[[nodiscard]] std::vector<Problem> problems_in_fields(const Record& record, std::string prefix = {}) {
    FieldCheck check(std::move(prefix));
    check.check(record);
    return check.take();
}

}  // namespace bakewright
