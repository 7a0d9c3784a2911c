#include "solver/need.hpp"

#include <algorithm>

#include "solver/drive.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"

namespace joulepress::solver {
namespace {

double of_limit(Limit limit, double current, double voltage, double power) {
  if (limit == Limit::current) return current;
  return limit == Limit::voltage ? voltage : power;
}

/// The programme and nothing in its way.
RunResult unhindered(const Problem& problem) {
  Problem q = problem;
  clear_the_way(q.drive);
  q.fields_every = 0.0;
  q.half = half_of(q);
  return run(q);
}

/// Time of the programme at a time of the run.
double programme_at(const std::vector<HistoryRow>& rows, double time) {
  const auto after = std::lower_bound(rows.begin(), rows.end(), time,
                                      [](const HistoryRow& row, double t) { return row.time_s < t; });
  if (after == rows.begin()) return rows.front().programme_s;
  if (after == rows.end()) return rows.back().programme_s;
  const HistoryRow &low = *(after - 1), &high = *after;
  return low.programme_s +
         (time - low.time_s) / (high.time_s - low.time_s) * (high.programme_s - low.programme_s);
}

}  // namespace

std::vector<Need> needs_of(const Problem& problem, const RunResult& result) {
  std::vector<Need> needs;
  const bool any = std::any_of(result.limited.begin(), result.limited.end(), [](const LimitedInterval& i) {
    return i.mode == DriveMode::at_limit && i.limit != Limit::none;
  });
  if (problem.drive.kind != DriveKind::tracking || !any) return needs;
  const RunResult free = unhindered(problem);
  if (free.status != RunStatus::completed) return needs;
  const Drive& drive = problem.drive;
  for (const LimitedInterval& interval : result.limited) {
    if (interval.mode != DriveMode::at_limit || interval.limit == Limit::none) continue;
    Need need;
    need.interval = interval;
    need.gives = of_limit(interval.limit, drive.current_limit, drive.voltage_limit, drive.power_limit);
    const double from = programme_at(result.rows, interval.start_s),
                 to = programme_at(result.rows, interval.end_s);
    for (const HistoryRow& row : free.rows) {
      if (row.time_s < from - 1e-6 || row.time_s > to + 1e-6) continue;
      const double asked = of_limit(interval.limit, row.current_A, row.voltage_V, row.power_W);
      if (!(asked > need.needs)) continue;
      need.needs = asked;
      need.set_K = row.target;
      const Segment& segment = *segment_at(drive, row.time_s - 1e-3);  // a corner belongs to what led to it
      need.rate_K_s =
          segment.end > segment.start ? (segment.to - segment.from) / (segment.end - segment.start) : 0;
    }
    need.programme = need.needs > need.gives;
    needs.push_back(need);
  }
  return needs;
}

}  // namespace joulepress::solver
