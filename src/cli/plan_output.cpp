// SPDX-License-Identifier: Apache-2.0
#include "plan_output.hpp"

#include <fmt/core.h>

#include "bakewright/profile/write.hpp"
#include "bakewright/report/answers.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/report/plan_text.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/services/files.hpp"
#include "card.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

/// The planned cycle under the name of its file, so that the written profile reads like one made by hand.
bake::Cycle named_cycle(bake::Cycle cycle, const std::string& path, const std::string& title) {
    const std::size_t slash = path.find_last_of('/');
    std::string name = slash == std::string::npos ? path : path.substr(slash + 1);
    if (name.ends_with(".toml")) name.resize(name.size() - 5);
    if (!name.empty() && name != "-") cycle.id = name;
    cycle.title = title;
    return cycle;
}

}  // namespace

void write_cycle(plan::Plan& plan, const plan::PlanTask& task, const std::string& path) {
    plan.cycle = named_cycle(plan.cycle, path, fmt::format("planned for {} in {}", task.shell.title, task.booth.title));
    write_file(path, profile::to_toml(plan.cycle));
}

std::vector<plan::Remedy> remedies_for(const plan::PlanTask& task, const plan::PlanOptions& asked, const plan::Plan& plan) {
    if (plan.feasible || plan.candidates.empty()) return {};
    return plan::remedies(task, asked, plan);
}

int plan_status(const plan::Plan& plan) {
    const bool is_good = plan.feasible && plan.verdict.worst() == cure::Word::good && plan.verdict.questions.empty();
    return static_cast<int>(is_good ? ExitStatus::fine : ExitStatus::answer_is_no);
}

void show_plan(const Options& options, const plan::Plan& plan, const report::PlanCompany& company, const report::Checklist& list,
               const std::vector<std::string>& foreword, const std::string& so_far) {
    if (options.json()) return print_json(report::document_of(plan, company), list);
    report::Answer answer = report::plan_answer(plan, company, list, text_options(options), started_at(options), foreword);
    answer.part("so-far", so_far);
    print(answer, options);
}

}  // namespace bakewright::cli
