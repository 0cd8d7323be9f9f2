// SPDX-License-Identifier: Apache-2.0
#include "bakewright/page/server.hpp"

#include <fmt/core.h>

#include <memory>
#include <optional>

#include "answers.hpp"
#include "bakewright/base/error.hpp"
#include "body.hpp"
#include "certificate.hpp"
#include "context.hpp"
#include "guard.hpp"
#include "http.hpp"
#include "static_files.hpp"

namespace bakewright::page {
namespace {

constexpr const char* kOpening = "/open";
constexpr std::size_t kLargestOpeningBytes = 1024;
constexpr std::size_t kOtherBodiesBytes = std::size_t{16} << 20;  // beside one upload, at one time
constexpr const char* kNoToken =
    "open the address that `bakewright serve` printed; Enter in the window where it runs prints another";
constexpr const char* kSpent =
    "this address was opened already, or is older than ten minutes; Enter in the window where `bakewright serve` runs prints "
    "another";

Admission refuse(int status, const char* words) { return {.refusal = plain_answer(status, words)}; }

/// Before a body is read: its form, its type, and its length against the route's own bound.
std::optional<Answer> refused_body(const Head& head, const RouteRule& rule) {
    if (head.count("transfer-encoding") > 0 || head.count("content-encoding") > 0)
        return plain_answer(411, "a body is sent whole and as it is, with its Content-Length");
    const std::uint64_t bytes = head.body_bytes.value_or(0);
    if (rule.body_type.empty()) {
        if (bytes == 0) return std::nullopt;
        return plain_answer(413, "nothing is sent with a request of this kind");
    }
    if (!head.body_bytes) return plain_answer(411, "a body is sent with its Content-Length");
    if (head.field("content-type") != rule.body_type)
        return plain_answer(415, "a request is application/json, a log application/octet-stream");
    if (bytes > rule.largest_body_bytes)
        return plain_answer(413, fmt::format("this is too large: at most {} bytes are taken here", rule.largest_body_bytes));
    return std::nullopt;
}

void refuse_options(const ServerOptions& options) {
    if (options.port < 0 || options.port > 65535) throw InputError(Problem{{}, 0, "--port", "accepts 0 to 65535"});
    if (options.host.empty()) throw InputError(Problem{{}, 0, "--host", "is empty"});
    if (options.time_for_header_s < 1 || options.time_for_header_s > 3600)
        throw InputError(Problem{{}, 0, "time for a header", "accepts 1 to 3600 s"});
    if (options.certificate_file.empty() != options.key_file.empty())
        throw InputError(Problem{{}, 0, "--certificate", "goes with --key: give both, or neither"});
}

std::optional<Certificate> certificate_of(const ServerOptions& options) {
    if (!options.certificate_file.empty()) return read_certificate(options.certificate_file, options.key_file);
    if (options.tls) return self_signed_certificate(options.host);
    return std::nullopt;
}

}  // namespace

struct Server::State {
    explicit State(ServerOptions given)
        : options(std::move(given)),
          certificate(certificate_of(options)),
          context(options),
          http({.host = options.host,
                .port = options.port,
                .certificate = certificate ? &*certificate : nullptr,
                .time_for_header = std::chrono::seconds(options.time_for_header_s),
                .largest_bodies_bytes = options.largest_upload_bytes + kOtherBodiesBytes},
               [this](const Head& head) { return admit(head); }) {}

    ServerOptions options;
    std::optional<Certificate> certificate;
    Context context;
    const std::string token = new_token();
    const std::string no_fingerprint{};
    OpeningCode code{};
    Routes opening_routes{}, routes{};
    Http http;  // last: what it answers with outlives it

    [[nodiscard]] const char* scheme() const { return certificate ? "https" : "http"; }
    [[nodiscard]] std::string cookie_name() const { return fmt::format("bakewright_{}", http.port()); }

    [[nodiscard]] bool bears_token(const Head& head) const {
        if (equal_in_constant_time(head.field("authorization"), "Bearer " + token)) return true;
        return equal_in_constant_time(cookie_value(head.field("cookie"), cookie_name()), token);
    }

