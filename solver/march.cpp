#include "solver/march.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/abort.hpp"
#include "solver/control.hpp"
#include "solver/drive.hpp"
#include "solver/event.hpp"
#include "solver/failure.hpp"
#include "solver/half.hpp"
#include "solver/limited.hpp"
#include "solver/recorder.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

constexpr double event_width = 1e-7;     // s, how closely a change of mode is located
constexpr int unsettled_max = 4;         // trials of one step before two-point fluxes are used
constexpr double turns_apart = 1.0;      // s between changes of mode; own choice
constexpr double longest_start = 64.0;   // first step after a change, in those of the problem; own choice
constexpr double waits_at_least = 3600;  // s, and twice the programme: longer waits are for ever
constexpr int attempts_max = 20000;      // trial steps and changes of mode; a cycle takes about a hundred

/// The march with everything it carries; one per run.
class March {
 public:
  March(const Problem& whole, const Observers& observers)
      : whole_(whole),
        asked_(solved(whole)),
        problem_(&asked_),
        observers_(observers),
        workspace_(asked_),
        state_(initial_state(asked_, workspace_)),
        recorder_(whole, observers, workspace_, result_),
        limited_(whole.drive.controller ? 3.0 * whole.drive.controller->period : 0.0) {}

  RunResult run(const Checkpoint* from) {
    result_.frame = history_frame(whole_);
    if (from)
      go_on_from(*from);
    else
      begin();
    while (result_.status == RunStatus::completed && clock() < end_time(problem_->drive) - 1e-9) {
      const int steps = state_.counts.steps;
      if (!(is_sampled(problem_->drive, state_) ? advance_sampled() : advance())) break;
      recorder_.at(*problem_, state_);
      if (state_.counts.steps > steps && state_.counts.steps % observers_.checkpoint_every == 0) keep();
      if (!report_progress()) {
        keep();
        result_.status = RunStatus::interrupted;
        result_.reason = "stopped from outside";
        break;
      }
    }
    limited_.close(state_.time);
    result_.limited = limited_.list;
    recorder_.record_now(*problem_, state_);
    recorder_.hand_out_now(*problem_, state_);
    tell_holds(problem_->drive, state_.control, result_.frame.holds);
    result_.ledger = whole_.half ? unfold(state_.ledger) : state_.ledger;
    result_.counts = state_.counts;
    result_.enclosure = workspace_.present.enclosure();
    for (std::string& warning : range_warnings(*problem_, state_.lowest, state_.highest))
      result_.warnings.push_back(std::move(warning));
    return std::move(result_);
  }

 private:
  void begin() {
    if (!controller()) enter_segment();
    recorder_.record_now(*problem_, state_);
    recorder_.hand_out_now(*problem_, state_);
    if (observers_.sample) recorder_.at(*problem_, state_);
  }

  void go_on_from(const Checkpoint& from) {
    state_ = from.state;
    if (state_.two_point) use_two_point();
    result_.warnings = from.warnings;
    result_.rows = from.rows;
    result_.snapshots = from.snapshots;
    limited_.list = from.limited;
    limited_.now = from.open;
    recorder_.fields_until = from.fields_until;
    attempts_ = from.attempts;
    stalled_ = from.stalled;
    turns_ = from.turns;
  }

  void keep() const {
    if (observers_.checkpoint)
      observers_.checkpoint({state_, result_.rows, result_.snapshots, limited_.list, result_.warnings,
                             limited_.now, recorder_.fields_until, attempts_, stalled_, turns_});
  }

  bool tracking_drive() const { return problem_->drive.kind == DriveKind::tracking; }
  const Controller* controller() const {
    return problem_->drive.controller ? &*problem_->drive.controller : nullptr;
  }
  /// Time of the programme.
  double clock() const { return programme_time(state_, state_.time); }
  const Segment& segment() const { return *segment_at(problem_->drive, clock()); }
  int sensor() const { return control_sensor(problem_->drive, state_.control); }

  /// Drive mode at the start of a segment.
  void enter_segment() {
    const Segment& now = segment();
    if (now.off || !carries_current(problem_->drive)) {
      set_mode(DriveMode::off, Limit::none);
    } else if (!tracking_drive()) {
      set_mode(DriveMode::driven, Limit::none);
    } else {
      set_mode(mode_at_start(*problem_, state_), Limit::none);
    }
  }

  void set_mode(DriveMode mode, Limit limit) {
    if (mode != state_.mode || limit != state_.limit) {
      limited_.close(state_.time);
      const bool forced =
          mode == DriveMode::at_limit || (mode == DriveMode::off && tracking_drive() && !segment().off);
      if (forced) limited_.open(state_.time, mode, limit);
    }
    state_.mode = mode;
    state_.limit = limit;
  }

