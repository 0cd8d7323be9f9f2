#include "good_samples.hpp"

#include <algorithm>
#include <cmath>

#include "quality_rules.hpp"
#include "usual_step.hpp"

namespace bakewright::probe {
namespace {

constexpr std::size_t kPageRows = 16384, kMostJumps = 65536;

void copy_page(const Trace& trace, std::size_t page, SamplePage& into) {
    const auto from = static_cast<std::ptrdiff_t>(page * kPageRows);
    const auto to = static_cast<std::ptrdiff_t>(std::min((page + 1) * kPageRows, trace.size()));
    into.time_s.assign(trace.time_s.begin() + from, trace.time_s.begin() + to);
    into.temperature_k.assign(trace.temperature_k.begin() + from, trace.temperature_k.begin() + to);
    if (trace.quality.empty())
        into.quality.assign(static_cast<std::size_t>(to - from), SampleQuality::good);
    else
        into.quality.assign(trace.quality.begin() + from, trace.quality.begin() + to);
}

}  // namespace

/// One way through all samples.
class GoodSamples::Scan {
public:
    Scan(GoodSamples& out, const LookOut& look_out) : out_(out), look_out_(look_out) {}

    void take(const Page& page) {
        for (std::size_t i = 0; i < page.sample.size(); ++i)
            take(page.first + i, page.values.time_s[i], page.values.temperature_k[i]);
    }

    void finish() {
        close_run();
        out_.usual_step_s_ = steps_.median_s();
        out_.resolution_k_ = std::isfinite(finest_k_) ? finest_k_ : 0.0;
        // Where nothing moves the same run is at both ends.
        if (out_.most_k_ - out_.least_k_ <= kRoundingK) high_.clear();
        out_.end_runs_.resize(low_.size() + high_.size());
        std::merge(low_.begin(), low_.end(), high_.begin(), high_.end(), out_.end_runs_.begin(),
                   [](const EqualRun& a, const EqualRun& b) { return a.first < b.first; });
    }

private:
    /// A run while it goes on.
    struct OpenRun {
        std::size_t first = 0, end = 0;
        double value_k = 0.0, first_time_s = 0.0, last_time_s = 0.0;
    };

    void take(std::size_t number, double time_s, double temperature_k) {
        if (number == 0) {
            out_.least_k_ = out_.most_k_ = temperature_k;
        } else {
            const double step_k = std::abs(temperature_k - last_k_);
            if (step_k > kRoundingK) finest_k_ = std::min(finest_k_, step_k);
            if (step_k > look_out_.jump_k) note_jump(number);
            note_step(time_s);
            out_.least_k_ = std::min(out_.least_k_, temperature_k);
            out_.most_k_ = std::max(out_.most_k_, temperature_k);
        }
        last_k_ = temperature_k;
        last_s_ = time_s;
        if (number > 0 && std::abs(temperature_k - run_.value_k) <= kRoundingK) {
            run_.end = number + 1;
            run_.last_time_s = time_s;
        } else {
            close_run();
            run_ = {number, number + 1, temperature_k, time_s, time_s};
        }
    }

    void note_jump(std::size_t number) {
        if (!out_.jumps_) return;
        out_.jumps_->push_back(number);
        if (out_.jumps_->size() > kMostJumps) out_.jumps_.reset();
    }

    void note_step(double time_s) {
        const double step_s = time_s - last_s_;
        steps_.add(step_s);
        if (!(step_s > out_.longest_step_s_)) return;
        out_.longest_step_s_ = step_s;
        out_.longest_step_from_s_ = last_s_;
    }

    void close_run() {
        const EqualRun run{run_.first, run_.end};
        if (run.end == run.first) return;
        if (run_.last_time_s - run_.first_time_s >= look_out_.run_time_s) out_.long_runs_.push_back(run);
        keep_end(run, run_.value_k - low_k_, low_k_, low_);
        keep_end(run, high_k_ - run_.value_k, high_k_, high_);
    }

