#pragma once

#include <functional>

namespace bakewright {

/// Told how far a long piece of work is, 0 to 1; answers whether to go on. An empty function means nobody listens.
using Progress = std::function<bool(double fraction)>;

}  // namespace bakewright
