// Calls that do not depend on each other, on several threads.
#pragma once

#include <cstddef>
#include <functional>

namespace joulepress::tools {

/// Cores that this process may use: a batch system may have given it fewer than there are.
int cores();

/// work(k) for k below n, on at most `threads` at a time (0: all cores).  What the first one throws is thrown
/// when all have ended.
void side_by_side(std::size_t n, int threads, const std::function<void(std::size_t)>& work);

}  // namespace joulepress::tools
