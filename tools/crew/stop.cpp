#include "tools/crew/stop.hpp"

#include <atomic>

namespace joulepress::tools {
namespace {

// The one thing a signal handler may touch; atomic, for the threads of a crew read it.
std::atomic<bool> stop_asked = false;
static_assert(std::atomic<bool>::is_always_lock_free);
extern "C" void ask_to_stop(int) {
  stop_asked = true;
}

}  // namespace

StopSignals::StopSignals() {
  stop_asked = false;
  struct sigaction noted {};
  noted.sa_handler = ask_to_stop;
  noted.sa_flags = SA_RESTART;  // reading and writing go on
  sigaction(SIGINT, &noted, &interrupt_before_);
  sigaction(SIGTERM, &noted, &terminate_before_);
}

StopSignals::~StopSignals() {
  sigaction(SIGINT, &interrupt_before_, nullptr);
  sigaction(SIGTERM, &terminate_before_, nullptr);
}

bool StopSignals::asked() const {
  return stop_asked;
}

}  // namespace joulepress::tools
