#include "bakewright/profile/read.hpp"
#include "document.hpp"
#include "record_readers.hpp"

namespace bakewright::profile {
namespace {

bake::Stage read_stage(TableReader& reader) {
    bake::Stage stage;
    // What a stage needs depends on its kind.
    if (!reader.read_word("kind", kStageWords, stage.kind, Need::required)) reader.collector().mark_unread(reader.path());
    reader.read_quantity("setpoint", Dimension::temperature, stage.setpoint_k);
    reader.read_quantity("duration", Dimension::time, stage.duration_s);
    reader.read_quantity("rate", Dimension::heating_rate, stage.rate_k_per_s);
    if (std::optional<TableReader> infrared = reader.table("infrared")) {
        stage.infrared.emplace();
        infrared->read_names("zones", stage.infrared->zones, Need::required);
        infrared->read_quantity("flux", Dimension::heat_flux, stage.infrared->flux_w_per_m2, Need::required);
        infrared->finish();
    }
    reader.finish();
    return stage;
}

}  // namespace

Located<bake::Cycle> read_cycle(std::string_view text, const std::string& file) {
    Collector collector(file);
    bake::Cycle cycle;
    if (const std::optional<toml::table> root = parse_document(text, collector)) {
        TableReader reader(*root, {}, collector);
        read_head(reader, Kind::cycle, cycle.id, cycle.title);
        reader.read_quantity("start", Dimension::temperature, cycle.start_k);
        for (TableReader& stage : reader.tables("stage", Need::required)) cycle.stages.push_back(read_stage(stage));
        reader.finish();
        collector.add_of_record(problems_in(cycle));
    }
    return collector.finish(std::move(cycle));
}

}  // namespace bakewright::profile
