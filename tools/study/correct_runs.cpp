#include "tools/study/correct_runs.hpp"

#include <algorithm>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/drive.hpp"
#include "cases/reader/input_error.hpp"

namespace joulepress::tools {
namespace {

using Kind = EnteredStep::Kind;

constexpr double below_reach_K =
    2.0;  // of what a press just reaches, so that its controller arrives; own choice

double rounded_to(double value, double digit) {
  return digit * std::round(value / digit);
}

std::string first_of(const cases::InputErrors& problem) {
  const cases::InputError& error = problem.errors().front();
  return error.problem + (error.remedy.empty() ? "" : " " + error.remedy);
}

}  // namespace

ProgrammeRuns exact_runs(const cases::Case& c, double accuracy, int threads, std::function<bool()> go_on) {
  ProgrammeRuns runs;
  runs.threads = threads;
  runs.go_on = std::move(go_on);
  runs.c = c;
  runs.c.accuracy = std::max(c.accuracy, accuracy);
  runs.c.programme.by_controller = false;
  runs.c.programme.start_power.reset();
  runs.c.programme.start_until.reset();
  cases::ErrorList errors;
  if (auto problem = cases::build_problem(runs.c, errors)) {
    runs.problem = std::move(*problem);
    return runs;
  }
  // A pyrometer that does not see from the start cannot be followed exactly.
  runs.c.programme = c.programme;
  runs.problem = cases::build_problem(runs.c);
  cases::settle_gains(runs.c, runs.problem);
  return runs;
}

cases::Case as_the_press(const cases::Case& c, Correction& correction) {
  cases::Case pressed = c;
  if (c.programme.by_furnace) return pressed;
  try {
    pressed.programme.by_controller = true;
    solver::Problem problem = cases::build_problem(pressed);
    cases::settle_gains(pressed, problem);
    correction.by_controller = true;
    return pressed;
  } catch (const cases::InputErrors& problem) {
    correction.why_exact = first_of(problem);
  }
  return c;
}

void set_programme(std::vector<EnteredStep> programme, Correction& correction) {
  correction.corrected.programme.steps = programme_steps(programme);
  correction.programme = std::move(programme);
}

bool move_levels(const CorrectStudy& verified, const cases::Case& c, Correction& correction) {
  // What a limit holds back is not got by asking for more.
  if (std::any_of(verified.binding.begin(), verified.binding.end(), [](const Binding& binding) {
        return binding.what != Binding::What::off && binding.what != Binding::What::rate;
      }))
    return false;
  std::vector<EnteredStep> lines = correction.programme;
  const double start = cases::start_of_programme(c);
  bool moved = false;
  std::size_t hold = 0;
  for (std::size_t k = 0; k < lines.size() && hold < verified.holds.size(); ++k) {
    if (lines[k].kind != Kind::hold) continue;
    const HoldMet& met = verified.holds[hold++];
    const double missed = met.wished_K - met.met_K;
    if (!(std::abs(missed) > 1.0) || !(met.met_K > start)) continue;
    const double move =
        rounded_to(missed * (lines[k].to_K - start) / (met.met_K - start), c.press.entry.temperature);
    if (move == 0.0) continue;
    moved = true;
    lines[k].to_K += move;
    lines[k].from_K += move;
    if (k > 0) lines[k - 1].to_K += move;
    if (k + 1 < lines.size()) lines[k + 1].from_K += move;
    if (k + 1 < lines.size() && lines[k + 1].kind == Kind::cool) lines[k + 1].to_K += move;
  }
  if (moved) set_programme(std::move(lines), correction);
  return moved;
}

bool lower_to_reach(const ProgrammeRuns& runs, Correction& correction) {
  const std::vector<std::vector<cases::ProgrammeStep>> steps{programme_steps(correction.programme)};
  const solver::RunResult result = std::move(runs(steps).front());
  ++correction.runs;
  const auto reading_at = [&result](double time) {
    double reading = 0.0;
    for (const solver::HistoryRow& row : result.rows)
      if (row.time_s <= time && row.control_sensor >= 0)
        reading = row.sensors[static_cast<std::size_t>(row.control_sensor)].reading_K;
    return reading;
  };
  const double digit = runs.c.press.entry.temperature, near = runs.c.press.controller.arrival;
  const auto typed = [digit](double kelvin) {
    return solver::zero_celsius + digit * std::floor((kelvin - solver::zero_celsius) / digit);
  };
  std::vector<EnteredStep> lines = correction.programme;
  bool lowered = false;
  double value = lines.front().from_K;
  for (EnteredStep& line : lines) {
    line.from_K = value;
    if (line.kind == Kind::ramp) {
      const double reached = reading_at(line.start_s + line.length_s);
      if (reached > 0.0 && reached < line.to_K - near) {
        line.to_K = typed(reached);
        lowered = true;
      }
    } else {
      line.to_K = value;
    }
    value = line.to_K;
  }
  // A hold stays where its whole length is reached.
  for (std::size_t k = 1; k < lines.size(); ++k) {
    if (lines[k].kind != Kind::hold) continue;
    const double reached =
        std::min(reading_at(lines[k].start_s), reading_at(lines[k].start_s + lines[k].length_s));
    if (!(reached > 0.0) || reached > lines[k].to_K - near) continue;
    lowered = true;
    lines[k - 1].to_K = lines[k].from_K = lines[k].to_K = typed(reached - below_reach_K);
    if (k + 1 < lines.size()) lines[k + 1].from_K = lines[k].to_K;
    if (k + 1 < lines.size() && lines[k + 1].kind == Kind::cool) lines[k + 1].to_K = lines[k].to_K;
  }
  if (lowered) set_programme(std::move(lines), correction);
  return lowered;
}

std::vector<EnteredStep> as_typed(std::vector<EnteredStep> lines, const PowderWish& wish,
                                  const cases::ProgrammeEntry& entry) {
  std::vector<EnteredStep> typed;
  double time = 0.0, value = lines.front().from_K;
  for (EnteredStep& line : lines) {
    const double end = rounded_to(line.start_s + line.length_s, entry.time);
    line.start_s = time;
    line.length_s = end - time;
    line.from_K = value;
    if (line.kind == Kind::ramp)
      line.to_K = solver::zero_celsius + rounded_to(line.to_K - solver::zero_celsius, entry.temperature);
    else
      line.to_K = value;
    if (!(line.length_s > 0.0)) continue;
    const bool level_before =
        !typed.empty() && typed.back().kind == Kind::ramp && typed.back().to_K == typed.back().from_K;
    if (level_before && line.kind == Kind::hold) {
      line.start_s = typed.back().start_s;
      line.length_s += typed.back().length_s;
      typed.pop_back();
    }
    time = end;
    value = line.to_K;
    typed.push_back(line);
  }
  for (auto cooling = wish.steps.begin() + wish.driven; cooling != wish.steps.end(); ++cooling) {
    typed.push_back(*cooling);
    typed.back().start_s = time;
    typed.back().from_K = typed.back().to_K = value;
    time += cooling->length_s;
  }
  return typed;
}

}  // namespace joulepress::tools