    /// @param beyond_k  by how much the run stays within the end found so far; below zero where it passes it
    void keep_end(const EqualRun& run, double beyond_k, double& end_k, std::vector<EqualRun>& runs) const {
        if (beyond_k > kRoundingK) return;
        if (!(beyond_k >= -kRoundingK)) runs.clear();
        if (!(beyond_k >= 0.0)) end_k = run_.value_k;
        if (run.end - run.first >= look_out_.run_samples) runs.push_back(run);
    }

    GoodSamples& out_;
    const LookOut& look_out_;
    double finest_k_ = INFINITY, last_k_ = 0.0, last_s_ = 0.0, low_k_ = INFINITY, high_k_ = -INFINITY;
    OpenRun run_;
    UsualStep steps_;
    std::vector<EqualRun> low_, high_;
};

GoodSamples::GoodSamples(const Trace& trace, const LookOut& look_out)
    : GoodSamples(
          trace.name, (trace.size() + kPageRows - 1) / kPageRows, kPageRows,
          [&trace](std::size_t page, SamplePage& into) { copy_page(trace, page, into); }, look_out) {}

GoodSamples::GoodSamples(std::string name, std::size_t pages, std::size_t page_rows, LoadPage load, const LookOut& look_out)
    : name_(std::move(name)),
      page_rows_(page_rows),
      load_(std::move(load)),
      hot_(std::make_unique<Page>()),
      cold_(std::make_unique<Page>()) {
    Scan scan(*this, look_out);
    double time_s = -INFINITY;
    first_good_.push_back(0);
    for (std::size_t page = 0; page < pages; ++page) {
        std::swap(hot_, cold_);
        read(page, *hot_);
        if (!hot_->sample.empty()) time_s = hot_->values.time_s.front();
        first_time_s_.push_back(time_s);
        scan.take(*hot_);
        first_good_.push_back(first_good_.back() + hot_->sample.size());
    }
    scan.finish();
}

void GoodSamples::read(std::size_t number, Page& page) const {
    SamplePage& all = page.values;
    load_(number, all);
    page.first = first_good_[number];
    std::size_t kept = 0;
    page.sample.resize(all.time_s.size());
    for (std::size_t i = 0; i < all.time_s.size(); ++i) {
        if (all.quality[i] != SampleQuality::good || !std::isfinite(all.temperature_k[i])) continue;
        page.sample[kept] = number * page_rows_ + i;
        all.time_s[kept] = all.time_s[i];
        all.temperature_k[kept++] = all.temperature_k[i];
    }
    page.sample.resize(kept);
    all.time_s.resize(kept);
    all.temperature_k.resize(kept);
}

void GoodSamples::turn_page(std::size_t i) const {
    std::swap(hot_, cold_);
    if (i - hot_->first < hot_->sample.size()) return;
    const auto behind = std::upper_bound(first_good_.begin(), first_good_.end(), i);
    read(static_cast<std::size_t>(behind - first_good_.begin()) - 1, *hot_);
}

std::size_t GoodSamples::first_from(double time_s) const {
    const auto page = std::lower_bound(first_time_s_.begin(), first_time_s_.end(), time_s) - first_time_s_.begin();
    // The page before may hold it; of that page no more than its end is looked for.
    std::size_t low = first_good_[static_cast<std::size_t>(std::max<std::ptrdiff_t>(page - 1, 0))];
    std::size_t high = first_good_[static_cast<std::size_t>(page)];
    while (low < high) {
        const std::size_t middle = low + (high - low) / 2;
        if (this->time_s(middle) < time_s)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

double GoodSamples::movement_k(double from_s, double to_s) const {
    double least = INFINITY, most = -INFINITY;
    for (std::size_t i = first_from(from_s); i < size() && time_s(i) <= to_s; ++i) {
        least = std::min(least, temperature_k(i));
        most = std::max(most, temperature_k(i));
    }
    return most > least ? most - least : 0.0;
}

}  // namespace bakewright::probe
