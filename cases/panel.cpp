#include "cases/panel.hpp"

namespace joulepress::cases {

double current_shown(const solver::HistoryRow& row, bool mean) {
  return mean ? row.current_mean_A : row.current_A;
}

double voltage_shown(const Press& press, const solver::HistoryRow& row, bool mean) {
  const double effective = press.meters && !press.meters->taps.empty() ? row.taps_V : row.voltage_V;
  return mean && row.current_A > 0.0 ? effective * (row.current_mean_A / row.current_A) : effective;
}

}  // namespace joulepress::cases
