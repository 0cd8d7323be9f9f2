#include "bakewright/page/server.hpp"

#include <fmt/core.h>
#include <httplib.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <memory>

#include "bakewright/base/error.hpp"
#include "context.hpp"
#include "guard.hpp"
#include "static_files.hpp"

namespace bakewright::page {
namespace {

constexpr std::size_t kThreads = 64;  // clients that say nothing each hold one until the read timeout
constexpr std::size_t kLargestBodyBytes = std::size_t{1} << 20;
constexpr const char* kUploadPath = "/api/logs";

constexpr const char* kPolicy =
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; connect-src 'self'; base-uri 'none'; "
    "form-action 'none'; frame-ancestors 'none'";

void set_answer_headers(httplib::Response& response) {
    response.set_header("Content-Security-Policy", kPolicy);
    response.set_header("X-Content-Type-Options", "nosniff");
    response.set_header("Referrer-Policy", "no-referrer");
    response.set_header("Cross-Origin-Opener-Policy", "same-origin");
    response.set_header("Cross-Origin-Resource-Policy", "same-origin");
    response.set_header("Cache-Control", "no-store");
}

void send(const Answer& answer, httplib::Response& response) {
    response.status = answer.status;
    // set_content() would compress with Brotli at its slowest wherever the client takes that: ten times the work of the answer
    // itself, for a wire that is within one computer. A content provider of known length is sent as it is.
    const auto text = std::make_shared<const std::string>(answer.text);
    if (text->empty())
        response.set_content(*text, answer.type.c_str());
    else
        response.set_content_provider(text->size(), answer.type.c_str(),
                                      [text](std::size_t from, std::size_t length, httplib::DataSink& sink) {
                                          return sink.write(text->data() + from, std::min(length, text->size() - from));
                                      });
    for (const auto& [name, value] : answer.headers) {
        response.headers.erase(name);
        response.set_header(name, value);
    }
}

/// Says no and closes: what the body would have held is not read.
httplib::Server::HandlerResponse refuse(httplib::Response& response, int status, const char* words) {
    response.status = status;
    response.set_content(std::string(words) + "\n", "text/plain; charset=utf-8");
    response.set_header("Connection", "close");
    return httplib::Server::HandlerResponse::Handled;
}

Asked asked_of(const httplib::Request& request) {
    Asked asked{.method = request.method, .path = request.path, .query = {}, .body = request.body};
    for (const auto& [key, value] : request.params) asked.query[key] = value;
    return asked;
}

void refuse_options(const ServerOptions& options) {
    if (options.port < 0 || options.port > 65535) throw InputError(Problem{{}, 0, "--port", "accepts 0 to 65535"});
    if (options.host.empty()) throw InputError(Problem{{}, 0, "--host", "is empty"});
    if (options.read_timeout_s < 1 || options.read_timeout_s > 3600)
        throw InputError(Problem{{}, 0, "read timeout", "accepts 1 to 3600 s"});
}

}  // namespace

struct Server::State {
    explicit State(ServerOptions given) : options(std::move(given)), context(options), token(new_token()) {}

    ServerOptions options;
    Context context;
    std::string token;
    int port = 0;
    Routes routes;
    httplib::Server http;

    [[nodiscard]] std::string cookie_name() const { return fmt::format("bakewright_{}", port); }

    [[nodiscard]] bool bears_token(const httplib::Request& request) const {
        const std::string bearer = request.get_header_value("Authorization");
        if (equal_in_constant_time(bearer, "Bearer " + token)) return true;
        return equal_in_constant_time(cookie_value(request.get_header_value("Cookie"), cookie_name()), token);
    }

    /// The first opening: the token goes from the address into a cookie, so that it stays in no history.
    bool opens_page(const httplib::Request& request, httplib::Response& response) const {
        if (request.method != "GET" || request.path != "/" || !request.has_param("token")) return false;
        if (!equal_in_constant_time(request.get_param_value("token"), token)) return false;
        response.status = 303;
        response.set_header("Location", "/");
        response.set_header("Set-Cookie", fmt::format("{}={}; Path=/; HttpOnly; SameSite=Strict", cookie_name(), token));
        return true;
    }

