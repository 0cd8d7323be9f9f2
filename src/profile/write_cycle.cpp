#include "bakewright/profile/kind.hpp"
#include "bakewright/profile/write.hpp"
#include "toml_writer.hpp"
#include "words.hpp"

namespace bakewright::profile {
namespace {

KeyValues stage_values(const bake::Stage& stage) {
    KeyValues values;
    values.text("kind", text_of(kStageWords, stage.kind));
    values.quantity("setpoint", stage.setpoint_k, Dimension::temperature);
    values.quantity("duration", stage.duration_s, Dimension::time);
    values.quantity("rate", stage.rate_k_per_s, Dimension::heating_rate);
    if (!stage.infrared) return values;
    KeyValues infrared;
    infrared.texts("zones", stage.infrared->zones);
    infrared.quantity("flux", stage.infrared->flux_w_per_m2, Dimension::heat_flux);
    values.table("infrared", infrared);
    return values;
}

}  // namespace

std::string to_toml(const bake::Cycle& cycle) {
    KeyValues values = head(kind_name(Kind::cycle), cycle.id, cycle.title);
    values.quantity("start", cycle.start_k, Dimension::temperature);
    std::string text = values.lines();
    for (const bake::Stage& stage : cycle.stages) text += element("stage", stage_values(stage));
    return text;
}

}  // namespace bakewright::profile
