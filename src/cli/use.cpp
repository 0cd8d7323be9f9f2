// SPDX-License-Identifier: Apache-2.0
#include <fmt/core.h>

#include "bakewright/base/error.hpp"
#include "bakewright/profile/read.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/plain_text.hpp"
#include "bakewright/services/job_at_hand.hpp"
#include "bakewright/services/stored_bake.hpp"
#include "command.hpp"
#include "options.hpp"
#include "output.hpp"

namespace bakewright::cli {
namespace {

namespace po = boost::program_options;

/// A line of the job, with the title of what it names; a profile that is gone is told.
void show(const char* kind, const std::string& name, const std::string& title) {
    fmt::print("{:<8} {}\n", kind, name.empty() ? "not set" : report::one_line(title == name ? name : name + ", " + title));
}

}  // namespace

int run_use(const std::vector<std::string>& words) {
    Options options("use [--shell NAME] [--booth NAME] [--coating NAME] [--nothing]",
                    "Sets what plan, predict and probe-advice work on where they are not told; without an option it shows it.\n"
                    "It is kept beside the book. An option of a command goes before it.");
    const auto text = [] { return po::value<std::string>()->value_name("NAME"); };
    options.add()("shell", text(), "the shell: a profile, or a tuned one of the book")("booth", text(), "the booth, likewise")(
        "coating", text(), "the coating")("nothing", "forgets all three");
    if (!options.read(words)) return static_cast<int>(ExitStatus::fine);
    const std::string book = options.book_path();
    services::JobAtHand job = options.flag("nothing") ? services::JobAtHand{} : services::job_at_hand(book);
    const bool changes = options.flag("nothing") || options.has("shell") || options.has("booth") || options.has("coating");
    if (options.has("shell")) job.shell = options.text("shell");
    if (options.has("booth")) job.booth = options.text("booth");
    if (options.has("coating")) job.coating = options.text("coating");
    const profile::Library library = options.library();
    const services::RecordSources sources{library, book};
    // Nothing is set that the next command could not find.
    const std::string shell = job.shell.empty() ? "" : services::find_shell(sources, job.shell).record.shell.title;
    const std::string booth = job.booth.empty() ? "" : services::find_booth(sources, job.booth).record.title;
    const std::string coating = job.coating.empty() ? "" : profile::load_coating(job.coating, library).record.title;
    if (changes) services::set_job(book, job);
    if (options.json()) {
        const auto json = [](const std::string& name, const std::string& title) {
            return name.empty() ? report::Json(nullptr) : report::Json{{"name", name}, {"title", title}};
        };
        print_json(report::document(
            "bakewright.job-at-hand",
            {{"shell", json(job.shell, shell)}, {"booth", json(job.booth, booth)}, {"coating", json(job.coating, coating)}}));
        return static_cast<int>(ExitStatus::fine);
    }
    show("shell", job.shell, shell);
    show("booth", job.booth, booth);
    show("coating", job.coating, coating);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
