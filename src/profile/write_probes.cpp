#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "toml_writer.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

KeyValues calibration_values(const probe::ProbeRecord& record) {
    KeyValues values;
    values.text("date", record.calibrated_on);
    if (!record.due_on.empty()) values.text("due", record.due_on);
    values.quantity("uncertainty", record.calibration->expanded_uncertainty_k, Dimension::temperature_difference);
    values.number("coverage_factor", record.calibration->coverage_factor);
    std::vector<KeyValues> points;
    for (const probe::CalibrationPoint& point : record.calibration->points) {
        KeyValues& row = points.emplace_back();
        row.quantity("temperature", point.temperature_k, Dimension::temperature);
        row.quantity("correction", point.correction_k, Dimension::temperature_difference);
    }
    values.tables("points", points);
    return values;
}

KeyValues probe_values(const probe::ProbeRecord& record) {
    KeyValues values;
    values.text("channel", record.channel);
    if (!record.id.empty()) values.text("id", record.id);
    values.text("type", text_of(kThermocoupleWords, record.type));
    if (record.tolerance) values.text("class", text_of(kToleranceWords, *record.tolerance));
    values.text("attachment", text_of(kAttachmentWords, record.attachment));
    values.number("air_share", record.air_share);
    return values;
}

}  // namespace

std::string to_toml(const probe::ProbeSet& set) {
    std::string text = head(kind_name(Kind::probes), set.id, set.title).lines();
    for (const probe::ProbeRecord& record : set.probes) {
        text += element("probe", probe_values(record));
        if (record.calibration) text += section("probe.calibration", calibration_values(record));
    }
    return text;
}

}  // namespace bakewright::profile