  /// Takes one accepted step, or changes the mode.  False when the run cannot go on.
  bool advance() {
    const Segment& now = segment();
    const bool restart = state_.slope.empty();
    if (!may_try()) return false;
    const double remaining = std::min(now.end, next_force_corner()) - clock();
    const StepDrive drive{state_.mode, &now, problem_->drive.kind, sensor(), stalled_ >= 2};
    double dt = restart ? std::min(first_step(), remaining) : step_within(remaining);
    auto step = take_step(drive, restart, dt);
    if (!step) return false;
    if (!drive.clamped && event_of(*problem_, state_, *step, now).value > 0.0)
      return change_mode(*step, now, restart, dt);
    accept(std::move(*step), dt, restart);
    stalled_ = 0;
    if (problem_->numerics.strict && left_a_range()) return false;
    if (clock() >= now.end - 1e-9) leave_segment(now);
    return true;
  }

  bool may_try() {
    if (++attempts_ <= most_attempts()) return true;
    fail("the drive or the step size goes round in circles");
    return false;
  }
  /// A controller takes a step per sample at the least, and may wait.
  double most_attempts() const {
    return attempts_max + (controller() ? 10.0 * state_.time / controller()->period : 0.0);
  }

  StepOutcome attempt(const StepDrive& drive, double dt) {
    StepOutcome step = try_step(*problem_, workspace_, state_, dt, drive);
    if (step.converged)
      step.state.readings = readings_after(*problem_, state_, step.state.time - state_.time,
                                           step.state.temperature, step.state.edges);
    return step;
  }

  /// A step whose error passes; dt shrinks until one does.  None when the run cannot go on.
  std::optional<StepOutcome> take_step(const StepDrive& drive, bool restart, double& dt) {
    const double wanted = dt;
    int unsettled = 0;
    for (;;) {
      StepOutcome step = attempt(drive, dt);
      if (step.converged && step.error <= 1.0) return step;
      ++state_.counts.rejected;
      if (!step.converged && step.remedy.empty() && ++unsettled == unsettled_max && fall_back()) {
        dt = wanted;
        continue;
      }
      if (!shrink(step, restart, dt)) return std::nullopt;
    }
  }

  // --- the press's controller

  bool advance_sampled() {
    const Controller& c = *controller();
    const ControlState& memory = state_.control;
    if (memory.samples == 0 || state_.time >= memory.sampled_at + c.period - 1e-9) {
      if (sample(*problem_, state_)) {  // behind a corner
        recorder_.record_now(*problem_, state_);
        recorder_.hand_out_now(*problem_, state_);
      }
    }
    if (!is_sampled(problem_->drive, state_)) {
      enter_segment();
      return true;
    }
    if (!may_try() || waits_for_ever()) return false;
    const Segment output = output_segment(c, memory);
    const bool restart = state_.slope.empty();
    double remaining = output.end - state_.time;
    if (!memory.stands)
      remaining = std::min({remaining, next_force_corner() - clock(), end_time(problem_->drive) - clock()});
    state_.mode = DriveMode::controlled;
    double dt = restart ? std::min(problem_->numerics.first_step, remaining) : step_within(remaining);
    auto step = take_step({DriveMode::controlled, &output, output_kind(c), sensor()}, restart, dt);
    if (!step) return false;
    const Excess excess = largest_excess(*problem_, step->state, step->conductance);
    accept(std::move(*step), dt, restart);
    if (excess.value > 0.0) stop_by_rule(excess.rule);
    return !(problem_->numerics.strict && left_a_range());
  }

  /// A press may wait, but not for what does not come.
  bool waits_for_ever() {
    const ControlState& memory = state_.control;
    const double stood = memory.waited + memory.skipped;
    if (!memory.stands || !(stood > waits_at_least + 2.0 * end_time(problem_->drive))) return false;
    const std::string name = "\"" + problem_->sensors[sensor()].name + "\"";
    if (memory.blind)
      fail("the power of the start does not bring " + name + " to where the programme begins",
           "Give a higher power, or begin at a lower reading.");
    else
      fail("the reading of " + name + " does not arrive at its hold, for which the programme waits",
           "Look at the limits of the press, give its controller an integral time, or let it arrive from "
           "further off.");
    return true;
  }

  void stop_by_rule(int rule) {
    result_.status = RunStatus::stopped;
    result_.reason = abort_text(*problem_, rule, state_.time);
    recorder_.record_now(*problem_, state_);
  }

