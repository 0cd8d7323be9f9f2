// SPDX-License-Identifier: Apache-2.0
#include "bakewright/record/timebase.hpp"

#include <fmt/format.h>

#include <cmath>
#include <cstdio>
#include <ctime>
#include <fstream>
#include <limits>

namespace bakewright::record {
namespace {

double reading_s(clockid_t clock) {
    timespec time{};
    ::clock_gettime(clock, &time);
    return static_cast<double>(time.tv_sec) + 1e-9 * static_cast<double>(time.tv_nsec);
}

std::string date_text(const std::tm& parts) {
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}", parts.tm_year + 1900, parts.tm_mon + 1, parts.tm_mday,
                       parts.tm_hour, parts.tm_min, parts.tm_sec);
}

}  // namespace

double ComputerClocks::now_s() const { return reading_s(CLOCK_BOOTTIME); }
double ComputerClocks::awake_s() const { return reading_s(CLOCK_MONOTONIC); }
double ComputerClocks::wall_s() const { return reading_s(CLOCK_REALTIME); }

std::string ComputerClocks::boot_id() const {
    std::ifstream file("/proc/sys/kernel/random/boot_id");
    std::string id;
    std::getline(file, id);
    return id;
}

std::string utc_text(double wall_s) {
    const auto seconds = static_cast<std::time_t>(std::floor(wall_s));
    std::tm parts{};
    ::gmtime_r(&seconds, &parts);
    return date_text(parts) + "Z";
}

std::string local_text(double wall_s) {
    const auto seconds = static_cast<std::time_t>(std::floor(wall_s));
    std::tm parts{};
    ::localtime_r(&seconds, &parts);
    const long minutes = parts.tm_gmtoff / 60, size = std::abs(minutes);
    return date_text(parts) + fmt::format("{}{:02}:{:02}", minutes < 0 ? '-' : '+', size / 60, size % 60);
}

double wall_of(const std::string& utc) {
    std::tm parts{};
    char end = 0;
    if (std::sscanf(utc.c_str(), "%4d-%2d-%2dT%2d:%2d:%2d%c", &parts.tm_year, &parts.tm_mon, &parts.tm_mday, &parts.tm_hour,
                    &parts.tm_min, &parts.tm_sec, &end) != 7 ||
        end != 'Z')
        return std::numeric_limits<double>::quiet_NaN();
    parts.tm_year -= 1900;
    parts.tm_mon -= 1;
    return static_cast<double>(::timegm(&parts));
}

}  // namespace bakewright::record
