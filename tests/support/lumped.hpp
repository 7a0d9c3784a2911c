// A body of one temperature under a power that goes in a straight line:  C dT/dt = P(t) - hA (T - T0).
//
//   with tau = C/hA and q the slope of the power, a particular solution is T0 + (P(t) - q tau) / hA; the rest
//   dies out by exp(-t/tau).  Exact, so that a loop closed from sample to sample has no error of its own.
#pragma once

#include <cmath>

namespace joulepress::test {

struct LumpedBody {
  double capacity;  ///< J/K
  double loss;      ///< hA, W/K
  double ambient;   ///< K

  /// Temperature after dt [s] while the power goes from `from` to `to` [W].
  double after(double T, double from, double to, double dt) const {
    const double tau = capacity / loss, q = (to - from) / dt;
    const double steady = ambient + (from - q * tau) / loss;
    return steady + q * dt / loss + (T - steady) * std::exp(-dt / tau);
  }
};

}  // namespace joulepress::test