    /// A request's way in: name, encoding, what opens the page, site, token, then the route's rule of its body.
    Admission admit(const Head& head) {
        const std::string host = head.field("host");
        if (head.count("host") != 1 || !is_our_host(host, options.host, http.port()))
            return refuse(403, "this server does not go by that name");
        std::optional<Asked> asked = asked_of(head.method == "HEAD" ? "GET" : head.method, head.target);
        if (!asked) return refuse(400, "the address is not well encoded");
        if (opening_routes.rule_of(*asked) != nullptr) return let_in(head, std::move(*asked), opening_routes, false);
        if (!is_our_origin(head.field("origin"), scheme(), host) || !is_our_site(head.field("sec-fetch-site")))
            return refuse(403, "another site may not ask this server");
        if (asked->method == "POST" && asked->path == kOpening) return open(head);
        if (!bears_token(head)) return refuse(403, kNoToken);
        return let_in(head, std::move(*asked), routes, true);
    }

    static Admission let_in(const Head& head, Asked asked, const Routes& routes, bool has_token) {
        const RouteRule* rule = routes.rule_of(asked);
        Admission admission{.bears_token = has_token, .pace = rule == nullptr ? Pace::quick : rule->pace};
        if (rule != nullptr)
            admission.refusal = refused_body(head, *rule);
        else if (head.body_bytes.value_or(0) > 0)
            admission.refusal = routes.answer(asked);  // 404 or 405
        admission.work = [&routes, asked = std::move(asked)](std::string body) mutable {
            asked.body = std::move(body);
            return routes.answer(std::move(asked));
        };
        return admission;
    }

    /// The cookie for the code. Whoever has the cookie already is let in too, and has spent the code.
    Admission open(const Head& head) {
        RouteRule rule = json_rule();
        rule.largest_body_bytes = kLargestOpeningBytes;
        const auto work = [this, has_token = bears_token(head)](const std::string& body) -> Answer {
            bool is_spent = false;
            try {
                is_spent = code.spend(Body(body).text("code"));
            } catch (const InputError& error) {
                return problem_answer(400, error.problems());
            }
            if (!is_spent && !has_token) return plain_answer(403, kSpent);
            Answer answer = json_answer("opened", Json::object());
            if (is_spent)
                answer.headers["Set-Cookie"] = fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict{}", cookie_name(), token,
                                                           certificate ? "; Secure" : "");
            return answer;
        };
        return {.refusal = refused_body(head, rule), .work = work, .pace = Pace::quick};
    }

    void add_routes() {
        add_opening_files(opening_routes);
        add_static_files(routes);
        add_help_files(routes, context.options.help_folder);
        add_job_routes(routes, context.jobs);
        add_shop_routes(routes, context);
        add_prepare_routes(routes, context);
        add_bake_routes(routes, context);
        add_log_routes(routes, context);
        add_live_routes(routes, context);
        add_history_routes(routes, context);
        add_card_routes(routes, context);
        add_tune_routes(routes, context);
        add_profile_routes(routes, context);
    }
};

Server::Server(ServerOptions options) {
    refuse_options(options);
    state_ = std::make_unique<State>(std::move(options));
    state_->add_routes();
}

Server::~Server() { stop(); }

std::string Server::new_address() {
    const std::string asked = without_brackets(state_->options.host);
    std::string host = asked == "0.0.0.0" ? "127.0.0.1" : (asked == "::" ? "::1" : asked);
    if (host.find(':') != std::string::npos) host = "[" + host + "]";
    return fmt::format("{}://{}:{}{}#{}", state_->scheme(), host, state_->http.port(), kOpening, state_->code.renew());
}

int Server::port() const noexcept { return state_->http.port(); }
const std::string& Server::token() const noexcept { return state_->token; }
bool Server::is_open_to_network() const noexcept { return state_->http.is_open_to_network(); }

const std::string& Server::certificate_fingerprint() const noexcept {
    return state_->certificate ? state_->certificate->fingerprint : state_->no_fingerprint;
}

void Server::run() { state_->http.run(); }

void Server::stop() {
    state_->http.stop();
    state_->context.jobs.ask_all_to_stop();
}

}  // namespace bakewright::page
