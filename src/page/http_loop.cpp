// SPDX-License-Identifier: Apache-2.0
#include "http_loop.hpp"

#include <fmt/core.h>
#include <sys/resource.h>

#include <algorithm>
#include <boost/asio/post.hpp>
#include <thread>

#include "bakewright/base/error.hpp"
#include "certificate.hpp"
#include "guard.hpp"

namespace bakewright::page {
namespace {

namespace asio = boost::asio;
using asio::ip::tcp;
using Error = boost::system::error_code;
using std::chrono::milliseconds;

constexpr std::size_t kMostConnections = 256;
constexpr milliseconds kLastAnswers{900};  // from a stop on, for what is being worked out
constexpr const char* kBusy = "the program has its hands full with other requests; ask again";

/// Connections at one time: as many files as the system lets us open, less what the book and the profiles take.
std::size_t most_connections() {
    rlimit open_files{};
    if (::getrlimit(RLIMIT_NOFILE, &open_files) != 0 || open_files.rlim_cur == RLIM_INFINITY) return kMostConnections;
    const auto limit = static_cast<std::size_t>(open_files.rlim_cur);
    return std::clamp<std::size_t>(limit - std::min<std::size_t>(limit, 128), 16, kMostConnections);
}

std::unique_ptr<asio::ssl::context> tls_with(const Certificate& certificate) {
    using Context = asio::ssl::context;
    auto tls = std::make_unique<Context>(Context::tls_server);
    tls->set_options(Context::default_workarounds | Context::no_tlsv1 | Context::no_tlsv1_1 | Context::no_compression);
    tls->use_certificate_chain(asio::buffer(certificate.chain_pem));
    tls->use_private_key(asio::buffer(certificate.key_pem), Context::pem);
    return tls;
}

}  // namespace

HttpLoop::HttpLoop(const HttpOptions& options, Front front)
    : front_(std::move(front)),
      time_for_header_(options.time_for_header),
      bodies_left_bytes_(options.largest_bodies_bytes),
      most_connections_(options.most_connections > 0 ? options.most_connections : most_connections()),
      workers_(options.workers > 0 ? options.workers : std::clamp(std::thread::hardware_concurrency(), 4U, 8U)),
      pool_(workers_) {
    if (options.certificate != nullptr) tls_ = tls_with(*options.certificate);
    listen(options);
}

HttpLoop::~HttpLoop() { pool_.join(); }

void HttpLoop::listen(const HttpOptions& options) {
    try {
        const auto found =
            tcp::resolver(io_).resolve(without_brackets(options.host), std::to_string(options.port), tcp::resolver::passive);
        const tcp::endpoint address = *found.begin();
        is_open_to_network_ = !address.address().is_loopback();
        if (is_open_to_network_ && !tls_)
            throw InputError(
                Problem{{},
                        0,
                        "--host",
                        fmt::format("'{}' is reached from the network, where others can read along: add --tls, or give "
                                    "--certificate FILE and --key FILE",
                                    options.host)});
        acceptor_.open(address.protocol());
        acceptor_.set_option(tcp::acceptor::reuse_address(true));
        acceptor_.bind(address);
        acceptor_.listen();
        port_ = acceptor_.local_endpoint().port();
    } catch (const boost::system::system_error& error) {
        throw FileError(fmt::format("{}:{}: could not be listened at: {}", options.host, options.port, error.code().message()));
    }
}

void HttpLoop::run() {
    accept();
    for (;;) try {
            io_.run();
            return;
        } catch (const std::exception&) {
            // Memory ran out for one connection. Its time is bounded, and the others go on.
        }
}

void HttpLoop::stop() {
    if (is_stopping_) return;
    is_stopping_ = true;
    Error ignored;
    acceptor_.close(ignored);
    pause_.cancel();
    end_.expires_after(kLastAnswers);
    end_.async_wait([this](Error) { io_.stop(); });
    const auto all = connections_;
    for (const auto& [number, connection] : all)
        if (!connection->is_being_answered()) connection->close();
    if (connections_.empty()) io_.stop();
}

void HttpLoop::accept() {
    acceptor_.async_accept([this](Error error, tcp::socket socket) {
        if (is_stopping_) return;
        if (error) {  // such as too many open files: those who are connected go on, and some of them end
            pause_.expires_after(milliseconds(100));
            pause_.async_wait([this](Error) {
                if (!is_stopping_) accept();
            });
            return;
        }
        accept();
        if (!make_room()) return;
        const auto connection = std::make_shared<HttpConnection>(*this, ++last_number_, std::move(socket));
        connections_.emplace(connection->number(), connection);
        connection->start();
    });
}

/// Where there is none, closes the oldest connection without the token; where all have it, the one that has been idle longest.
/// Those who say nothing on this machine have the painter's address, so that no bound by address would tell them apart.
bool HttpLoop::make_room() {
    if (connections_.size() < most_connections_) return true;
    std::shared_ptr<HttpConnection> least;
    for (const auto& [number, connection] : connections_) {
        if (!connection->has_token()) {
            least = connection;
            break;
        }
        if (connection->is_idle() && (!least || connection->idle_since() < least->idle_since())) least = connection;
    }
    if (least) least->close();
    return least != nullptr;
}

bool HttpLoop::book_body(std::uint64_t bytes) {
    if (bytes > bodies_left_bytes_) return false;
    bodies_left_bytes_ -= static_cast<std::size_t>(bytes);
    return true;
}

void HttpLoop::submit(const std::shared_ptr<HttpConnection>& connection) {
    if (connection->pace() == Pace::quick) return connection->end_work(connection->begin_work()());
    if (may_begin(connection->pace())) return begin(connection);
    if (!may_wait(connection->pace())) return connection->end_work(busy_answer(kBusy));
    queue_.push_back(connection);
    connection->wait_for_pool();
}

bool HttpLoop::may_begin(Pace pace) const noexcept {
    return working_ < workers_ && (pace != Pace::slow || 2 * slow_working_ < workers_);
}

bool HttpLoop::may_wait(Pace pace) const {
    const auto is_slow = [](const auto& one) { return one->pace() == Pace::slow; };
    const auto slow = static_cast<std::size_t>(std::count_if(queue_.begin(), queue_.end(), is_slow));
    return queue_.size() < kLongestQueue && (pace != Pace::slow || 2 * slow < kLongestQueue);
}

void HttpLoop::begin(const std::shared_ptr<HttpConnection>& connection) {
    const std::size_t slow = connection->pace() == Pace::slow ? 1 : 0;
    ++working_;
    slow_working_ += slow;
    asio::post(pool_, [this, connection, slow, work = connection->begin_work()]() mutable {
        asio::post(io_, [this, connection = std::move(connection), slow, answer = work()]() mutable {
            --working_;
            slow_working_ -= slow;
            connection->end_work(std::move(answer));
            begin_next();
        });
    });
}

void HttpLoop::begin_next() {
    if (is_stopping_) return;
    const auto next = std::find_if(queue_.begin(), queue_.end(), [&](const auto& one) { return may_begin(one->pace()); });
    if (next == queue_.end()) return;
    const std::shared_ptr<HttpConnection> first = *next;
    queue_.erase(next);
    begin(first);
}

void HttpLoop::forget(const HttpConnection& connection) {
    std::erase_if(queue_, [&](const auto& one) { return one.get() == &connection; });
    connections_.erase(connection.number());
    if (is_stopping_ && connections_.empty()) io_.stop();
}

}  // namespace bakewright::page
