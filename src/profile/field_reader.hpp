// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/fields.hpp"
#include "material_lookup.hpp"
#include "table_reader.hpp"

namespace bakewright::profile {

/// Fills a record from a table of a profile, field by field; the collector learns everything that is wrong in it.
class FieldReader final : public Fields {
public:
    /// @param table      outlives this
    /// @param materials  where parts that are named are found; none where records have no such parts
    explicit FieldReader(TableReader& table, MaterialLookup* materials = nullptr)
        : collector_(&table.collector()), materials_(materials), root_(&table) {}

    void named_parts(const Field& field) override;
    void texts(const Field& field, std::map<std::string, std::string>& target) override { top().read_texts(field.key, target); }
    bool chooses(const Field& field, bool is_so) override;
    bool instead(const Field& field, std::string_view word, bool& is_so) override;
    bool product(const Field& whole, const Field& first, const Field& second, double& value) override;
    void problem(std::string_view key, std::string message) override { top().problem(key, std::move(message)); }
    void spoiled(std::string_view key) override;
    void give_up() override { opened_.back().is_given_up = true; }
    void remark(std::string_view text) override { collector_->note(std::string(text)); }

private:
    struct Opened {
        TableReader reader;
        bool spoils_list = false;  ///< an entry of a list whose rows compare
        bool is_given_up = false;
    };
    struct List {
        std::vector<TableReader> entries;
        std::string path;
        bool rows_compare = false;
    };

    bool number(const Field& field, std::optional<double>& value) override;
    bool flag(const Field& field, std::optional<bool>& value) override;
    bool text(const Field& field, std::string& value, bool is_name) override;
    bool word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) override;
    bool spread_of(const Field& field, std::optional<Spread>& value) override;
    bool numbers(const Field& field, std::vector<double>& values) override;
    bool names(const Field& field, std::vector<std::string>& values) override;
    bool by_name(const Field& field, const std::any& part) override;
    bool enter(const Field& field, bool is_there) override;
    void leave() override;
    std::size_t enter_list(const Field& field, std::size_t count) override;
    void enter_entry(std::size_t index) override;
    void leave_list() override { lists_.pop_back(); }

    [[nodiscard]] TableReader& top() { return opened_.empty() ? *root_ : opened_.back().reader; }
    void read_factors(const Field& whole, const Field& first, const Field& second, double& value);
    void note_default(const Field& field);

    Collector* collector_;
    MaterialLookup* materials_;
    TableReader* root_;
    std::vector<Opened> opened_;
    std::vector<List> lists_;
};

}  // namespace bakewright::profile
