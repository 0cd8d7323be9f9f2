// SPDX-License-Identifier: Apache-2.0
#include "live_desk.hpp"

#include <chrono>
#include <cmath>
#include <condition_variable>
#include <cstdint>
#include <limits>
#include <map>
#include <mutex>
#include <set>
#include <thread>
#include <utility>
#include <vector>

#include "answers.hpp"
#include "bakewright/book/live_log.hpp"
#include "bakewright/report/json.hpp"
#include "bakewright/report/live.hpp"
#include "bakewright/report/shell_drawing.hpp"
#include "bakewright/services/evidence.hpp"
#include "bakewright/services/live.hpp"
#include "bakewright/services/reports.hpp"
#include "bakewright/services/track_record.hpp"
#include "bakewright/services/tune_records.hpp"
#include "context.hpp"

namespace bakewright::page {
namespace {

using std::chrono::seconds;
using std::chrono::steady_clock;

constexpr seconds kLook{1};
constexpr seconds kUnwatched{10};  // nobody asked for so long: nobody looks
constexpr seconds kStillThere{15};
constexpr double kUpdateEveryS = 60.0;  // of the recording
/// Of bakes that are followed at one time: the newest.
constexpr std::size_t kMostFollowed = 4;

std::string event_text(const char* kind, const Json& document) {
    return std::string("event: ") + kind + "\ndata: " + document.dump(-1, ' ', false, Json::error_handler_t::replace) + "\n\n";
}

/// Of every channel the newest sample there is.
Json newest_of(const TraceSet& traces, double& newest_s) {
    Json channels = Json::array();
    for (const Trace& trace : traces.traces) {
        if (trace.time_s.empty()) continue;
        newest_s = std::max(newest_s, trace.time_s.back());
        channels.push_back(
            {{"name", trace.name}, {"time_s", trace.time_s.back()}, {"temperature_k", trace.temperature_k.back()}});
    }
    return channels;
}

/// The newest recordings that go on.
std::vector<book::Recording> open_now(std::optional<book::Book>& book) {
    std::vector<book::Recording> open = book ? book::open_recordings(*book) : std::vector<book::Recording>{};
    if (open.size() > kMostFollowed) open.resize(kMostFollowed);
    return open;
}

Json document_of(const std::vector<book::Recording>& open) {
    Json recordings = Json::array();
    for (const book::Recording& one : open)
        recordings.push_back({{"bake", static_cast<std::int64_t>(one.bake)}, {"booth", one.booth}, {"began_at", one.began_at}});
    return page_document("live-recordings", {{"recordings", std::move(recordings)}});
}

}  // namespace

/// One recording that is looked at.
class LiveDesk::Followed {
public:
    explicit Followed(book::BakeId bake) : bake_(bake), live_({}) {}

    /// Its newest readings where they are newer than before; whether there was none for too long is told with them. What the book
    /// held when it was first looked at may be of yesterday: a recording is silent until something newer comes.
    std::optional<Json> reading(book::Book& book) {
        double newest_s = -std::numeric_limits<double>::infinity();
        const TraceSet since = book::recorded_since(book, bake_);
        Json channels = newest_of(since, newest_s);
        services::add_recent(recent_, since);
        const auto now = steady_clock::now();
        const bool is_new = std::isfinite(newest_s) && newest_s > newest_s_.value_or(-std::numeric_limits<double>::infinity());
        if (is_new) {
            if (newest_s_) newest_at_ = now;
            newest_s_ = newest_s;
            channels_ = std::move(channels);
            moved_ = Json(nullptr);
            // What the curves are to come to is told with the estimate alone.
            if (const auto& seconds = live_.seconds())
                if (auto state = seconds->at(recent_)) state->curves.clear(), moved_ = report::live_document(*state);
        }
        const bool is_lost = !newest_at_ || std::chrono::duration<double>(now - *newest_at_).count() > report::kLiveSilentS;
        if (!is_new && is_lost == was_lost_) return std::nullopt;
        was_lost_ = is_lost;
        return page_document("live-reading", {{"bake", static_cast<std::int64_t>(bake_)},
                                              {"newest_s", newest_s_.value_or(0.0)},
                                              {"silent", is_lost},
                                              {"live", moved_},
                                              {"channels", channels_}});
    }

