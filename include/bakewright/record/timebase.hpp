// SPDX-License-Identifier: Apache-2.0
#pragma once

#include <string>

/// Recording of live readings: sources, and the recorder that keeps what they bring in a book.
namespace bakewright::record {

/// The clocks of the computer as a recorder sees them. What decides is the clock that counts on while the computer sleeps and
/// that nobody can set; the wall clock is only written down.
class Timebase {
public:
    Timebase() = default;
    Timebase(const Timebase&) = delete;
    Timebase& operator=(const Timebase&) = delete;
    virtual ~Timebase() = default;

    /// Seconds since some moment, the computer's sleep included; never goes back. May be asked from any thread.
    [[nodiscard]] virtual double now_s() const = 0;
    /// The same without sleep.
    [[nodiscard]] virtual double awake_s() const = 0;
    /// Seconds since 1970 UTC by the wall clock.
    [[nodiscard]] virtual double wall_s() const = 0;
    /// Which start of the computer now_s() counts from; empty where it cannot be told.
    [[nodiscard]] virtual std::string boot_id() const = 0;
    /// Seconds of the recording in a second of now_s(): above 1 where a stored log is replayed faster than it was.
    [[nodiscard]] virtual double speed() const { return 1.0; }
};

/// The clocks of this computer (CLOCK_BOOTTIME, CLOCK_MONOTONIC, CLOCK_REALTIME of Linux).
class ComputerClocks final : public Timebase {
public:
    explicit ComputerClocks(double speed = 1.0) noexcept : speed_(speed) {}
    [[nodiscard]] double now_s() const override;
    [[nodiscard]] double awake_s() const override;
    [[nodiscard]] double wall_s() const override;
    [[nodiscard]] std::string boot_id() const override;
    [[nodiscard]] double speed() const override { return speed_; }

private:
    double speed_;
};

/// "2026-03-07T14:05:09Z" of seconds since 1970, and the same by the zone of this computer, "2026-03-07T15:05:09+01:00".
[[nodiscard]] std::string utc_text(double wall_s);
[[nodiscard]] std::string local_text(double wall_s);
/// Seconds since 1970 of such a UTC text; NaN for any other.
[[nodiscard]] double wall_of(const std::string& utc);

}  // namespace bakewright::record
