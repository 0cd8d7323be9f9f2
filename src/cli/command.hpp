// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace bakewright::cli {

/// One verb of the program. run() gets the words after the verb and returns the exit status.
struct Command {
    std::string_view name;
    std::string_view summary;
    int (*run)(const std::vector<std::string>& words);
};

int run_check(const std::vector<std::string>& words);
int run_new(const std::vector<std::string>& words);
int run_use(const std::vector<std::string>& words);
int run_predict(const std::vector<std::string>& words);
int run_judge(const std::vector<std::string>& words);
int run_plan(const std::vector<std::string>& words);
int run_import(const std::vector<std::string>& words);
int run_record(const std::vector<std::string>& words);
int run_compare(const std::vector<std::string>& words);
int run_trust(const std::vector<std::string>& words);
int run_calibrate(const std::vector<std::string>& words);
int run_probe_advice(const std::vector<std::string>& words);
int run_tune(const std::vector<std::string>& words);
int run_book(const std::vector<std::string>& words);
int run_coat(const std::vector<std::string>& words);
int run_note(const std::vector<std::string>& words);
int run_history(const std::vector<std::string>& words);
int run_report(const std::vector<std::string>& words);
int run_units(const std::vector<std::string>& words);
int run_study(const std::vector<std::string>& words);
int run_serve(const std::vector<std::string>& words);

/// Runs the program on its arguments (without its own name) and turns every error into its message and exit status.
int run_program(const std::vector<std::string>& arguments);

}  // namespace bakewright::cli
