// SPDX-License-Identifier: Apache-2.0
#include <array>

#include "cell.hpp"
#include "layout.hpp"
#include "row_scanner.hpp"
#include "time_text.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kSniffedBytes = 256 * 1024;
constexpr std::size_t kLeastRows = 30, kMostRows = 400;

// In the order of preference where two explain the file equally well.
constexpr std::array kDialects = {Dialect{',', '.'}, Dialect{';', '.'}, Dialect{';', ','}, Dialect{'\t', '.'}, Dialect{'\t', ','},
                                  Dialect{'|', '.'}, Dialect{'|', ','}, Dialect{',', ','}, Dialect{' ', '.'},  Dialect{' ', ','}};

/// A row counts for its cells that are data, less half of those that are words; a wrong delimiter makes words of numbers.
double row_score(std::span<const std::string_view> fields, char decimal_mark) {
    if (fields.size() < 2) return 0.0;
    double score = 0.0;
    for (const std::string_view field : fields)
        if (!field.empty()) score += is_data_cell(field, decimal_mark) ? 1.0 : -0.5;
    return score > 0.0 ? score : 0.0;
}

double score_of(std::string_view text, const Dialect& dialect) {
    RowScanner rows(text, dialect.delimiter);
    double score = 0.0;
    for (std::size_t count = 0; count < kMostRows && rows.next(); ++count) {
        score += row_score(rows.fields(), dialect.decimal_mark);
        if (count >= kLeastRows && rows.offset() > kSniffedBytes) break;
    }
    return score;
}

bool allowed(const Dialect& dialect, const ReadOptions& options) {
    return (!options.delimiter || *options.delimiter == dialect.delimiter) &&
           (!options.decimal_mark || *options.decimal_mark == dialect.decimal_mark);
}

}  // namespace

bool is_data_cell(std::string_view field, char decimal_mark) noexcept {
    const CellKind kind = read_cell(field, decimal_mark).kind;
    return kind == CellKind::text ? read_time(field, decimal_mark).readable : kind != CellKind::blank;
}

Dialect sniff_dialect(std::string_view text, const ReadOptions& options, ProblemList& problems) {
    const Dialect* best = nullptr;
    double best_score = 0.0;
    for (const Dialect& dialect : kDialects) {
        if (!allowed(dialect, options)) continue;
        const double score = score_of(text, dialect);
        if (score <= best_score) continue;
        best = &dialect;
        best_score = score;
    }
    if (best == nullptr)
        problems.fail(
            0, "",
            "no table was found: no row has two columns or more with numbers, separated by comma, semicolon, tab, vertical "
            "bar or blanks");
    return *best;
}

}  // namespace bakewright::probe
