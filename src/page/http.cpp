// SPDX-License-Identifier: Apache-2.0
#include "http.hpp"

#include <boost/asio/io_context.hpp>
#include <boost/asio/post.hpp>

#include "http_loop.hpp"

namespace bakewright::page {

Http::Http(const HttpOptions& options, Front front) : loop_(std::make_unique<HttpLoop>(options, std::move(front))) {}
Http::~Http() = default;

int Http::port() const noexcept { return loop_->port(); }
bool Http::is_open_to_network() const noexcept { return loop_->is_open_to_network(); }
void Http::run() { loop_->run(); }

void Http::stop() {
    boost::asio::post(loop_->io(), [loop = loop_.get()] { loop->stop(); });
}

}  // namespace bakewright::page
