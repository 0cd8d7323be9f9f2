#include "bakewright/shop/booth_trend.hpp"

#include <fmt/core.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <limits>
#include <set>

#include "bakewright/bake/built_network.hpp"
#include "bakewright/bake/predict.hpp"
#include "bakewright/base/error.hpp"
#include "bakewright/book/bake_repository.hpp"
#include "bakewright/shop/bake_report.hpp"
#include "bakewright/shop/shop_time.hpp"
#include "bakewright/shop/stored_bake.hpp"

namespace bakewright::shop {
namespace {

constexpr std::size_t kFewestBakes = 3;

std::int64_t number(book::BakeId id) { return static_cast<std::int64_t>(id); }

std::string label_of(book::BakeId id) { return fmt::format("bake {}", number(id)); }

bool is_of_booth(const book::Bake& bake, const std::string& booth) {
    const book::DocumentSummary* document = bake.document(book::document_kind::booth);
    return document != nullptr && document->name == booth;
}

/// The log and the prediction that it belongs to.
struct Halves {
    StoredBake log;
    std::optional<StoredBake> prediction;

    template <class Record>
    [[nodiscard]] const Record* either(std::optional<Record> StoredBake::*member) const {
        if (prediction && ((*prediction).*member).has_value()) return &*((*prediction).*member);
        return (log.*member).has_value() ? &*(log.*member) : nullptr;
    }
};

/// Goes through the bakes and collects what each says.
class Collector {
public:
    explicit Collector(book::Book& book) : book_(book) {}

    void add(book::BakeId id) {
        Halves halves{load_bake(book_, id), {}};
        if (halves.log.record.kind != book::BakeKind::logged)
            throw InputError(Problem{{}, 0, label_of(id), "is a prediction; a booth's trend is told by logs"});
        const auto began = shop_time_from(halves.log.record.started_at);
        if (!began) {
            undated_.push_back(label_of(id));
            return;
        }
        halves.prediction = other_half(book_, halves.log);
        tune::BakeOfTrend bake{label_of(id), began->text.substr(0, 10), began->since_s, {}, {}};
        put_air(bake, halves);
        put_groups(bake, halves);
        bakes_.push_back(std::move(bake));
    }

    tune::BoothTrend trend() {
        if (bakes_.size() < kFewestBakes)
            throw InputError(Problem{{},
                                     0,
                                     "BAKE",
                                     fmt::format("{} logged {} of the booth with a start by the clock; a trend takes {} at least",
                                                 bakes_.size(), bakes_.size() == 1 ? "bake is" : "bakes are", kFewestBakes)});
        tune::BoothTrend made = tune::booth_trend(std::move(bakes_));
        remark(made, undated_, "left out: no start by the clock");
        remark(made, without_set_, "no air against set: no cycle, no booth, or no air logged on its hold");
        remark(made, replayed_,
               "bias and lag against a prediction that the log's own air drove: they tell of the shell, not of the air");
        remark(made, without_prediction_, "no bias and lag: no prediction, nor shell, booth and cycle to make one");
        if (made_with_.size() > 1)
            made.remarks.push_back(
                "The predictions were made with different records of shell or booth: bias and lag tell of both, record and "
                "booth.");
        return made;
    }

private:
    static void remark(tune::BoothTrend& trend, const std::vector<std::string>& bakes, const char* what) {
        if (!bakes.empty()) trend.remarks.push_back(fmt::format("{}: {}.", fmt::join(bakes, ", "), what));
    }

    void put_air(tune::BakeOfTrend& bake, const Halves& halves) {
        const bake::Cycle* cycle = halves.either(&StoredBake::cycle);
        const bake::Booth* booth = halves.either(&StoredBake::booth);
        const Trace* air = halves.log.traces.first(TraceRole::booth_air);
        if (cycle != nullptr && booth != nullptr && air != nullptr)
            bake.air_offset_k = tune::plateau_offset_k(*air, bake::resolve(*cycle, *booth));
        if (!bake.air_offset_k) without_set_.push_back(bake.label);
    }

    void put_groups(tune::BakeOfTrend& bake, const Halves& halves) {
        const profile::ShellProfile* shell = halves.either(&StoredBake::shell);
        const TraceSet predicted = prediction_of(halves);
        if (shell != nullptr)
            bake.groups = tune::by_group(tune::compare(predicted, halves.log.traces), [&](const std::string& channel) {
                const bake::Zone* zone = shell->shell.find_zone(channel);
                return zone != nullptr ? bake::film_group_of(*zone) : std::string();
            });
        if (bake.groups.empty())
            without_prediction_.push_back(bake.label);
        else if (halves.prediction && !halves.prediction->cycle)
            replayed_.push_back(bake.label);
    }

    TraceSet prediction_of(const Halves& halves) {
        const StoredBake& made_by = halves.prediction ? *halves.prediction : halves.log;
        std::string records;
        for (const std::string_view kind : {book::document_kind::shell, book::document_kind::booth})
            if (const book::DocumentSummary* document = made_by.record.document(kind)) records += document->sha256;
        TraceSet traces;
        if (halves.prediction)
            traces = halves.prediction->traces;
        else if (halves.log.shell && halves.log.booth && halves.log.cycle)
            traces = bake::predict(halves.log.shell->shell, *halves.log.booth, *halves.log.cycle).traces;
        if (!traces.traces.empty()) made_with_.insert(records);
        return traces;
    }

    book::Book& book_;
    std::vector<tune::BakeOfTrend> bakes_;
    std::vector<std::string> undated_, without_set_, without_prediction_, replayed_;
    std::set<std::string> made_with_;
};

}  // namespace

std::vector<book::BakeId> logged_bakes_of_booth(book::Book& book, const std::string& booth, const std::string& since) {
    const double since_s = since.empty() ? -std::numeric_limits<double>::infinity()
                                         : shop_time(since.size() == 10 ? since + "T00:00" : since, "--since").since_s;
    book::BakeRepository bakes(book);
    book::ListFilter all;
    all.limit = std::max<std::size_t>(bakes.count(), 1);
    all.kind = book::BakeKind::logged;
    std::vector<book::BakeId> found;
    for (const book::BakeSummary& summary : bakes.list(all)) {
        const auto began = shop_time_from(summary.started_at);
        if (began && began->since_s < since_s) continue;
        const book::Bake bake = bakes.get(summary.id);
        const bool is_its = is_of_booth(bake, booth) || (bake.paired_bake && is_of_booth(bakes.get(*bake.paired_bake), booth));
        if (is_its) found.push_back(summary.id);
    }
    std::reverse(found.begin(), found.end());
    return found;
}

tune::BoothTrend booth_trend(book::Book& book, const std::vector<book::BakeId>& bakes) {
    Collector collector(book);
    std::set<book::BakeId> seen;
    for (const book::BakeId id : bakes)
        if (seen.insert(id).second) collector.add(id);
    return collector.trend();
}

}  // namespace bakewright::shop
