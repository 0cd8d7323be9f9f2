// SPDX-License-Identifier: Apache-2.0
#include "bakewright/thermal/rates.hpp"

#include "rate_system.hpp"

namespace bakewright::thermal {

struct NetworkRates::System {
    explicit System(const Network& network) : rates(network, Accounts::leave_out) {}
    RateSystem<double> rates;
};

NetworkRates::NetworkRates(const Network& network) : system_(std::make_unique<System>(network)) {}
NetworkRates::~NetworkRates() = default;
NetworkRates::NetworkRates(NetworkRates&&) noexcept = default;
NetworkRates& NetworkRates::operator=(NetworkRates&&) noexcept = default;

std::size_t NetworkRates::size() const noexcept { return system_->rates.size(); }

void NetworkRates::start(std::span<double> state) const { system_->rates.start(state); }

void NetworkRates::set_segment(const Segment& segment) { system_->rates.set_segment(segment); }

void NetworkRates::operator()(double time_s, std::span<const double> state, std::span<double> rate_k_per_s) const {
    system_->rates.rates(time_s, state, rate_k_per_s);
}

}  // namespace bakewright::thermal
