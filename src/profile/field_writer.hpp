// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <vector>

#include "bakewright/base/field_list.hpp"
#include "bakewright/base/fields.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/thermal/material.hpp"
#include "toml_writer.hpp"

namespace bakewright::profile {

/// Writes a record as the TOML that FieldReader gives back as an equal record.
class FieldWriter final : public Fields {
public:
    /// @param head       keys before the record's own
    /// @param materials  that are written once, under a heading of their own, and named where they are used
    explicit FieldWriter(KeyValues head, std::vector<thermal::Material> materials = {})
        : opened_{Opened{.values = std::move(head)}}, materials_(std::move(materials)) {}

    /// Writes as a hand would. @param fields  of this kind of profile: what stands at its default is left out
    /// @param named  materials that are named and written nowhere here, since a library has them
    FieldWriter(KeyValues head, const HandStyle& style, std::vector<FieldFacts> fields, std::vector<thermal::Material> named)
        : opened_{Opened{.values = std::move(head)}}, materials_(std::move(named)), style_(&style), fields_(std::move(fields)) {}

    [[nodiscard]] std::string text() const { return opened_.front().values.lines() + opened_.front().after; }

    void named_parts(const Field& field) override;
    void texts(const Field& field, std::map<std::string, std::string>& texts) override;
    bool instead(const Field& field, std::string_view word, bool& is_so) override;

private:
    enum class Form { inlined, section, element, row };
    struct Opened {
        std::string path{};   ///< of its heading
        std::string place{};  ///< the same with the indices of lists: "zone[2].layers[0]"
        Form form = Form::section;
        KeyValues values{};
        std::string after{};  ///< sections that follow its own keys
    };
    struct List {
        const Field* field;
        std::vector<KeyValues> rows;
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
    void leave_list() override;

    [[nodiscard]] Opened& top() { return opened_.back(); }
    [[nodiscard]] bool is_inlined() { return top().form == Form::inlined || top().form == Form::row; }
    [[nodiscard]] std::string path_of(std::string_view key);
    [[nodiscard]] std::string place_of(std::string_view key);
    [[nodiscard]] std::string quantity_text(const Field& field, double value);
    /// Whether a value is what its field has where it is missing. Numbers without a unit are always written: the emissivity of a
    /// bare zone's face is its material's where none stands.
    [[nodiscard]] bool is_default(const Field& field, const std::string& shown);
    void add_remark(std::string_view key);
    [[nodiscard]] std::string remark_above(const std::string& place) const;

    std::vector<Opened> opened_;
    std::vector<List> lists_;
    std::vector<thermal::Material> materials_;
    const HandStyle* style_ = nullptr;  ///< absent: canonical
    std::vector<FieldFacts> fields_;
};

}  // namespace bakewright::profile
