// SPDX-License-Identifier: Apache-2.0
#include <algorithm>
#include <boost/asio/buffer.hpp>
#include <boost/asio/ssl/error.hpp>
#include <boost/asio/write.hpp>
#include <boost/beast/http/empty_body.hpp>
#include <boost/beast/http/parser.hpp>
#include <cctype>
#include <limits>

#include "http_loop.hpp"

namespace bakewright::page {
namespace {

namespace asio = boost::asio;
namespace http = boost::beast::http;
using asio::ip::tcp;
using std::chrono::seconds;
using std::chrono::steady_clock;
using Parser = http::request_parser<http::empty_body>;

constexpr std::size_t kLargestHeaderBytes = std::size_t{16} << 10;
constexpr std::size_t kMostFields = 100;
constexpr std::size_t kSlowestBytesPerSecond = std::size_t{512} << 10;  // a body or an answer may take what it takes at this rate
constexpr seconds kIdle{60};                                            // between two requests with the token
/// Who goes on sending so much after he was refused does not mean to read why.
constexpr std::size_t kMostLingeredBytes = std::size_t{1} << 20;
constexpr seconds kLinger{1};  // for a client to read why it was refused
constexpr std::string_view kInterim = "HTTP/1.1 100 Continue\r\n\r\n";
constexpr std::string_view kHeaderEnd = "\r\n\r\n";

seconds time_for(std::size_t bytes) { return seconds(bytes / kSlowestBytesPerSecond); }

Answer answer_500() { return plain_answer(500, "the request could not be answered"); }

Head head_from(const Parser& parser) {
    const auto& request = parser.get();
    Head head{.method = std::string(request.method_string()), .target = std::string(request.target())};
    for (const auto& field : request) {
        std::string name(field.name_string());
        std::transform(name.begin(), name.end(), name.begin(),
                       [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
        head.fields.emplace_back(std::move(name), std::string(field.value()));
    }
    if (const auto length = parser.content_length()) head.body_bytes = *length;
    return head;
}

}  // namespace

HttpConnection::HttpConnection(HttpLoop& loop, std::uint64_t number, tcp::socket socket)
    : loop_(loop), number_(number), socket_(std::move(socket)), timer_(loop.io()) {}

void HttpConnection::start() {
    Error ignored;
    socket_.set_option(tcp::no_delay(true), ignored);
    if (loop_.tls() == nullptr) return next();
    expect_within(loop_.time_for_header());
    tls_ = std::make_unique<asio::ssl::stream<tcp::socket&>>(socket_, *loop_.tls());
    tls_->async_handshake(asio::ssl::stream_base::server, [self = shared_from_this()](Error error) {
        if (error) return self->close();
        if (self->state_ == State::greeting) self->next();
    });
}

void HttpConnection::close() {
    if (state_ == State::closed) return;
    const auto self = shared_from_this();         // the loop may hold the last other one
    if (state_ != State::working) return_body();  // what is being worked with is held until it ends
    if (is_going_on_) loop_.return_going_on();
    state_ = State::closed;
    timer_.cancel();
    Error ignored;
    socket_.close(ignored);
    loop_.forget(*this);
}

void HttpConnection::next() {
    state_ = State::head;
    is_head_begun_ = false;
    idle_since_ = steady_clock::now();
    expect_within(has_token_ ? kIdle : loop_.time_for_header());
    advance();
}

/// Wherever something is to be taken, and while an answer is made, too: so a client that goes is noticed.
void HttpConnection::read() {
    if (is_reading_ || has_ended_ || state_ == State::closed || state_ == State::answering) return;
    if (input_.size() >= kLargestHeaderBytes) return;
    is_reading_ = true;
    const auto took = [self = shared_from_this()](Error error, std::size_t count) { self->took(error, count); };
    tls_ ? tls_->async_read_some(asio::buffer(block_), took) : socket_.async_read_some(asio::buffer(block_), took);
}

void HttpConnection::took(const Error& error, std::size_t count) {
    is_reading_ = false;
    if (state_ == State::closed) return;
    has_ended_ = error == asio::error::eof || error == asio::ssl::error::stream_truncated;
    if (error && !has_ended_) return close();
    if (state_ == State::lingering || state_ == State::going_on) {  // nothing that is said now is heard
        lingered_bytes_ += count;
        if (lingered_bytes_ > kMostLingeredBytes) return close();
    } else {
        input_.append(block_.data(), count);
    }
    advance();
}

void HttpConnection::advance() {
    if (state_ == State::head) take_head();
    if (state_ == State::body) take_body();
    if (has_ended_ && state_ == State::waiting) watch();
    if (has_ended_ && (state_ == State::head || state_ == State::lingering || state_ == State::going_on)) return close();
    read();
}

void HttpConnection::take_head() {
    while (!is_head_begun_ && input_.starts_with("\r\n")) input_.erase(0, 2);  // RFC 9112, 2.2: left behind by older clients
    if (input_.empty()) return;
    if (!is_head_begun_) expect_within(loop_.time_for_header());
    is_head_begun_ = true;
    const std::size_t end = input_.find(kHeaderEnd);
    if (std::min(end, input_.size()) > kLargestHeaderBytes - kHeaderEnd.size())
        return refuse(431, "the header is longer than 16 KiB");
    if (end == std::string::npos) return;
    const std::size_t bytes = end + kHeaderEnd.size();
    Parser parser;
    parser.header_limit(kLargestHeaderBytes);
    parser.body_limit(std::numeric_limits<std::uint64_t>::max());  // bodies are bounded by their route
    Error error;
    parser.put(asio::buffer(input_.data(), bytes), error);
    if (error || !parser.is_header_done()) return refuse(400, "this is not a request of HTTP/1.1");
    input_.erase(0, bytes);
    const Head head = head_from(parser);
    is_http_1_1_ = parser.get().version() == 11;
    keeps_alive_ = parser.keep_alive();
    without_text_ = head.method == "HEAD";
    if (head.fields.size() > kMostFields) return refuse(431, "the header has more than 100 fields");
    consider(head);
}

void HttpConnection::consider(const Head& head) {
    try {
        admission_ = loop_.admit(head);
    } catch (const std::exception&) {
        admission_ = {.refusal = answer_500()};
    }
    has_token_ = admission_.bears_token;
    const std::uint64_t bytes = head.body_bytes.value_or(0);
    if (!admission_.refusal && !loop_.book_body(bytes))
        admission_.refusal = busy_answer("others are sending files; send it again when they are through");
    if (admission_.refusal) return refuse(std::move(*admission_.refusal));
    body_bytes_ = booked_bytes_ = static_cast<std::size_t>(bytes);
    body_.clear();
    body_.reserve(body_bytes_);
    state_ = State::body;
    expect_within(loop_.time_for_header() + time_for(body_bytes_));
    if (is_http_1_1_ && head.field("expect") == "100-continue" && input_.size() < body_bytes_) write_interim();
}

void HttpConnection::take_body() {
    const std::size_t count = std::min(input_.size(), body_bytes_ - body_.size());
    body_.append(input_, 0, count);
    input_.erase(0, count);
    if (body_.size() == body_bytes_) {
        timer_.cancel();
        loop_.submit(shared_from_this());
    } else if (has_ended_) {
        refuse(400, "the body is shorter than its Content-Length");
    }
}

std::function<Answer()> HttpConnection::begin_work() {
    state_ = State::working;
    return [work = std::move(admission_.work), body = std::make_shared<std::string>(std::move(body_))] {
        try {
            return work(std::move(*body));
        } catch (const std::exception&) {
            return answer_500();
        }
    };
}

void HttpConnection::wait_for_pool() {
    state_ = State::waiting;
    if (has_ended_) watch();
}

void HttpConnection::end_work(Answer answer) {
    return_body();
    body_ = {};
    if (state_ != State::closed) send(std::move(answer));
}

/// What the client may still send is not read as a request.
void HttpConnection::refuse(Answer answer) {
    keeps_alive_ = false;
    send(std::move(answer));
}

void HttpConnection::refuse(int status, std::string_view words) { refuse(plain_answer(status, words)); }

void HttpConnection::send(Answer answer) {
    is_going_on_ = answer.more && loop_.book_going_on();
    answer_ =
        answer.more && !is_going_on_ ? busy_answer("as many windows as there may be are looking already") : std::move(answer);
    state_ = State::answering;
    expect_within(loop_.time_for_header());
    if (!is_writing_) write_answer();
}

void HttpConnection::write_answer() {
    keeps_alive_ = keeps_alive_ && !loop_.is_stopping();
    answer_head_ = head_text(*answer_, !keeps_alive_);
    if (without_text_) answer_->text.clear();
    expect_within(loop_.time_for_header() + time_for(answer_->text.size()));
    write(std::array<asio::const_buffer, 2>{asio::buffer(answer_head_), asio::buffer(answer_->text)}, [](HttpConnection& self) {
        if (self.is_going_on_) return self.begin_going_on();
        self.answer_.reset();
        self.keeps_alive_ ? self.next() : self.linger();
    });
}

/// From here on the client only listens; it ends the answer by going.
void HttpConnection::begin_going_on() {
    if (without_text_ || loop_.is_stopping()) return close();
    state_ = State::going_on;
    input_.clear();
    expect_within(kBeat);
    advance();
}

void HttpConnection::go_on() {
    std::optional<std::string> more;
    try {
        more = answer_->more();
    } catch (const std::exception&) {
        more.reset();
    }
    if (!more) return linger();
    if (more->empty()) return expect_within(kBeat);
    more_ = std::move(*more);
    expect_within(loop_.time_for_header() + time_for(more_.size()));
    write(std::array<asio::const_buffer, 1>{asio::buffer(more_)}, [](HttpConnection& self) { self.expect_within(kBeat); });
}

void HttpConnection::write_interim() {
    write(std::array<asio::const_buffer, 1>{asio::buffer(kInterim)}, [](HttpConnection& self) {
        if (self.answer_) self.write_answer();
    });
}

template <class Buffers, class Then>
void HttpConnection::write(const Buffers& buffers, Then then) {
    is_writing_ = true;
    const auto wrote = [self = shared_from_this(), then](Error error, std::size_t) {
        self->is_writing_ = false;
        if (error) return self->close();
        if (self->state_ != State::closed) then(*self);
    };
    tls_ ? asio::async_write(*tls_, buffers, wrote) : asio::async_write(socket_, buffers, wrote);
}

/// Closing with something unread would take the answer down with it: reads and forgets until the client closes, too. Over TLS
/// nothing is said of the end, as every answer tells its length.
void HttpConnection::linger() {
    state_ = State::lingering;
    Error ignored;
    socket_.shutdown(tcp::socket::shutdown_send, ignored);
    if (loop_.is_stopping()) return close();
    expect_within(kLinger);
    input_.clear();
    advance();
}

/// The client has sent its last and waits for the pool. It may want the answer, or be gone: an interim answer, which any client
/// must be able to take (RFC 9110, 15.2), tells the one from the other, because a client that is gone resets the connection.
void HttpConnection::watch() {
    if (!is_http_1_1_) return close();
    if (is_watched_) return;
    is_watched_ = true;
    socket_.async_wait(tcp::socket::wait_error, [self = shared_from_this()](Error error) {
        if (!error && self->state_ == State::waiting) self->close();
    });
    if (!is_writing_) write_interim();
}

void HttpConnection::return_body() {
    loop_.return_body(booked_bytes_);
    booked_bytes_ = 0;
}

void HttpConnection::expect_within(steady_clock::duration time) {
    timer_.expires_after(time);
    timer_.async_wait([self = shared_from_this()](Error error) {
        if (!error && self->timer_.expiry() <= steady_clock::now()) self->too_late();
    });
}

void HttpConnection::too_late() {
    if (state_ == State::waiting || state_ == State::working) return;
    if (state_ == State::going_on && !is_writing_) return go_on();
    if ((state_ == State::head && is_head_begun_) || state_ == State::body)
        refuse(408, "the request took too long to arrive");
    else
        close();
}

}  // namespace bakewright::page
