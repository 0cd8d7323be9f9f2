// SPDX-License-Identifier: Apache-2.0
#include "random_records.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <set>
#include <string>
#include <utility>

#include "bakewright/base/fields.hpp"
#include "bakewright/probe/thermocouple.hpp"

using namespace bakewright;

namespace random_records {
namespace {

int up_to(Random& random, int most) { return std::uniform_int_distribution<int>(0, most)(random); }
bool perhaps(Random& random) { return up_to(random, 1) == 1; }
double between(Random& random, double low, double high) { return std::uniform_real_distribution<double>(low, high)(random); }

std::string some_text(Random& random) {
    const std::vector<std::string> pieces{"roof",        "60 °C", "\"quoted\"", "back\\slash", "<b>", "it's",
                                          "# no remark", "Größe", "[x]",        "a=b",         "塗装"};
    std::string result = pieces[static_cast<std::size_t>(up_to(random, 10))];
    for (int i = up_to(random, 3); i > 0; --i) result += " " + pieces[static_cast<std::size_t>(up_to(random, 10))];
    return result;
}

/// Draws every field within its range, present or absent, by words, units and needs of the fields alone.
class RandomFields final : public Fields {
public:
    explicit RandomFields(Random& random) : random_(random) {}

    void texts(const Field&, std::map<std::string, std::string>& target) override {
        for (int i = up_to(random_, 3); i > 0; --i) target["key " + some_text(random_)] = some_text(random_);
    }
    bool instead(const Field&, std::string_view, bool& is_so) override { return is_so = perhaps(random_); }

private:
    /// Numbers over many powers of ten are drawn evenly in their logarithm.
    double drawn(const Field& field) {
        const double least = std::isfinite(field.range.least) ? field.range.least : -100.0;
        const double most = std::isfinite(field.range.most) ? field.range.most : 100.0;
        const double low = least > 0.0 ? least : most * 1e-9;
        const bool is_wide = least >= 0.0 && most > 1e3 * std::max(least, 1e-9);
        double shown = is_wide ? std::exp(between(random_, std::log(low), std::log(most))) : between(random_, least, most);
        if (field.range.above_least && shown <= least) shown = 0.5 * (least + most);
        return field.unit.si(std::min(shown, most));
    }
    bool is_drawn(const Field& field) { return field.need == Need::required || perhaps(random_); }

    bool number(const Field& field, std::optional<double>& value) override {
        if (is_drawn(field)) value = drawn(field);
        return value.has_value();
    }
    bool flag(const Field&, std::optional<bool>& value) override {
        if (perhaps(random_)) value = perhaps(random_);
        return value.has_value();
    }
    bool text(const Field& field, std::string& value, bool) override {
        if (is_drawn(field)) value = some_text(random_);
        return !value.empty();
    }
    bool word(const Field& field, std::span<const std::string_view> words, std::optional<std::size_t>& index) override {
        if (is_drawn(field)) index = static_cast<std::size_t>(up_to(random_, static_cast<int>(words.size()) - 1));
        return index.has_value();
    }
    bool spread_of(const Field& field, std::optional<Spread>& value) override {
        if (!is_drawn(field)) return false;
        std::array<double, 3> three{drawn(field), drawn(field), drawn(field)};
        std::ranges::sort(three);
        value = Spread{three[0], three[1], three[2]};
        return true;
    }
    bool names(const Field& field, std::vector<std::string>& values) override {
        if (is_drawn(field)) values = {some_text(random_), some_text(random_)};
        return !values.empty();
    }
    bool by_name(const Field&, const std::any& part) override {
        if (auto* const* const material = std::any_cast<thermal::Material*>(&part); material != nullptr && perhaps(random_)) {
            (*material)->id = perhaps(random_) ? "steel" : "glass";
            (*material)->title = some_text(random_);
        }
        return false;
    }
    bool enter(const Field&, bool is_there) override { return is_there || perhaps(random_); }
    std::size_t enter_list(const Field& field, std::size_t) override {
        const int least = field.need == Need::required ? 1 : 0;
        return static_cast<std::size_t>(least + up_to(random_, 2));
    }