    httplib::Server::HandlerResponse guard(const httplib::Request& request, httplib::Response& response) const {
        set_answer_headers(response);
        const std::string host = request.get_header_value("Host");
        if (request.get_header_value_count("Host") != 1 || !is_our_host(host, options.host, port))
            return refuse(response, 403, "this server does not go by that name");
        if (opens_page(request, response)) return httplib::Server::HandlerResponse::Handled;
        if (!is_our_origin(request.get_header_value("Origin"), host) || !is_our_site(request.get_header_value("Sec-Fetch-Site")))
            return refuse(response, 403, "another site may not ask this server");
        if (!bears_token(request))
            return refuse(response, 403, "open the address that `bakewright serve` printed: it has the token of this run in it");
        return guard_body(request, response);
    }

    httplib::Server::HandlerResponse guard_body(const httplib::Request& request, httplib::Response& response) const {
        if (request.has_header("Transfer-Encoding") || request.has_header("Content-Encoding"))
            return refuse(response, 411, "a body is sent whole and as it is, with its Content-Length");
        if (request.method != "POST") return httplib::Server::HandlerResponse::Unhandled;
        const bool is_upload = request.path == kUploadPath;
        const std::string type = request.get_header_value("Content-Type");
        if (type != (is_upload ? "application/octet-stream" : "application/json"))
            return refuse(response, 415, "a request is application/json, a log application/octet-stream");
        const auto length = request.get_header_value<std::uint64_t>("Content-Length");
        if (!is_upload && length > kLargestBodyBytes) return refuse(response, 413, "the request is too large");
        if (length > options.largest_upload_bytes) return refuse(response, 413, "the file is too large");
        return httplib::Server::HandlerResponse::Unhandled;
    }

    void add_routes() {
        add_static_files(routes);
        add_job_routes(routes, context.jobs);
        add_shop_routes(routes, context);
        add_prepare_routes(routes, context);
        add_bake_routes(routes, context);
        add_log_routes(routes, context);
        add_history_routes(routes, context);
        add_card_routes(routes, context);
        add_tune_routes(routes, context);
        add_profile_routes(routes, context);
    }

    void set_up_http() {
        http.new_task_queue = [] { return new httplib::ThreadPool(kThreads); };
        http.set_payload_max_length(options.largest_upload_bytes);
        http.set_read_timeout(options.read_timeout_s);
        http.set_write_timeout(options.read_timeout_s);
        http.set_keep_alive_timeout(options.read_timeout_s);
        http.set_keep_alive_max_count(1000);
        http.set_tcp_nodelay(true);
        http.set_pre_routing_handler([this](const auto& request, auto& response) { return guard(request, response); });
        const auto handle = [this](const httplib::Request& request, httplib::Response& response) {
            send(routes.answer(asked_of(request)), response);
        };
        http.Get(".*", handle);
        http.Post(".*", handle);
        http.Delete(".*", handle);
        http.set_exception_handler(
            [](const auto&, auto& response, std::exception_ptr) { refuse(response, 500, "the request could not be answered"); });
    }

    void bind() {
        if (options.port == 0)
            port = http.bind_to_any_port(options.host);
        else if (http.bind_to_port(options.host, options.port))
            port = options.port;
        if (port <= 0)
            throw FileError(fmt::format("{}:{}: could not be listened at: {}", options.host, options.port, std::strerror(errno)));
    }
};

Server::Server(ServerOptions options) {
    refuse_options(options);
    state_ = std::make_unique<State>(std::move(options));
    state_->add_routes();
    state_->set_up_http();
    state_->bind();
}

Server::~Server() { stop(); }

std::string Server::address() const {
    const bool any = state_->options.host == "0.0.0.0" || state_->options.host == "::";
    std::string host = any ? "127.0.0.1" : state_->options.host;
    if (host.find(':') != std::string::npos) host = "[" + host + "]";
    return fmt::format("http://{}:{}/?token={}", host, state_->port, state_->token);
}

int Server::port() const noexcept { return state_->port; }
const std::string& Server::token() const noexcept { return state_->token; }
bool Server::is_open_to_network() const { return !is_loopback(state_->options.host); }

void Server::run() {
    if (!state_->http.listen_after_bind()) throw FileError("the page stopped: its socket failed");
}

void Server::stop() {
    state_->http.stop();
    state_->context.jobs.stop_all();
}

}  // namespace bakewright::page