  /// Two-point fluxes for the rest of the run, where the correction to cubic ones does not settle.  False
  /// when they are in use already.
  bool fall_back() {
    if (problem_->rows.fluxes == mesh::Fluxes::two_point) return false;
    state_.two_point = true;
    state_.refresh_heat = state_.refresh_electric = true;
    use_two_point();
    result_.warnings.push_back(
        "From " + std::to_string(std::lround(state_.time)) +
        " s on the run uses two-point fluxes, since the cubic ones did not settle: it may be less accurate.");
    return true;
  }

  void use_two_point() {
    plain_ = std::make_unique<Problem>(asked_);
    plain_->rows = mesh::reconstruction_of(asked_.mesh, asked_.interfaces, mesh::Fluxes::two_point);
    problem_ = plain_.get();
    workspace_.present = Present(*problem_, workspace_.present.enclosure());
  }

  /// In a strict run: whether a property was used outside its range so far; then the run has failed.
  bool left_a_range() {
    const auto warnings = range_warnings(*problem_, state_.lowest, state_.highest);
    if (warnings.empty()) return false;
    result_.status = RunStatus::failed;
    result_.reason =
        "at t = " + std::to_string(std::lround(state_.time)) + " s: " + warnings.front() +
        " The case is strict about ranges; lower the temperature, or give data that reach further.";
    return true;
  }

  /// Time of the programme at the next corner of the force: an exact stop.
  double next_force_corner() const {
    const double now = clock() - state_.control.skipped;
    for (const ForcePoint& point : problem_->force)
      if (point.time > now + 1e-9) return point.time + state_.control.skipped;
    return std::numeric_limits<double>::infinity();
  }

  /// Step of backward Euler after a jump.  A sensor that lags behind the heat hardly answers to the current
  /// within a short one: the current that keeps it on its programme is far too high then, nothing soon after,
  /// and modes take turns for as long as the hold lasts.  Within a longer one it answers.
  double first_step() const {
    return problem_->numerics.first_step * (state_.mode == DriveMode::tracking ? turns_.longer : 1.0);
  }

  double largest_step() const {
    const Segment& now = segment();
    return std::max(problem_->numerics.largest_step, (now.end - now.start) / 20.0);
  }

  double step_within(double remaining) const {
    const double wanted = std::clamp(state_.next_step, problem_->numerics.smallest_step, largest_step());
    if (remaining <= 1.0001 * wanted) return remaining;
    return remaining < 2.0 * wanted ? 0.5 * remaining : wanted;
  }

  /// After a rejected step.  Everything positive that leads on is tested for, so that NaN can only end the
  /// run.
  bool shrink(const StepOutcome& step, bool restart, double& dt) {
    const double factor = step.converged && step.error > 1.0 && std::isfinite(step.error) && !restart
                              ? std::clamp(0.9 * std::pow(step.error, -0.25), 0.2, 0.8)
                              : 0.3;
    dt *= factor;
    if (!restart) state_.next_step = dt;
    if (++attempts_ <= most_attempts() && dt >= problem_->numerics.smallest_step) return true;
    fail(step.reason.empty() ? "the step size fell below its least value" : step.reason, step.remedy);
    return false;
  }

  void fail(const std::string& why, const std::string& remedy = {}) {
    result_.status = RunStatus::failed;
    result_.reason = failure_text(here(), state_, why, remedy);
  }

  /// The mode ends within (0, dt]: locate the instant, go there, switch.
  bool change_mode(const StepOutcome& beyond, const Segment& now, bool restart, double dt) {
    const StepDrive drive{state_.mode, &now, problem_->drive.kind, sensor(), false};
    double low = 0.0, high = dt;
    Event event = event_of(*problem_, state_, beyond, now);
    double value_low = value_at_start(*problem_, state_);
    std::optional<StepOutcome> before;
    // Backward Euler after a restart covers only its own short start: there the change is immediate.
    for (int k = 0; !restart && k < 60 && high - low > event_width; ++k) {
      const double secant = low + (high - low) * value_low / (value_low - event.value);
      const double margin = 0.02 * (high - low);
      const double trial = k % 3 == 2 ? 0.5 * (low + high) : std::clamp(secant, low + margin, high - margin);
      StepOutcome step = attempt(drive, trial);
      if (!step.converged) break;
      const Event its = event_of(*problem_, state_, step, now);
      if (its.value > 0.0) {
        high = trial;
        event = its;
      } else {
        low = trial;
        value_low = std::min(its.value, -1e-15);
        before = std::move(step);
      }
    }
    if (before) {
      accept(std::move(*before), low, restart);
      stalled_ = 0;
    } else {
      ++stalled_;
    }
    state_.slope.clear();
    switch_to(event);
    turns_.longer =
        state_.time - turns_.last < turns_apart ? std::min(2.0 * turns_.longer, longest_start) : 1.0;
    turns_.last = state_.time;
    recorder_.record_now(*problem_, state_);
    return true;
  }

