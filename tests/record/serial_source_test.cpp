// SPDX-License-Identifier: Apache-2.0
#include <doctest/doctest.h>
#include <fcntl.h>
#include <stdlib.h>
#include <termios.h>
#include <unistd.h>

#include "bakewright/base/units.hpp"
#include "live.hpp"

using namespace live;

namespace {

/// The instrument's end of a serial line, and the name of ours: a pair of pseudo-terminals.
class Instrument {
public:
    explicit Instrument(std::filesystem::path plug) : plug_(std::move(plug)) { plug_in(); }
    ~Instrument() { pull(); }
    Instrument(const Instrument&) = delete;
    Instrument& operator=(const Instrument&) = delete;

    void plug_in() {
        master_ = ::posix_openpt(O_RDWR | O_NOCTTY);
        REQUIRE(master_ >= 0);
        REQUIRE(::grantpt(master_) == 0);
        REQUIRE(::unlockpt(master_) == 0);
        std::filesystem::remove(plug_);
        std::filesystem::create_symlink(::ptsname(master_), plug_);
    }
    void pull() {
        if (master_ >= 0) ::close(master_);
        master_ = -1;
        std::filesystem::remove(plug_);
    }
    void say(const std::string& text) const {
        REQUIRE(::write(master_, text.data(), text.size()) == static_cast<ssize_t>(text.size()));
    }

private:
    std::filesystem::path plug_;
    int master_ = -1;
};

probe::SourceRecord instrument_at(const std::filesystem::path& plug) {
    probe::SourceRecord record;
    record.id = "instrument";
    record.title = "instrument of two channels";
    record.way = probe::SourceWay::serial;
    record.serial = probe::SerialSettings{.device = plug.string()};
    for (const char* name : {"air", "roof"}) {
        probe::SourceChannel channel;
        channel.name = name;
        channel.unit = probe::ReadingUnit::deg_c;
        record.channels.push_back(channel);
    }
    return record;
}

}  // namespace

TEST_CASE("a serial instrument is heard through garbage, half lines and a plug that is pulled") {
    const TemporaryFolder folder;
    Instrument instrument(folder.file("plug"));
    Running source(instrument_at(folder.file("plug")));
    REQUIRE(source.wait_for_notice("is open"));
    instrument.say("3 21.0\r\n");  // listened to from the middle of a line
    instrument.say("24.5 21.4\r\n25.0 21.5\r\n");
    REQUIRE(source.wait_for_rows(2));
    instrument.say("\x7f\x01\xfe\xff\x02garbage\r\n25.5 21.6\r\n26.0 21.");
    REQUIRE(source.wait_for_rows(3));
    instrument.pull();
    REQUIRE(source.wait_for_notice("is gone"));
    REQUIRE(source.wait_for_notice("trying again"));
    instrument.plug_in();
    REQUIRE(source.wait_until([](const Running& now) {
        return std::count_if(now.notices.begin(), now.notices.end(), [](const SourceNotice& one) {
                   return one.is_good && one.what.find("is open") != std::string::npos;
               }) == 2;
    }));
    instrument.say("7\r\n27.0 21.9\r\n");
    REQUIRE(source.wait_for_rows(4));
    source.stop();
    CHECK(source.rows.size() == 4);
    CHECK(std::abs(source.rows[2].readings.at(1).temperature_k - celsius_to_kelvin(21.6)) <= 1e-9);
    CHECK(std::abs(source.rows[3].readings.at(1).temperature_k - celsius_to_kelvin(21.9)) <= 1e-9);
    CHECK(source.has_notice("could not be read"));
}
