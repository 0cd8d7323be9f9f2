#include "plan_panel.hpp"

#include <fmt/core.h>

#include <algorithm>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/profile/write.hpp"
#include "bakewright/report/panel_text.hpp"
#include "bakewright/shop/files.hpp"
#include "bakewright/shop/stored_bake.hpp"
#include "judging.hpp"
#include "named_records.hpp"
#include "output.hpp"
#include "planning_options.hpp"

namespace bakewright::cli {
namespace {

plan::PanelFor which_zone(const std::string& name) {
    for (const plan::PanelFor which : {plan::PanelFor::worst, plan::PanelFor::mean, plan::PanelFor::best})
        if (report::panel_for_name(which) == name) return which;
    wrong_option("--test-panel", fmt::format("'{}' is not worst, mean or best", name));
}

/// The panel is baked at the bake's own set point where the user says none.
void take_setpoint(plan::PlanOptions& asked, const Options& options, const StoredBake& bake) {
    if (options.has("set-point") || options.has("highest") || !bake.cycle) return;
    double hottest_k = 0.0;
    for (const bake::Stage& stage : bake.cycle->stages) hottest_k = std::max(hottest_k, stage.setpoint_k.value_or(0.0));
    if (hottest_k > asked.lowest_setpoint_k) asked.highest_setpoint_k = hottest_k;
}

}  // namespace

int plan_panel(const Options& options, const report::Checklist& list) {
    const plan::PanelFor which = which_zone(options.text("test-panel"));
    if (!options.has("bake")) wrong_option("--bake", "is missing: the number of the shell's bake that the panel shall stand for");
    book::Book book = options.open_book(book::Mode::read_only);
    const StoredBake stored = load_bake(book, bake_id(options.text("bake"), "--bake"));
    const cure::Coating coating = coating_for(options, stored);
    const plan::ZoneDose target = plan::dose_for_panel(judge(stored, coating), which);
    const auto panel = profile::load_shell(options.text_or("shell", "test_panel"), options.library());
    const bake::Booth booth = booth_for(options, stored, "name it, or the bench oven the panel is baked in");
    plan::PlanOptions asked = planning_options(options, booth);
    take_setpoint(asked, options, stored);
    const std::vector<cure::HeatSensitiveItem> items = panel.record.heat_sensitive();
    const plan::PlanTask task{panel.record.shell, booth, coating, items};
    const plan::PanelPlan plan = plan::plan_test_panel(task, asked, target.dose.at_value);
    if (plan.found && options.has("out")) write_file(options.text("out"), profile::to_toml(plan.cycle));
    if (options.json())
        print(report::with_checklist(report::to_json_text(plan, target, which), list));
    else
        print(report::between_cautions(report::panel_text(plan, target, which, text_options(options)), list,
                                       text_options(options)));
    return static_cast<int>(plan.found ? ExitStatus::fine : ExitStatus::answer_is_no);
}

}  // namespace bakewright::cli
