// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string_view>

/// The page's files, built into the program by tools/cmake/EmbedFile.cmake.
namespace bakewright::page::embedded {

extern const std::string_view open_html, open_js, open_css;
extern const std::string_view index_html, page_css;
extern const std::string_view units_js, dom_js, chart_parts_js, chart_js, map_js, pictures_view_js, checklist_js, today_js,
    mover_js, prepare_more_js, prepare_questions_js, prepare_js, bakes_js, log_js, live_js, live_css, history_js, tune_js,
    profile_questions_js, profile_bake_js, profile_edits_js, booth_log_js, part_mover_js, profile_names_js, part_form_js,
    shell_editor_js, profiles_js, profiles_css, page_js;

}  // namespace bakewright::page::embedded