  void switch_to(const Event& event) {
    if (event.what == Event::What::abort) {
      stop_by_rule(event.rule);
    } else if (event.what == Event::What::hand_over) {
      state_.control.sensor = problem_->drive.hand_over->sensor;
      state_.response = nullptr;  // whether the new one answers is asked anew
      set_mode(mode_at_start(*problem_, state_), Limit::none);
    } else if (state_.mode == DriveMode::tracking) {
      set_mode(event.limit == Limit::none ? DriveMode::off : DriveMode::at_limit, event.limit);
    } else {
      set_mode(DriveMode::tracking, Limit::none);
    }
  }

  void accept(StepOutcome step, double dt, bool restart) {
    recorder_.between(*problem_, state_, step);
    const double error = step.error;
    const double wanted = state_.next_step;
    State next = std::move(step.state);
    next.control.conductance = step.conductance;
    if (restart) {
      next.next_step = 2.0 * dt;
    } else {
      const double growth = std::clamp(0.9 * std::pow(std::max(error, 1e-4), -0.25), 0.3, 3.0);
      // A step cut short by a stop is no reason to go on with small ones.
      next.next_step = std::max(dt * growth, dt < 0.9 * wanted ? wanted : 0.0);
    }
    if (sensor() >= 0)
      next.control.highest = std::max(next.control.highest, shown(*problem_, sensor(), next));
    // One limit binds throughout a mode; a programme of current, voltage or power notes its own.
    if (next.mode != DriveMode::tracking && next.mode != DriveMode::off)
      limited_.note(state_.time, next.limit);
    if (next.control.stands) next.control.waited += next.time - state_.time;
    state_ = std::move(next);
#ifndef NDEBUG
    audit();
#endif
  }

#ifndef NDEBUG
  /// What builds with assertions promise: after every step all fields are finite and both balances closed.
  void audit() const {
    const auto finite = [](const CellField& field) {
      return std::all_of(field.begin(), field.end(), [](double v) { return std::isfinite(v); });
    };
    assert(finite(state_.temperature) && finite(state_.enthalpy) && finite(state_.slope) &&
           finite(state_.potential));
    assert(state_.ledger.energy_balance_relative() <= 1e-8);
    assert(state_.ledger.charge_balance_relative() <= 1e-7);
  }
#endif

  /// Corner of the programme: an exact stop.
  void leave_segment(const Segment& left) {
    if (!controller()) state_.time = left.end;
    recorder_.record_now(*problem_, state_);
    recorder_.hand_out_now(*problem_, state_);
    if (clock() >= end_time(problem_->drive) - 1e-9) return;
    const Segment& next = segment();
    if (tracking_drive() || left.off != next.off || left.to != next.from) state_.slope.clear();
    state_.next_step = std::min(state_.next_step, 50.0 * problem_->numerics.first_step);
    if (!is_sampled(problem_->drive, state_)) enter_segment();
  }

  const Problem& here() {
    return workspace_.present.at(state_.beds);
  }

  bool report_progress() {
    if (!observers_.progress) return true;
    Progress progress{state_.time, end_time(problem_->drive) + state_.time - clock(), std::nan(""),
                      std::nan("")};
    const int which = sensor() >= 0 ? sensor() : result_.frame.control_sensor;
    if (which >= 0) progress.sensor_K = shown(*problem_, which, state_);
    if (!problem_->powders.empty()) progress.powder_K = powder_mean(here(), state_.temperature);
    return observers_.progress(progress);
  }

  const Problem& whole_;    ///< what rows and fields speak of
  const Problem& asked_;    ///< the whole or its half
  const Problem* problem_;  ///< what is solved: as asked, or with two-point fluxes
  std::unique_ptr<Problem> plain_;
  const Observers& observers_;
  Workspace workspace_;
  State state_;
  RunResult result_;
  Recorder recorder_;
  LimitedIntervals limited_;
  int attempts_ = 0;
  Turns turns_;
  int stalled_ = 0;  ///< changes of mode without progress in time
};

}  // namespace

RunResult run(const Problem& problem, const Observers& observers, const Checkpoint* from) {
  return March(problem, observers).run(from);
}

}  // namespace joulepress::solver