    Random& random_;
};

/// What the rules across fields ask of records that were drawn field by field.
void put_right(thermal::HeatLimits& limits) {
    if (limits.warn_k && limits.never_k && *limits.warn_k >= *limits.never_k) std::swap(limits.warn_k, limits.never_k);
}

void put_right(thermal::Material& material, Random& random) {
    put_right(material.limits);
    if (material.limits.never_k) material.is_unharmed = false;
    for (const char* key : {"warn", "never", "unharmed"}) material.sources[key] = some_text(random);
}

void put_right(cure::Coating& coating, Random& random) {
    std::ranges::sort(coating.schedule, {}, &cure::ScheduleRow::temperature_k);
    double minimum_s = coating.schedule.front().minimum_s;
    for (cure::ScheduleRow& row : coating.schedule) {
        row.minimum_s = minimum_s;
        minimum_s *= between(random, 0.5, 0.8);
        if (row.maximum_s && *row.maximum_s <= row.minimum_s) row.maximum_s.reset();
    }
    if (perhaps(random) && coating.floor_k < coating.schedule.front().temperature_k)
        coating.cured_below_the_sheet_from_k = between(random, coating.floor_k, coating.schedule.front().temperature_k);
    else
        coating.cured_below_the_sheet_from_k.reset();
    coating.sources["cured_below_the_sheet_from"] = some_text(random);
    if (!coating.kinetics) return;
    if (coating.kinetics->start_conversion >= 1.0) coating.kinetics->start_conversion = 0.5;
    if (coating.kinetics->required_conversion >= 1.0) coating.kinetics->required_conversion.reset();
}

void put_right(bake::Learned& learned, bool of_booth) {
    std::set<std::pair<bake::LearnedKind, std::string>> seen;
    std::erase_if(learned.numbers, [&](bake::LearnedNumber& number) {
        if (!has_subject(number.kind)) number.subject.clear();
        if (has_subject(number.kind) && number.subject.empty()) number.subject = "roof";
        return (of_booth && !is_of_booth(number.kind)) || !seen.insert({number.kind, number.subject}).second;
    });
    for (std::size_t i = 1; i < learned.numbers.size(); ++i) learned.numbers[i].correlation.assign(i, 0.1234567890123);
}

void put_right(bake::Booth& booth, Random&) {
    if (booth.film_w_per_m2_k) booth.air_speed_m_per_s.reset();
    if (booth.purges_by_itself) booth.purge_s.reset();
    std::ranges::sort(booth.vertical_profile, {}, &bake::VerticalOffset::height_m);
    const bake::BoothSize box = booth.inside();
    if (booth.door && (booth.door->width_m > box.width_m || booth.door->height_m > box.height_m)) booth.door.reset();
    put_right(booth.learned, true);
}

void put_right(bake::Cycle& cycle, Random& random) {
    for (bake::Stage& stage : cycle.stages) {
        const bool may_have_rate =
            stage.setpoint_k && (stage.kind == bake::StageKind::ramp || stage.kind == bake::StageKind::cool);
        if (stage.rate_k_per_s && (!may_have_rate || perhaps(random))) stage.rate_k_per_s.reset();
        if (stage.rate_k_per_s) stage.duration_s.reset();
        if (!stage.rate_k_per_s && !stage.duration_s) stage.duration_s = between(random, 1.0, 1e4);
        if (stage.door_open_s && stage.duration_s && *stage.door_open_s > *stage.duration_s) stage.door_open_s.reset();
    }
}

void put_right(probe::ProbeSet& set, Random& random) {
    for (std::size_t i = 0; i < set.probes.size(); ++i) {
        probe::ProbeRecord& probe = set.probes[i];
        probe.channel += std::to_string(i);
        if (!probe.calibration && !probe.tolerance) probe.tolerance = probe::ToleranceClass::iec_2;
        if (!probe.calibration) continue;
        std::ranges::sort(probe.calibration->points, {}, &probe::CalibrationPoint::temperature_k);
        probe.calibrated_on = "2026-03-02";
        probe.due_on = perhaps(random) ? "2027-03-02" : "";
    }
}

void put_right(probe::SourceRecord& source, Random& random) {
    if (source.least_k > source.most_k) std::swap(source.least_k, source.most_k);
    if (!source.lines) source.lines.emplace();
    if (!source.serial) source.serial.emplace();
    if (!source.modbus) source.modbus.emplace();
    if (!source.mqtt) source.mqtt.emplace();
    if (!source.replay) source.replay.emplace();
    source.lines->path = source.modbus->host = source.mqtt->host = source.serial->device = "some/place";
    source.replay->bake = "12";
    for (double* whole : {&source.modbus->port, &source.modbus->unit, &source.mqtt->port, &source.serial->speed,
                          &source.serial->data_bits, &source.serial->stop_bits})
        *whole = std::ceil(*whole);
    for (std::size_t i = 0; i < source.channels.size(); ++i) {
        probe::SourceChannel& channel = source.channels[i];
        channel.name += std::to_string(i);
        if (!channel.place.empty()) channel.place += std::to_string(i);
        if (!channel.unit) channel.unit = probe::ReadingUnit::deg_f;
        channel.register_address = std::floor(between(random, 0.0, 60000.0));
        channel.topic = "booth/" + std::to_string(i);
        channel.pointer = perhaps(random) ? "" : "/a~1b/0";
        channel.time_pointer = perhaps(random) ? "" : "/at";
    }
}

bake::Layer air_gap(Random& random) {
    bake::Layer layer;
    layer.kind = bake::Layer::Kind::air_gap;
    layer.thickness_m = between(random, 1e-3, 0.1);
    return layer;
}

void put_right(bake::Zone& zone, const bake::Shell& shell, Random& random) {
    for (bake::Face* face : {&zone.outer, &zone.inner}) {
        face->cavity.clear();
        if (face->view == bake::FaceView::cavity && !shell.cavities.empty()) face->cavity = shell.cavities.front().name;
    }
    for (bake::Layer& layer : zone.layers) put_right(layer.material, random);
    if (perhaps(random)) zone.layers.insert(zone.layers.begin() + 1, air_gap(random));
    if (zone.layers.back().kind == bake::Layer::Kind::air_gap) zone.layers.push_back(zone.layers.front());
    for (bake::DrawnPlace& place : zone.places) {
        if (place.from > place.to) std::swap(place.from, place.to);
        if (place.low > place.high) std::swap(place.low, place.high);
    }
    put_right(zone.limits);
    zone.limit_source = some_text(random);
}

void put_right(bake::Item& item, cure::HeatSensitiveItem& limits, const bake::Shell& shell, Random& random) {
    item.place = static_cast<bake::Item::Place>(up_to(random, 2));
    if (item.place == bake::Item::Place::cavity && shell.cavities.empty()) item.place = bake::Item::Place::booth;
    item.where = item.place == bake::Item::Place::zone     ? shell.zones.front().name
                 : item.place == bake::Item::Place::cavity ? shell.cavities.front().name
                                                           : "";
    item.instead_of =
        item.place == bake::Item::Place::zone && perhaps(random) ? shell.zones.front().layers.front().material.id : "";
    limits.name = item.name;
    limits.title = item.title;
    limits.limits.front().kind = cure::LimitKind::never;
}

void put_right(profile::ShellProfile& profile, Random& random) {
    bake::Shell& shell = profile.shell;
    if (shell.zones.size() < 2) shell.links.clear();
    std::size_t count = 0;
    const auto rename = [&](std::string& name) { name += " " + std::to_string(count++); };
    for (bake::Zone& zone : shell.zones) rename(zone.name);
    for (bake::Cavity& cavity : shell.cavities) rename(cavity.name);
    for (bake::Zone& zone : shell.zones) put_right(zone, shell, random);
    for (bake::Link& link : shell.links) {
        link.from = shell.zones.front().name;
        link.to = shell.zones.back().name;
    }
    for (bake::Cavity& cavity : shell.cavities) {
        put_right(cavity.contents_limits);
        cavity.contents_limit_source = some_text(random);
    }
    profile.item_limits.resize(shell.items.size());
    for (std::size_t i = 0; i < shell.items.size(); ++i) {
        rename(shell.items[i].name);
        put_right(shell.items[i], profile.item_limits[i], shell, random);
    }
    put_right(shell.learned, false);
}

bake::Shell& named(profile::ShellProfile& profile) { return profile.shell; }
template <class Record>
Record& named(Record& record) {
    return record;
}

std::vector<Problem> problems_in_whole(const profile::ShellProfile& profile) {
    std::vector<Problem> found = problems_in(profile.shell);
    for (const cure::HeatSensitiveItem& limits : profile.item_limits)
        for (Problem& problem : problems_in(limits, "item")) found.push_back(std::move(problem));
    return found;
}
template <class Record>
std::vector<Problem> problems_in_whole(const Record& record) {
    return problems_in(record);
}

/// Draws until the rules across fields agree.
template <class Record>
Record drawn(Random& random) {
    for (;;) {
        Record record;
        RandomFields fields(random);
        visit_fields(record, fields);
        named(record).id = "drawn";
        named(record).title = some_text(random);
        put_right(record, random);
        if (problems_in_whole(record).empty()) return record;
    }
}

}  // namespace

thermal::Material material(Random& random) { return drawn<thermal::Material>(random); }
cure::Coating coating(Random& random) { return drawn<cure::Coating>(random); }
bake::Booth booth(Random& random) { return drawn<bake::Booth>(random); }
bake::Cycle cycle(Random& random) { return drawn<bake::Cycle>(random); }
probe::ProbeSet probes(Random& random) { return drawn<probe::ProbeSet>(random); }
probe::SourceRecord source(Random& random) { return drawn<probe::SourceRecord>(random); }
profile::ShellProfile shell(Random& random) { return drawn<profile::ShellProfile>(random); }

}  // namespace random_records
