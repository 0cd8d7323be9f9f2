#include <fmt/format.h>

#include <algorithm>

#include "bakewright/cure/confidence.hpp"
#include "bakewright/report/tables.hpp"

namespace bakewright::report {
namespace {

/// A coat's zones in doubt beyond these are counted, not named, unless every zone is asked for.
constexpr std::size_t kNamedInDoubt = 2;

std::string percent(double probability) {
    return probability > 0.995 ? "over 99 %" : fmt::format("{:.0f} %", 100.0 * probability);
}

/// Gathers who is sure and who is not.
class Doubts {
public:
    template <class Verdict>
    void add(const std::string& name, const Verdict& verdict, const Units& units) {
        ++count_;
        if (!verdict.certainty) return;
        if (verdict.certainty->too_close) {
            in_doubt_.push_back(
                {verdict.certainty->probability, fmt::format("{}: {}.", name, cure::certainty_text(verdict, units))});
            return;
        }
        ++sure_;
        least_ = std::min(least_, verdict.certainty->probability);
    }
    /// Least sure first.
    void put(std::vector<std::string>& sentences, const char* what, std::size_t most_named) {
        std::stable_sort(in_doubt_.begin(), in_doubt_.end(),
                         [](const auto& one, const auto& other) { return one.first < other.first; });
        const std::size_t named = std::min(most_named, in_doubt_.size());
        for (std::size_t i = 0; i < named; ++i) sentences.push_back(in_doubt_[i].second);
        if (in_doubt_.size() > named)
            sentences.push_back(fmt::format("{} more {} too close to call; --every-zone names them.", in_doubt_.size() - named,
                                            in_doubt_.size() - named == 1 ? "is" : "are"));
        if (sure_ > 0)
            sentences.push_back(fmt::format("{} of {} {} {} sure, the least sure of them {}.", sure_, count_, what,
                                            sure_ == 1 ? "is" : "are", percent(least_)));
    }

private:
    std::size_t count_ = 0, sure_ = 0;
    double least_ = 1.0;
    std::vector<std::pair<double, std::string>> in_doubt_;
};

constexpr std::size_t kAll = static_cast<std::size_t>(-1);

}  // namespace

std::vector<std::string> certainty_sentences(const cure::BakeVerdict& verdict, const Units& units) {
    std::vector<std::string> sentences;
    Doubts zones, items;
    for (const cure::ZoneVerdict& zone : verdict.zones) zones.add(zone.zone, zone, units);
    for (const cure::ItemVerdict& item : verdict.items) items.add(item.item, item, units);
    zones.put(sentences, "zones", kAll);
    items.put(sentences, "items", kAll);
    if (verdict.chance)
        sentences.push_back(
            fmt::format("{} sure that every coated zone cures and nothing gets too hot.", percent(*verdict.chance)));
    if (verdict.uncertainty_origin.empty()) return sentences;
    const std::string standard = verdict.standard_uncertainty_k > 0.0
                                     ? fmt::format(": standard uncertainty {} of each trace as a whole",
                                                   format_temperature_difference(verdict.standard_uncertainty_k, units))
                                     : std::string();
    sentences.push_back(
        fmt::format("Calculated with {}{}. A word counts as sure at 95 % or more.", verdict.uncertainty_origin, standard));
    return sentences;
}

std::vector<std::string> certainty_sentences(const cure::ShellVerdict& verdict, const Units& units, bool every_zone) {
    std::vector<std::string> sentences;
    std::vector<std::size_t> told;
    for (const cure::CoatVerdict& first : verdict.coats) {
        if (std::ranges::find(told, first.coat_index) != told.end()) continue;
        told.push_back(first.coat_index);
        Doubts zones;
        for (const cure::CoatVerdict& coat : verdict.coats)
            if (coat.coat_index == first.coat_index) zones.add(coat.coat + " on " + coat.total.zone, coat.total, units);
        zones.put(sentences, ("zones of " + first.coat).c_str(), every_zone ? kAll : kNamedInDoubt);
    }
    Doubts items;
    for (const cure::ItemHistoryVerdict& item : verdict.items)
        if (!item.aboard.empty()) items.add(item.total.item, item.total, units);
    items.put(sentences, "items", kAll);
    if (!verdict.uncertainty_origins.empty())
        sentences.push_back(fmt::format("Calculated with {}. A word counts as sure at 95 % or more.",
                                        fmt::join(verdict.uncertainty_origins, "; and with ")));
    return sentences;
}

}  // namespace bakewright::report
