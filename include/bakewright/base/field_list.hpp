// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "bakewright/base/fields.hpp"

namespace bakewright {

/// One field of a record, for forms and tables.
struct FieldFacts {
    /// choice: one of several keys that say one thing in different ways; part: a table, or the name of one
    enum class Kind { number, flag, text, name, word, spread, numbers, names, table, list, part, choice, texts };
    std::string path;  ///< "burner.power", "schedule[].temperature"
    Kind kind = Kind::number;
    Field field;
    std::vector<std::string_view> words;  ///< of a word; those that may stand in place of a number
    std::string missing;  ///< what counts where it is missing: "300 m3"; empty where it is required, or nothing does
};

/// Lists the fields of a record in their order.
class FieldList final : public Fields {
public:
    /// @param goes_below  into tables and lists; not into parts that may be named
    explicit FieldList(bool goes_below) : goes_below_(goes_below) {}
    [[nodiscard]] std::vector<FieldFacts> take() { return std::move(facts_); }

    void named_parts(const Field& field) override { add(field, Kind::list); }
    void texts(const Field& field, std::map<std::string, std::string>&) override;
    bool chooses(const Field& field, bool is_so) override;
    bool instead(const Field& field, std::string_view word, bool& is_so) override;

private:
    using Kind = FieldFacts::Kind;

    bool number(const Field& field, std::optional<double>& value) override;
    bool flag(const Field& field, std::optional<bool>& value) override;
    bool text(const Field& field, std::string& value, bool is_name) override;
    bool word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) override;
    bool spread_of(const Field& field, std::optional<Spread>& value) override;
    bool numbers(const Field& field, std::vector<double>& values) override;
    bool names(const Field& field, std::vector<std::string>& values) override;
    bool by_name(const Field& field, const std::any& part) override;
    bool enter(const Field& field, bool is_there) override;
    void leave() override { prefixes_.pop_back(); }
    std::size_t enter_list(const Field& field, std::size_t count) override;
    void enter_entry(std::size_t) override { prefixes_.push_back(path_of(lists_.back()) + "[]."); }
    void leave_list() override { lists_.pop_back(); }

    [[nodiscard]] std::string path_of(std::string_view key) const;
    FieldFacts& add(const Field& field, Kind kind, std::string missing = {});

    bool goes_below_;
    std::vector<std::string> prefixes_;
    std::vector<std::string_view> lists_;
    std::vector<FieldFacts> facts_;
};

/// The fields of a record, with the defaults of an example of it.
template <class Record>
[[nodiscard]] std::vector<FieldFacts> list_fields(Record example = {}, bool goes_below = true) {
    FieldList list(goes_below);
    visit_fields(example, list);
    return list.take();
}

}  // namespace bakewright
