#include "tools/crew/side_by_side.hpp"

#include <sched.h>

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <thread>
#include <vector>

namespace joulepress::tools {

int cores() {
  cpu_set_t set;
  const int allowed = sched_getaffinity(0, sizeof set, &set) == 0 ? CPU_COUNT(&set) : 0;
  return allowed > 0 ? allowed : std::max(1, static_cast<int>(std::thread::hardware_concurrency()));
}

void side_by_side(std::size_t n, int threads, const std::function<void(std::size_t)>& work) {
  std::atomic<std::size_t> next = 0;
  std::mutex mutex;
  std::exception_ptr fault;
  const auto go = [&] {
    for (std::size_t k = next++; k < n; k = next++) {
      try {
        work(k);
      } catch (...) {
        const std::lock_guard lock(mutex);
        if (!fault) fault = std::current_exception();
      }
    }
  };
  {
    std::vector<std::jthread> pool;
    const std::size_t wanted = static_cast<std::size_t>(threads > 0 ? threads : cores());
    for (std::size_t i = 1; i < std::min(wanted, n); ++i) pool.emplace_back(go);
    go();
  }
  if (fault) std::rethrow_exception(fault);
}

}  // namespace joulepress::tools
