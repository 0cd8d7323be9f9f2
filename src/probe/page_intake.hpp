// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <vector>

#include "bakewright/base/format.hpp"
#include "bakewright/base/work.hpp"
#include "open_circuit.hpp"
#include "sample_scan.hpp"
#include "sample_store.hpp"

namespace bakewright::probe {

/// The cells of one column, as they were read.
struct ReadCells {
    std::span<const double> value;           ///< NaN where there is no number
    std::span<const SampleQuality> quality;  ///< good, missing or open_circuit
};

/// What goes into the intake as a column and how far it has come.
struct ChannelIntake {
    ChannelIntake(TemperatureUnit written_in, const LookOut& look_out)
        : unit(written_in), impossible(written_in), scan(look_out) {}

    TemperatureUnit unit;
    ImpossibleNumbers impossible;
    SampleScan scan;
    std::size_t missing = 0, open_circuit = 0, out_of_range = 0;
};

/// Takes the rows of a log in as they are read: collects them to pages and, on other threads while the next page is read, turns
/// numbers into kelvin (NaN where there is none), flags those that are none, goes through the samples for the rules of quality
/// and packs them. Does what make_trace does to a log held whole.
class PageIntake {
public:
    /// @param units      of the channels
    /// @param page_rows  most rows held at a time; fewer, where the channels are many
    /// @throws NeedsWholeLog where they are so many that even few rows take much memory
    PageIntake(std::span<const TemperatureUnit> units, const LookOut& look_out, std::size_t page_rows, unsigned threads);

    /// Takes rows behind the others. Shapes: every span has the same length; one entry a channel.
    /// @throws NeedsWholeLog, FileError: of these rows or of a page before
    void add(std::span<const double> time_s, std::span<const int> lines, std::span<const ReadCells> channels);
    /// To be called once behind the last row, before anything below. @throws as add()
    void finish();

    [[nodiscard]] std::size_t rows() const noexcept { return rows_; }
    [[nodiscard]] std::shared_ptr<const SampleStore> store() const noexcept { return store_; }
    [[nodiscard]] ChannelIntake& channel(std::size_t channel) { return channels_[channel]; }

private:
    struct Cells {
        std::vector<double> value;
        std::vector<SampleQuality> quality;
    };
    struct Page {
        std::vector<double> time_s;
        std::vector<int> lines;
        std::vector<Cells> channels;
    };

    void hand_over();
    void take(Page& page);
    static bool take(ChannelIntake& channel, Cells& cells);

    std::vector<ChannelIntake> channels_;
    std::size_t rows_ = 0;
    unsigned threads_;
    std::shared_ptr<SampleStore> store_;
    Page filling_, taken_;
    Background taking_;  // last: it ends before what it works on
};

}  // namespace bakewright::probe
