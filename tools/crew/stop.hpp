// SIGINT and SIGTERM as a wish: while a `StopSignals` lives they are noted and nothing else; afterwards they
// act as before.
#pragma once

#include <csignal>

namespace joulepress::tools {

class StopSignals {
 public:
  StopSignals();   ///< from here on; what came before is forgotten
  ~StopSignals();  ///< one at a time
  StopSignals(const StopSignals&) = delete;
  StopSignals& operator=(const StopSignals&) = delete;

  /// Whether one has come.  From any thread.
  bool asked() const;

 private:
  struct sigaction interrupt_before_ {
  }, terminate_before_{};
};

}  // namespace joulepress::tools
