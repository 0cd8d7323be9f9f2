// SPDX-License-Identifier: Apache-2.0
#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

#include "sources.hpp"

namespace bakewright::record {
namespace {

constexpr double kTellEveryS = 60.0, kLookAgainS = 1.0;

/// A descriptor that is closed with the object; that of standard input is not.
class InputDescriptor {
public:
    explicit InputDescriptor(int number = -1) noexcept : number_(number) {}
    ~InputDescriptor() { reset(); }
    InputDescriptor(const InputDescriptor&) = delete;
    InputDescriptor& operator=(const InputDescriptor&) = delete;
    void reset(int number = -1) noexcept {
        if (number_ > STDIN_FILENO) ::close(number_);
        number_ = number;
    }
    [[nodiscard]] int number() const noexcept { return number_; }

private:
    int number_;
};

enum class Came { bytes, nothing, end };

class LinesSource final : public Source {
public:
    LinesSource(const probe::SourceRecord& record, probe::ReadOptions reading)
        : settings_(*record.lines), interval_s_(record.interval_s), lines_(record, std::move(reading), record.lines->time) {}

    void run(const std::stop_token& stop, const SourceLink& link) override {
        if (settings_.path == "-") return read_stream(stop, link);
        while (!stop.stop_requested()) {
            if (!open(link)) {
                if (!wait_for(stop, kLookAgainS)) return;
                continue;
            }
            struct stat there {};
            ::fstat(input_.number(), &there);
            if (S_ISREG(there.st_mode))
                read_file(stop, link, there);
            else
                read_pipe(stop, link);
        }
    }

private:
    bool open(const SourceLink& link) {
        input_.reset(::open(settings_.path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC));
        if (input_.number() >= 0) {
            is_missing_ = false;
            return true;
        }
        if (!std::exchange(is_missing_, true)) link.tell_bad(fmt::format("{}: {}", settings_.path, std::strerror(errno)));
        return false;
    }

    /// Waits a fifth of a second at most. @param is_kept  whether its rows are wanted
    Came read_some(const SourceLink& link, bool is_kept = true) {
        pollfd waited{input_.number(), POLLIN, 0};
        if (::poll(&waited, 1, 200) <= 0) return Came::nothing;
        const ssize_t count = ::read(input_.number(), bytes_.data(), bytes_.size());
        if (count < 0) return errno == EAGAIN || errno == EINTR ? Came::nothing : Came::end;
        if (count == 0) return Came::end;
        lines_.take(std::string_view(bytes_.data(), static_cast<std::size_t>(count)), link,
                    is_kept ? DecodedLines::Rows::waiting : DecodedLines::Rows::none);
        return Came::bytes;
    }

    void read_stream(const std::stop_token& stop, const SourceLink& link) {
        input_.reset(STDIN_FILENO);
        while (!stop.stop_requested())
            if (read_some(link) == Came::end) return link.tell_good("standard input has ended");
    }

    /// Until its writers are gone; then it is opened for the next.
    void read_pipe(const std::stop_token& stop, const SourceLink& link) {
        bool any = false;
        while (!stop.stop_requested()) {
            const Came came = read_some(link);
            any = any || came == Came::bytes;
            if (came != Came::end) continue;
            if (!any) {
                if (!wait_for(stop, 0.2)) return;
                continue;  // nobody writes yet
            }
            link.tell_bad("the program that writes to " + settings_.path + " has ended; waiting for the next");
            lines_.decoder().break_off();
            lines_.decoder().begin_anew();
            return;
        }
    }

    /// As it grows. One that was cut short or replaced begins anew.
    void read_file(const std::stop_token& stop, const SourceLink& link, const struct stat& opened) {
        bool is_kept = settings_.is_from_start || is_again_;
        off_t size = 0;
        while (!stop.stop_requested()) {
            const Came came = read_some(link, is_kept);
            if (came == Came::bytes) {
                size = ::lseek(input_.number(), 0, SEEK_CUR);
                continue;
            }
            is_kept = true;
            struct stat there {};
            const bool is_same = ::stat(settings_.path.c_str(), &there) == 0 && there.st_ino == opened.st_ino &&
                                 there.st_dev == opened.st_dev && there.st_size >= size;
            if (!is_same) {
                link.tell_bad(settings_.path + " was cut short, replaced or removed; it is read anew");
                lines_.decoder().begin_anew();
                is_again_ = true;
                return;
            }
            if (!wait_for(stop, std::clamp(interval_s_ / 4.0, 0.02, 0.5))) return;
        }
    }

    const probe::LineSettings settings_;
    const double interval_s_;
    DecodedLines lines_;
    InputDescriptor input_;
    bool is_missing_ = false, is_again_ = false;
    std::array<char, std::size_t{1} << 16U> bytes_{};
};

}  // namespace

void DecodedLines::take(std::string_view bytes, const SourceLink& link, Rows rows) {
    LineDecoder::Decoded decoded = decoder_.take(bytes, link.now_s());
    if (!decoded.announced.empty()) {
        link.announce(std::move(decoded.announced));
        link.tell_good(decoded.form);
    }
    if (rows == Rows::waiting && !decoded.rows.empty())
        link.put_waiting(std::move(decoded.rows));
    else if (rows == Rows::now_or_never && !decoded.rows.empty())
        link.put(std::move(decoded.rows));
    refused_ += decoded.refused;
    if (decoded.why.empty() || (refused_ == 0 && decoder_.knows_form()) || link.now_s() - told_at_s_ < kTellEveryS) return;
    told_at_s_ = link.now_s();
    if (decoder_.knows_form())
        link.tell_bad(fmt::format("{} {} could not be read, the last: {}", std::exchange(refused_, 0),
                                  refused_ == 1 ? "line" : "lines", decoded.why));
    else
        link.tell_bad("lines come that are no log yet: " + decoded.why);
}

std::unique_ptr<Source> make_lines_source(const probe::SourceRecord& record, probe::ReadOptions reading) {
    return std::make_unique<LinesSource>(record, std::move(reading));
}

}  // namespace bakewright::record