    /// How it stands, where a minute of it is past since that was told.
    std::optional<Json> view(book::Book& book) {
        if (updated_s_ && newest_s_.value_or(0.0) < *updated_s_ + kUpdateEveryS) return std::nullopt;
        services::StoredBake so_far = services::recorded_so_far(book, bake_);
        if (!updated_s_) {
            services::LiveOptions options;
            options.cycle = services::cycle_set_for(book, so_far);
            if (so_far.booth) options.record = services::booth_record(book, so_far.booth->id, bake_);
            options.earlier_evidence = services::earlier_evidence(book, {services::bake_label(so_far.record)});
            options.thread_count = 1;  // whoever asks the page meanwhile has the others
            options.moves_each_second = true;
            live_ = services::LiveBake(options);
        }
        const report::LiveState state = live_.update(so_far);
        updated_s_ = state.now_s;
        const report::Titles titles = so_far.shell ? services::titles_in(*so_far.shell) : report::Titles{};
        return page_document("live-view", {{"bake", static_cast<std::int64_t>(bake_)},
                                           {"title", so_far.record.title},
                                           {"started_at", so_far.record.started_at},
                                           {"live", report::live_document(state)},
                                           {"words",
                                            {{"metric", report::live_words(state, titles, {})},
                                             {"us", report::live_words(state, titles, *units_from_name("us"))}}},
                                           {"measured", report::document_of(drawn(so_far.traces)).at("traces")},
                                           {"titles", Json(titles)},
                                           {"drawing", so_far.shell ? report::document_of(report::draw_shell(so_far.shell->shell))
                                                                    : Json(nullptr)},
                                           {"lines", chart_lines(so_far.coating, so_far.item_limits())}});
    }

private:
    book::BakeId bake_;
    services::LiveBake live_;
    std::optional<double> newest_s_{};
    std::optional<steady_clock::time_point> newest_at_{};
    Json channels_ = Json::array();
    TraceSet recent_{};
    Json moved_ = Json(nullptr);  ///< the state as of the newest reading; null: not newer than the estimate
    bool was_lost_ = false;
    std::optional<double> updated_s_{};
};

struct LiveDesk::State {
    explicit State(const Context& with) : context(with) {}

    const Context& context;
    std::mutex mutex;
    std::condition_variable stopping;
    std::map<std::string, std::pair<std::uint64_t, std::string>> said;  ///< by kind and bake: number and text of the newest
    std::uint64_t last = 0;
    steady_clock::time_point asked_at{};
    bool is_over = false, is_working = false;
    std::thread thread;  // of it, and of nobody else
    std::map<book::BakeId, Followed> followed;

    void say(const std::string& key, std::string text) {
        const std::lock_guard lock(mutex);
        said[key] = {++last, std::move(text)};
    }

    /// The thread is begun for the first who looks, and again for one who comes after all had gone.
    void look() {
        const std::lock_guard lock(mutex);
        asked_at = steady_clock::now();
        if (is_working || is_over) return;
        if (thread.joinable()) thread.join();  // it has ended, or does so without the lock
        is_working = true;
        thread = std::thread([this] { work(); });
    }

    void work() {
        for (;;) {
            try {
                look_around();
            } catch (const std::exception&) {
                say("trouble", event_text("trouble", outcome_of([]() -> Json { throw; }).document));
            }
            std::unique_lock lock(mutex);
            stopping.wait_for(lock, kLook, [&] { return is_over; });
            if (!is_over && steady_clock::now() - asked_at < kUnwatched) continue;
            is_working = false;
            return;
        }
    }

    void look_around() {
        std::optional<book::Book> book = context.book_if_any();
        const std::vector<book::Recording> open = open_now(book);
        tell_which(open);
        for (const book::Recording& one : open) {
            Followed& now = followed.try_emplace(one.bake, one.bake).first->second;
            const std::string of = std::to_string(static_cast<std::int64_t>(one.bake));
            if (const auto reading = now.reading(*book)) say("reading " + of, event_text("reading", *reading));
            if (const auto view = now.view(*book)) say("view " + of, event_text("view", *view));
        }
    }

    /// Which there are. Of one that has ended nothing is told any more.
    void tell_which(const std::vector<book::Recording>& open) {
        std::set<book::BakeId> there;
        for (const book::Recording& one : open) there.insert(one.bake);
        std::erase_if(followed, [&](const auto& one) { return !there.contains(one.first); });
        const std::string text = event_text("recordings", document_of(open));
        const std::lock_guard lock(mutex);
        std::erase_if(said, [&](const auto& one) {
            const std::size_t space = one.first.find(' ');
            return space != std::string::npos && !there.contains(book::BakeId{std::stoll(one.first.substr(space + 1))});
        });
        auto& [number, told] = said["recordings"];
        if (told == text) return;
        told = text;
        number = ++last;
    }
};

LiveDesk::LiveDesk(const Context& context) : state_(std::make_shared<State>(context)) {}

LiveDesk::~LiveDesk() {
    {
        const std::lock_guard lock(state_->mutex);
        state_->is_over = true;
    }
    state_->stopping.notify_all();
    if (state_->thread.joinable()) state_->thread.join();
}

std::function<std::optional<std::string>()> LiveDesk::window() {
    state_->look();
    return [state = state_, seen = std::uint64_t{0}, spoke_at = steady_clock::now()]() mutable -> std::optional<std::string> {
        state->look();
        const std::lock_guard lock(state->mutex);
        if (state->is_over) return std::nullopt;
        std::map<std::uint64_t, const std::string*> fresh;  // in the order in which it was said
        for (const auto& [key, what] : state->said)
            if (what.first > seen) fresh[what.first] = &what.second;
        std::string text;
        for (const auto& [number, part] : fresh) text += *part;
        seen = state->last;
        if (text.empty() && steady_clock::now() - spoke_at > kStillThere) text = ":\n\n";
        if (!text.empty()) spoke_at = steady_clock::now();
        return text;
    };
}

void add_live_routes(Routes& routes, Context& context) {
    routes.add("GET", "/api/recordings", [&context](const Asked&) {
        std::optional<book::Book> book = context.book_if_any();
        return answer_of(document_of(open_now(book)));
    });
    routes.add("GET", "/api/live", [&context](const Asked&) {
        return Answer{.type = "text/event-stream", .text = "retry: 2000\n\n", .more = context.live.window()};
    });
}

}  // namespace bakewright::page
