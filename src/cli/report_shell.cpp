#include "report_shell.hpp"

#include <fmt/core.h>

#include "bakewright/report/html.hpp"
#include "bakewright/report/shell_text.hpp"
#include "bakewright/shop/files.hpp"
#include "bakewright/shop/shell_report.hpp"
#include "judging.hpp"
#include "output.hpp"
#include "version.hpp"

namespace bakewright::cli {

int report_shell(const Options& options) {
    book::Book book = options.open_book(book::Mode::read_only);
    const std::string shell = options.text("shell");
    ProgressLine progress("reckoning how sure this is");
    const report::ShellReportInput input = shell_report_input({.shell = shell,
                                                               .written_at = book::utc_now(),
                                                               .program_version = std::string(kVersion),
                                                               .units = options.units(),
                                                               .certainty = certainty_options(options, progress)},
                                                              book);
    if (options.json()) {
        print(report::to_json_text(input.verdict));
        return static_cast<int>(ExitStatus::fine);
    }
    const std::string path = options.text_or("out", shell + "-history.html");
    write_file(path, report::html_shell_report(input));
    if (path != "-") fmt::print("wrote {}\n", path);
    return static_cast<int>(ExitStatus::fine);
}

}  // namespace bakewright::cli
