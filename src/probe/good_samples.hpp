#pragma once

#include <cstddef>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "bakewright/base/trace.hpp"

namespace bakewright::probe {

/// Some consecutive samples of a trace. All have the same length.
struct SamplePage {
    std::vector<double> time_s, temperature_k;
    std::vector<SampleQuality> quality;
};

/// Usable samples that follow each other and have one value.
struct EqualRun {
    std::size_t first, end;
};

/// What going through a trace once looks out for, so that most rules need not go through it again.
struct LookOut {
    double jump_k = std::numeric_limits<double>::infinity();      ///< steps above it
    double run_time_s = std::numeric_limits<double>::infinity();  ///< runs that last so long
    std::size_t run_samples = 2;                                  ///< runs of so many at the lowest or highest value
};

/// The usable samples of a trace, in order, whether it is held whole or page by page. At most two pages are held at a time, so
/// that looking here and there costs a page each time; going through it does not. One thread at a time.
class GoodSamples {
public:
    /// Puts the samples of a page in place of what is there. Each page is asked for in order first.
    using LoadPage = std::function<void(std::size_t page, SamplePage& into)>;

    /// @param trace  must outlive it and keep its samples
    GoodSamples(const Trace& trace, const LookOut& look_out);
    /// @param page_rows  samples of each page but the last
    GoodSamples(std::string name, std::size_t pages, std::size_t page_rows, LoadPage load, const LookOut& look_out);

    [[nodiscard]] std::size_t size() const noexcept { return first_good_.back(); }
    [[nodiscard]] double time_s(std::size_t i) const { return at(i, &SamplePage::time_s); }
    [[nodiscard]] double temperature_k(std::size_t i) const { return at(i, &SamplePage::temperature_k); }
    /// Place in the trace.
    [[nodiscard]] std::size_t sample(std::size_t i) const {
        turn_to(i);
        return hot_->sample[i - hot_->first];
    }
    [[nodiscard]] const std::string& name() const noexcept { return name_; }
    [[nodiscard]] double least_k() const noexcept { return least_k_; }
    [[nodiscard]] double most_k() const noexcept { return most_k_; }
    /// Smallest difference between neighbours that is none of rounding [K]; 0 where nothing moves.
    [[nodiscard]] double resolution_k() const noexcept { return resolution_k_; }
    /// Median of the times between neighbours; 0 where there are fewer than two [s].
    [[nodiscard]] double usual_step_s() const noexcept { return usual_step_s_; }
    /// Longest time between neighbours, the first such; 0 where there are fewer than two [s].
    [[nodiscard]] double longest_step_s() const noexcept { return longest_step_s_; }
    [[nodiscard]] double longest_step_from_s() const noexcept { return longest_step_from_s_; }
    /// Usable samples that lie more than LookOut::jump_k from the one before; nothing where they are too many to be listed.
    [[nodiscard]] const std::optional<std::vector<std::size_t>>& jumps() const noexcept { return jumps_; }
    /// Runs that last LookOut::run_time_s or longer.
    [[nodiscard]] const std::vector<EqualRun>& long_runs() const noexcept { return long_runs_; }
    /// Runs of LookOut::run_samples or more at the lowest or highest value, in order.
    [[nodiscard]] const std::vector<EqualRun>& end_runs() const noexcept { return end_runs_; }
    /// How far the samples between two times lie apart [K]; 0 where there are fewer than two.
    [[nodiscard]] double movement_k(double from_s, double to_s) const;

private:
    struct Page {
        std::size_t first = 0;  ///< number of its first usable sample
        std::vector<std::size_t> sample;
        SamplePage values;  ///< of the usable samples
    };
    class Scan;

    void read(std::size_t number, Page& page) const;
    template <typename Value>
    [[nodiscard]] Value at(std::size_t i, std::vector<Value> SamplePage::*values) const {
        turn_to(i);
        return (hot_->values.*values)[i - hot_->first];
    }
    /// Makes the page with a usable sample the hot one.
    void turn_to(std::size_t i) const {
        if (i - hot_->first >= hot_->sample.size()) turn_page(i);
    }
    void turn_page(std::size_t i) const;
    [[nodiscard]] std::size_t first_from(double time_s) const;

    std::string name_;
    std::size_t page_rows_;
    LoadPage load_;
    std::vector<std::size_t> first_good_;  ///< number of the first usable sample of each page, and behind the last
    std::vector<double> first_time_s_;     ///< of the first usable sample of each page; of the page before where there is none
    double least_k_ = 0.0, most_k_ = 0.0, resolution_k_ = 0.0;
    double usual_step_s_ = 0.0, longest_step_s_ = 0.0, longest_step_from_s_ = 0.0;
    std::optional<std::vector<std::size_t>> jumps_{std::in_place};
    std::vector<EqualRun> long_runs_, end_runs_;
    mutable std::unique_ptr<Page> hot_, cold_;
};

}  // namespace bakewright::probe
