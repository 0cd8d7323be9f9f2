// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <cstddef>
#include <optional>
#include <string>

#include "bakewright/base/trace.hpp"

namespace bakewright::cure {

/// A trace with more samples than this is condensed before it is judged: a quarter of a million samples over a bake of 12 h are
/// six a second, of which a painted skin shows nothing. Common practice, no source.
inline constexpr std::size_t kMostSamplesJudged = 250'000;
/// Spans of time that a condensed trace is cut into; each keeps up to four samples.
inline constexpr std::size_t kCondensedSpans = 25'000;

/// Makes of a trace that is too long to be held whole one that every reading of this area reads alike but for what happens within
/// a span: the time from the first to the last sample is cut into equal spans, and each keeps its first, its least, its greatest
/// and its last usable sample at their own times. So peaks and least temperatures are exact, crossings of a level are off by less
/// than a span, and a stay by less than two. Gaps that JoinedTrace would leave open stay as they are; shorter ones are the
/// straight line that it reads them as, and are not told. What it takes: five samples a span and six a gap, whatever the length
/// of the trace.
///
/// A model is held to the other reading of the same trace, the mean of each span: least and greatest samples of a noisy trace say
/// more of its noise than of the part it sits on.
class TraceCondenser {
public:
    /// @param from_s, until_s  time of the first and the last sample; from_s < until_s
    TraceCondenser(std::string name, TraceRole role, double from_s, double until_s, std::size_t spans = kCondensedSpans);

    /// The next samples in the order of time.
    void add(const Trace& part);
    struct Condensed {
        Trace extremes;  ///< first, least, greatest and last usable sample of each span
        Trace means;     ///< mean of the usable samples of each span, at the mean of their times
    };
    /// What was made; nothing may be added afterwards.
    [[nodiscard]] Condensed take();
    /// How long a span is [s].
    [[nodiscard]] double span_s() const noexcept { return span_s_; }

private:
    struct Sample {
        double time_s = 0.0, temperature_k = 0.0;
        SampleQuality quality = SampleQuality::good;
    };
    void see(const Sample& sample);
    void close_span();
    static void put(Trace& made, const Sample& sample);
    void put_lost(const Sample& sample);

    Condensed made_;
    double from_s_, span_s_;
    double sum_s_ = 0.0, sum_k_ = 0.0;  ///< of the usable samples of the span, from its first one
    std::size_t summed_ = 0;
    std::size_t span_ = 0;
    std::optional<Sample> first_, least_, greatest_, last_;  ///< of the span, usable
    std::optional<Sample> lost_;                             ///< the first unusable one since the last usable one
    std::optional<Sample> latest_lost_;
};

}  // namespace bakewright::cure
