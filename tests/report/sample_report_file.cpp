// SPDX-License-Identifier: Apache-2.0
#include <fstream>
#include <iostream>
#include <string_view>

#include "bakewright/report/checklist.hpp"
#include "bakewright/report/text.hpp"
#include "report/sample_report.hpp"

/// sample_report_file FILE [predicted|us|hostile|large]: writes the sample report and prints the sample texts.
int main(int argc, char** argv) {
    if (argc < 2) return 2;
    const std::string_view kind = argc > 2 ? argv[2] : "";
    bakewright::report::ReportInput input = sample::report();
    if (kind == "predicted") input.logged.reset(), input.comparison.reset(), input.verdicts.front().label = "predicted";
    if (kind == "us") input.units = *bakewright::units_from_name("us");
    if (kind == "hostile") {
        const std::string name =
            "</script><script>document.title='broken'</script>\"'\xE2\x80\xAE&lt;img src=x onerror=alert(1)>";
        input.title = name;
        input.remark = name;
        input.logged->traces[3].name = name;
        input.verdicts.front().verdict.zones[0].zone = name;
        input.verdicts.front().verdict.items[0].item = name;
    }
    if (kind == "large") {
        input.logged->traces.clear();
        for (int i = 0; i < 24; ++i)
            input.logged->traces.push_back(sample::rising_trace("channel " + std::to_string(i + 1), bakewright::TraceRole::zone,
                                                                50.0 + i * 0.5, 600.0 + 40.0 * i, 1.0, 4.0 * 3600.0));
    }
    std::ofstream(argv[1], std::ios::binary) << html_report(input);
    const bakewright::report::TextOptions options{.units = input.units, .style = {}};
    std::cout << prediction_text(sample::prediction(), options) << '\n'
              << verdict_text(sample::verdict(), options) << '\n'
              << comparison_text(sample::comparison(), options) << '\n'
              << cautions_text(options);
    return 0;
}
