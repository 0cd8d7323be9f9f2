#pragma once

#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <cstdint>
#include <deque>
#include <map>
#include <memory>

#include "http.hpp"

namespace bakewright::page {

class HttpConnection;

/// Connections, the work they wait for, and the bounds that hold for all of them. Everything but the work itself happens on the
/// thread of run(), so that nothing here is locked.
class HttpLoop {
public:
    HttpLoop(const HttpOptions& options, Front front);
    ~HttpLoop();
    HttpLoop(const HttpLoop&) = delete;
    HttpLoop& operator=(const HttpLoop&) = delete;

    void run();
    void stop();  ///< on the loop's thread

    /// Has the answer made to a request that was read whole.
    void submit(const std::shared_ptr<HttpConnection>& connection);
    /// A connection that is closed: its work is not begun any more.
    void forget(const HttpConnection& connection);
    /// Room for a body; false where others take too much already.
    [[nodiscard]] bool book_body(std::uint64_t bytes);
    void return_body(std::size_t bytes) noexcept { bodies_left_bytes_ += bytes; }

    [[nodiscard]] Admission admit(const Head& head) const { return front_(head); }
    [[nodiscard]] std::chrono::seconds time_for_header() const noexcept { return time_for_header_; }
    [[nodiscard]] boost::asio::ssl::context* tls() const noexcept { return tls_.get(); }
    [[nodiscard]] boost::asio::io_context& io() noexcept { return io_; }
    [[nodiscard]] bool is_stopping() const noexcept { return is_stopping_; }
    [[nodiscard]] bool is_open_to_network() const noexcept { return is_open_to_network_; }
    [[nodiscard]] int port() const noexcept { return port_; }

private:
    void listen(const HttpOptions& options);
    void accept();
    [[nodiscard]] bool make_room();
    [[nodiscard]] bool may_begin(Pace pace) const noexcept;
    [[nodiscard]] bool may_wait(Pace pace) const;
    void begin(const std::shared_ptr<HttpConnection>& connection);
    void begin_next();

    Front front_;
    std::chrono::seconds time_for_header_;
    std::size_t bodies_left_bytes_;
    const std::size_t most_connections_, workers_;
    std::unique_ptr<boost::asio::ssl::context> tls_{};
    boost::asio::io_context io_{1};
    boost::asio::ip::tcp::acceptor acceptor_{io_};
    boost::asio::steady_timer pause_{io_}, end_{io_};
    std::map<std::uint64_t, std::shared_ptr<HttpConnection>> connections_{};  ///< oldest first
    std::deque<std::shared_ptr<HttpConnection>> queue_{};
    std::uint64_t last_number_ = 0;
    std::size_t working_ = 0, slow_working_ = 0;
    int port_ = 0;
    bool is_stopping_ = false, is_open_to_network_ = false;
    boost::asio::thread_pool pool_;  // ends before what its work speaks to
};

}  // namespace bakewright::page
