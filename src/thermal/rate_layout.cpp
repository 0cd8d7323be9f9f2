#include "bakewright/thermal/rate_layout.hpp"

namespace bakewright::thermal {

NodeList::NodeList(const Network& network) : nodes_(network.nodes().begin(), network.nodes().end()) {}
NodeList::NodeList(const NodeList&) = default;
NodeList::NodeList(NodeList&&) noexcept = default;
NodeList& NodeList::operator=(const NodeList&) = default;
NodeList& NodeList::operator=(NodeList&&) noexcept = default;
NodeList::~NodeList() = default;

}  // namespace bakewright::thermal
