#include "solver/recorder.hpp"

#include <cmath>

#include "solver/half.hpp"

namespace joulepress::solver {
namespace {

constexpr double same_instant = 1e-9;  // s

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

void Recorder::record_now(const Problem& problem, const State& state) {
  if (!result_.rows.empty() && state.time <= result_.rows.back().time_s + same_instant) return;
  record(problem, frame_of(problem, workspace_, state), state);
}

void Recorder::hand_out_now(const Problem& problem, const State& state) {
  if (!observers_.fields || state.time <= fields_until + same_instant) return;
  hand_out(frame_of(problem, workspace_, state));
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
  if (observers_.sample)
    multiples(observers_.sample_every, from, to,
              [&](double time) { observers_.sample(row(problem, frame_at(time), before)); });
}

void Recorder::at(const Problem& problem, const State& state) {
  if (is_multiple(state.time, problem.history_every)) record_now(problem, state);
  if (is_multiple(state.time, problem.fields_every)) hand_out_now(problem, state);
  if (observers_.sample && is_multiple(state.time, observers_.sample_every))
    observers_.sample(row(problem, frame_of(problem, workspace_, state), state));
}

}  // namespace joulepress::solver
