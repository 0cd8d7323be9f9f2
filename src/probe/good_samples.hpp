// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <functional>
#include <memory>
#include <string>
#include <vector>

#include "bakewright/base/trace.hpp"
#include "sample_page.hpp"
#include "sample_scan.hpp"

namespace bakewright::probe {

/// The usable samples of a trace, in order, whether it is held whole or page by page. At most two pages are held at a time, so
/// that looking here and there costs a page each time; going through it does not. One thread at a time.
class GoodSamples {
public:
    /// Puts the samples of a page in place of what is there.
    using LoadPage = std::function<void(std::size_t page, SamplePage& into)>;

    /// Goes through a trace. @param trace  must outlive it and keep its samples
    GoodSamples(const Trace& trace, const LookOut& look_out);
    /// Of a trace that was gone through.
    /// @param page_rows  samples of each page but the last
    GoodSamples(std::string name, std::size_t page_rows, ScannedSamples scanned, LoadPage load);

    [[nodiscard]] std::size_t size() const noexcept { return scanned_.size(); }
    [[nodiscard]] double time_s(std::size_t i) const { return at(i, &SamplePage::time_s); }
    [[nodiscard]] double temperature_k(std::size_t i) const { return at(i, &SamplePage::temperature_k); }
    /// Place in the trace.
    [[nodiscard]] std::size_t sample(std::size_t i) const {
        turn_to(i);
        return hot_->sample.empty() ? hot_->begin + (i - hot_->first) : hot_->sample[i - hot_->first];
    }
    [[nodiscard]] const std::string& name() const noexcept { return name_; }
    [[nodiscard]] const ScannedSamples& scanned() const noexcept { return scanned_; }
    /// What the samples between two times do [K]; all 0 where there is none.
    struct Movement {
        double least_k = 0.0, most_k = 0.0, first_k = 0.0, last_k = 0.0;
    };
    [[nodiscard]] Movement movement(double from_s, double to_s) const;
    /// How far they lie apart [K]; 0 where there are fewer than two.
    [[nodiscard]] double movement_k(double from_s, double to_s) const {
        const Movement moved = movement(from_s, to_s);
        return moved.most_k - moved.least_k;
    }

private:
    struct Page {
        std::size_t first = 0;            ///< number of its first usable sample
        std::size_t size = 0;             ///< usable samples
        std::size_t begin = 0;            ///< of the page in the trace
        std::vector<std::size_t> sample;  ///< places in the trace; empty where all are usable
        SamplePage values;                ///< of the usable samples
    };

    void read(std::size_t number, Page& page) const;
    template <typename Value>
    [[nodiscard]] Value at(std::size_t i, std::vector<Value> SamplePage::*values) const {
        turn_to(i);
        return (hot_->values.*values)[i - hot_->first];
    }
    /// Makes the page with a usable sample the hot one.
    void turn_to(std::size_t i) const {
        if (i - hot_->first >= hot_->size) turn_page(i);
    }
    void turn_page(std::size_t i) const;
    [[nodiscard]] std::size_t first_from(double time_s) const;

    std::string name_;
    std::size_t page_rows_;
    LoadPage load_;
    ScannedSamples scanned_;
    mutable std::unique_ptr<Page> hot_ = std::make_unique<Page>(), cold_ = std::make_unique<Page>();
};

}  // namespace bakewright::probe
