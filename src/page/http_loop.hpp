// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <array>
#include <boost/asio/io_context.hpp>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/context.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/asio/steady_timer.hpp>
#include <boost/asio/thread_pool.hpp>
#include <cstdint>
#include <deque>
#include <functional>
#include <map>
#include <memory>
#include <optional>
#include <string>

#include "http_options.hpp"

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

    /// Room for an answer that goes on; false where there are kMostGoingOn.
    [[nodiscard]] bool book_going_on() noexcept { return going_on_ < kMostGoingOn && ++going_on_ > 0; }
    void return_going_on() noexcept { --going_on_; }

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
    std::size_t working_ = 0, slow_working_ = 0, going_on_ = 0;
    int port_ = 0;
    bool is_stopping_ = false, is_open_to_network_ = false;
    boost::asio::thread_pool pool_;  // ends before what its work speaks to
};

/// One connection: reads a head, has it admitted, reads the body, has the answer made, sends it, and begins anew.
class HttpConnection : public std::enable_shared_from_this<HttpConnection> {
public:
    HttpConnection(HttpLoop& loop, std::uint64_t number, boost::asio::ip::tcp::socket socket);

    void start();
    void close();  ///< at once, whatever is under way

    [[nodiscard]] std::function<Answer()> begin_work();  ///< what is to be done, on any thread
    void wait_for_pool();
    void end_work(Answer answer);

    [[nodiscard]] std::uint64_t number() const noexcept { return number_; }
    [[nodiscard]] bool is_being_answered() const noexcept { return state_ == State::working || state_ == State::answering; }
    [[nodiscard]] bool is_idle() const noexcept { return state_ == State::head && !is_head_begun_; }
    [[nodiscard]] Pace pace() const noexcept { return admission_.pace; }
    [[nodiscard]] bool has_token() const noexcept { return has_token_; }
    [[nodiscard]] std::chrono::steady_clock::time_point idle_since() const noexcept { return idle_since_; }

private:
    std::size_t lingered_bytes_ = 0;
    enum class State { greeting, head, body, waiting, working, answering, going_on, lingering, closed };
    using Error = boost::system::error_code;

    void next();
    void read();
    void took(const Error& error, std::size_t count);
    void advance();
    void take_head();
    void consider(const Head& head);
    void take_body();
    void refuse(Answer answer);
    void refuse(int status, std::string_view words);
    void send(Answer answer);
    void write_answer();
    void begin_going_on();
    void go_on();
    void write_interim();
    template <class Buffers, class Then>
    void write(const Buffers& buffers, Then then);
    void linger();
    void watch();
    void return_body();
    void expect_within(std::chrono::steady_clock::duration time);
    void too_late();

    HttpLoop& loop_;
    std::uint64_t number_;
    boost::asio::ip::tcp::socket socket_;
    std::unique_ptr<boost::asio::ssl::stream<boost::asio::ip::tcp::socket&>> tls_{};
    boost::asio::steady_timer timer_;
    std::chrono::steady_clock::time_point idle_since_{};
    State state_ = State::greeting;
    std::array<char, 16384> block_{};
    std::string input_{};  ///< what was read and not taken yet
    Admission admission_{};
    std::string body_{};
    std::size_t body_bytes_ = 0, booked_bytes_ = 0;
    std::optional<Answer> answer_{};  ///< under way, or waiting for an interim one to be through
    std::string answer_head_{};
    bool is_reading_ = false, is_writing_ = false, has_ended_ = false, is_watched_ = false;
    std::string more_{};  ///< of an answer that goes on, while it is written
    bool is_http_1_1_ = true, keeps_alive_ = true, is_head_begun_ = false, without_text_ = false, has_token_ = false,
         is_going_on_ = false;
};

}  // namespace bakewright::page
