#pragma once

#include <array>
#include <boost/asio/ip/tcp.hpp>
#include <boost/asio/ssl/stream.hpp>
#include <boost/asio/steady_timer.hpp>
#include <functional>
#include <memory>
#include <optional>
#include <string>

#include "http.hpp"
#include "http_loop.hpp"

namespace bakewright::page {

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
    enum class State { greeting, head, body, waiting, working, answering, lingering, closed };
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
    bool is_http_1_1_ = true, keeps_alive_ = true, is_head_begun_ = false, without_text_ = false, has_token_ = false;
};

}  // namespace bakewright::page
