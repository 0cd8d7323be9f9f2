#include "opening.hpp"

#include "guard.hpp"

namespace bakewright::page {

std::string OpeningCode::renew(Clock::time_point now) {
    const std::lock_guard lock(mutex_);
    code_ = new_token();
    made_at_ = now;
    return code_;
}

bool OpeningCode::spend(std::string_view code, Clock::time_point now) {
    const std::lock_guard lock(mutex_);
    if (code_.empty() || !equal_in_constant_time(code, code_)) return false;
    code_.clear();
    return now - made_at_ <= kGoodFor;
}

}  // namespace bakewright::page
