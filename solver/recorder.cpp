#include "solver/recorder.hpp"

#include <algorithm>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/half.hpp"

namespace joulepress::solver {
namespace {

constexpr double same_instant = 1e-9;  // s
constexpr int snapshots_a_run = 24;    // what a run costs again to judge them stays below itself

bool is_multiple(double time, double every) {
  return every > 0.0 && std::abs(time - every * std::round(time / every)) <= same_instant;
}

/// Calls f with every multiple of the interval strictly inside (from, to).
template <class F>
void multiples(double every, double from, double to, F&& f) {
  if (!(every > 0.0)) return;
  for (double k = std::floor(from / every) + 1.0; k * every < to - same_instant; k += 1.0)
    if (k * every > from + same_instant) f(k * every);
}

}  // namespace

double snapshot_interval(const Problem& problem) {
  if (!problem.strength.wanted || problem.force.empty()) return 0.0;
  return std::max(problem.history_every, end_time(problem.drive) / snapshots_a_run);
}

HistoryRow Recorder::row(const Problem& problem, const Frame& frame, const State& state) {
  HistoryRow row = row_of(problem, workspace_, frame, state.mode, state.limit);
  return whole_.half ? unfold(whole_, *whole_.half, row) : row;
}

void Recorder::record(const Problem& problem, const Frame& frame, const State& state) {
  result_.rows.push_back(row(problem, frame, state));
  if (observers_.row) observers_.row(result_.rows.back());
}

void Recorder::hand_out(const Frame& frame) {
  fields_until = frame.time;
  CellFields fields = fields_of(workspace_.present.at(frame.beds), frame);
  if (whole_.half)
    fields = unfold(whole_, *whole_.half, fields, whole_.positive_below ? -frame.voltage : frame.voltage);
  observers_.fields(fields);
}

bool Recorder::has_snapshot(double time) const {
  return !(snapshots_every_ > 0.0) ||
         (!result_.snapshots.empty() && time <= result_.snapshots.back().time_s + same_instant);
}

void Recorder::take_snapshot(const Problem& problem, const Frame& frame) {
  Snapshot& shot = result_.snapshots.emplace_back();
  shot.time_s = frame.time;
  shot.force_N = force_at(problem, frame.force_time);
  shot.temperature = frame.temperature;
  shot.relative_density = relative_densities(problem, frame.beds);
  shot.heights = mesh::placement_of(workspace_.present.at(frame.beds).mesh);
  for (const Closing& closing : frame.closings) shot.side_pressure.push_back(closing.side_pressure);
}

void Recorder::record_now(const Problem& problem, const State& state) {
  if (!result_.rows.empty() && state.time <= result_.rows.back().time_s + same_instant) return;
  record(problem, frame_of(problem, workspace_, state), state);
}

void Recorder::hand_out_now(const Problem& problem, const State& state) {
  const bool fields = observers_.fields && state.time > fields_until + same_instant,
             snapshot = !has_snapshot(state.time);
  if (!fields && !snapshot) return;
  const Frame frame = frame_of(problem, workspace_, state);
  if (fields) hand_out(frame);
  if (snapshot) take_snapshot(problem, frame);
}

void Recorder::between(const Problem& problem, const State& before, const StepOutcome& step) {
  const double from = before.time, to = step.state.time;
  const auto frame_at = [&](double time) {
    return frame_within(problem, workspace_, before, step, (time - from) / (to - from));
  };
  multiples(problem.history_every, from, to, [&](double time) { record(problem, frame_at(time), before); });
  if (observers_.fields)
    multiples(problem.fields_every, from, to, [&](double time) {
      if (time > fields_until + same_instant) hand_out(frame_at(time));
    });
  multiples(snapshots_every_, from, to, [&](double time) {
    if (!has_snapshot(time)) take_snapshot(problem, frame_at(time));
  });
  if (observers_.sample)
    multiples(observers_.sample_every, from, to,
              [&](double time) { observers_.sample(row(problem, frame_at(time), before)); });
}

void Recorder::at(const Problem& problem, const State& state) {
  if (is_multiple(state.time, problem.history_every)) record_now(problem, state);
  if (is_multiple(state.time, problem.fields_every)) hand_out_now(problem, state);
  if (is_multiple(state.time, snapshots_every_) && !has_snapshot(state.time))
    take_snapshot(problem, frame_of(problem, workspace_, state));
  if (observers_.sample && is_multiple(state.time, observers_.sample_every))
    observers_.sample(row(problem, frame_of(problem, workspace_, state), state));
}

}  // namespace joulepress::solver
