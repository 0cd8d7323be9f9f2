#include "bakewright/profile/read.hpp"
#include "document.hpp"
#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

probe::Calibration read_calibration(TableReader& reader, probe::ProbeRecord& record) {
    probe::Calibration calibration;
    reader.read_text("date", record.calibrated_on, Need::required);
    reader.read_text("due", record.due_on);
    reader.read_quantity("uncertainty", Dimension::temperature_difference, calibration.expanded_uncertainty_k, Need::required);
    reader.read_number("coverage_factor", calibration.coverage_factor, "a number from 1 to 4");
    for (TableReader& row : reader.tables("points", Need::required)) {
        probe::CalibrationPoint point;
        row.read_quantity("temperature", Dimension::temperature, point.temperature_k, Need::required);
        row.read_quantity("correction", Dimension::temperature_difference, point.correction_k, Need::required);
        row.finish();
        calibration.points.push_back(point);
    }
    reader.finish();
    return calibration;
}

probe::ProbeRecord read_probe(TableReader& reader) {
    probe::ProbeRecord record;
    reader.read_name("channel", record.channel, Need::required);
    reader.read_text("id", record.id);
    reader.read_word("type", kThermocoupleWords, record.type, Need::required);
    probe::ToleranceClass tolerance{};
    if (reader.read_word("class", kToleranceWords, tolerance)) record.tolerance = tolerance;
    reader.read_word("attachment", kAttachmentWords, record.attachment, Need::required);
    record.air_share = probe::usual_air_share(record.attachment);
    reader.read_number("air_share", record.air_share, "a number from 0 to 0.5");
    if (std::optional<TableReader> calibration = reader.table("calibration"))
        record.calibration = read_calibration(*calibration, record);
    reader.finish();
    return record;
}

}  // namespace

Located<probe::ProbeSet> read_probes(std::string_view text, const std::string& file) {
    Collector collector(file);
    probe::ProbeSet set;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        read_head(reader, Kind::probes, set.id, set.title);
        for (TableReader& one : reader.tables("probe", Need::required)) set.probes.push_back(read_probe(one));
        reader.finish();
        collector.add_of_record(problems_in(set));
    }
    return collector.finish(std::move(set));
}

}  // namespace bakewright::profile
