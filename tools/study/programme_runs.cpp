#include "tools/study/programme_runs.hpp"

#include "cases/drive.hpp"
#include "solver/half.hpp"
#include "solver/march.hpp"
#include "tools/crew/side_by_side.hpp"

namespace joulepress::tools {

std::vector<solver::RunResult> ProgrammeRuns::operator()(
    std::span<const std::vector<cases::ProgrammeStep>> programmes) const {
  std::vector<solver::RunResult> results(programmes.size());
  side_by_side(programmes.size(), threads, [&](std::size_t k) {
    cases::Case with = c;
    with.programme.steps = programmes[k];
    solver::Problem q = problem;
    q.strength.wanted = false;
    q.drive.segments = cases::drive_of(with).segments;
    if (q.half) q.half = solver::half_of(q);
    solver::Observers observers;
    observers.progress = [this](const solver::Progress&) { return !go_on || go_on(); };
    results[k] = solver::run(q, observers);
  });
  if (go_on && !go_on()) throw Interrupted{};
  return results;
}

std::vector<EnteredStep> entered_steps(const cases::Case& c) {
  std::vector<EnteredStep> lines;
  for (const solver::Segment& segment : cases::drive_of(c).segments) {
    EnteredStep line;
    line.kind = segment.off    ? EnteredStep::Kind::cool
                : segment.hold ? EnteredStep::Kind::hold
                               : EnteredStep::Kind::ramp;
    line.from_K = segment.from;
    line.to_K = segment.to;
    line.start_s = segment.start;
    line.length_s = segment.end - segment.start;
    line.name = segment.name;
    lines.push_back(line);
  }
  return lines;
}

std::vector<cases::ProgrammeStep> programme_steps(const std::vector<EnteredStep>& lines) {
  std::vector<cases::ProgrammeStep> steps;
  for (const EnteredStep& line : lines) {
    cases::ProgrammeStep step;
    step.kind = line.kind == EnteredStep::Kind::ramp   ? cases::ProgrammeStep::Kind::ramp
                : line.kind == EnteredStep::Kind::hold ? cases::ProgrammeStep::Kind::hold
                                                       : cases::ProgrammeStep::Kind::cool_free;
    step.to = line.to_K;
    step.duration = line.length_s;
    step.name = line.name;
    steps.push_back(std::move(step));
  }
  return steps;
}

double meant_of(const solver::PowderValue& powder, MeantFor meant) {
  switch (meant) {
    case MeantFor::centre:
      return powder.centre_K;
    case MeantFor::coldest:
      return powder.min_K;
    case MeantFor::hottest:
      return powder.max_K;
    case MeantFor::mean:
      break;
  }
  return powder.mean_K;
}

std::vector<double> powder_at(const solver::RunResult& result, MeantFor meant,
                              std::span<const double> times) {
  if (result.status != solver::RunStatus::completed || result.rows.empty() || !result.rows.front().powder)
    return {};
  std::vector<double> row_times, values, found;
  for (const solver::HistoryRow& row : result.rows) {
    row_times.push_back(row.time_s);
    values.push_back(meant_of(*row.powder, meant));
  }
  for (const double time : times) found.push_back(inverse::mean_over(row_times, values, time, time));
  return found;
}

}  // namespace joulepress::tools
