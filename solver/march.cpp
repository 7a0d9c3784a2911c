#include "solver/march.hpp"

#include <algorithm>
#include <cassert>
#include <cmath>

#include "solver/drive.hpp"
#include "solver/failure.hpp"
#include "solver/half.hpp"
#include "solver/observe.hpp"
#include "solver/sensor.hpp"

namespace joulepress::solver {
namespace {

constexpr double event_width = 1e-7;  // s, how closely a change of mode is located
// K: rounding, less is no departure from the programme; what tracking may leave at a corner, more is a jump.
constexpr double reading_slack = 5e-3, tracking_slack = 0.1;
constexpr int unsettled_max = 4;     // trials of one step before two-point fluxes are used
constexpr int attempts_max = 20000;  // trial steps and changes of mode; a cycle takes about a hundred

/// The march with everything it carries; one per run.
class March {
 public:
  March(const Problem& whole, const Observers& observers)
      : whole_(whole),
        asked_(solved(whole)),
        problem_(&asked_),
        observers_(observers),
        workspace_(asked_),
        state_(initial_state(asked_, workspace_)) {}

  RunResult run(const Checkpoint* from) {
    result_.frame = history_frame(whole_);
    if (from)
      go_on_from(*from);
    else
      begin();
    while (state_.time < end_time(problem_->drive) - 1e-9) {
      const int steps = state_.counts.steps;
      if (!advance()) break;
      if (is_multiple(state_.time, problem_->history_every)) record_now();
      if (is_multiple(state_.time, problem_->fields_every)) hand_out_now();
      if (state_.counts.steps > steps && state_.counts.steps % observers_.checkpoint_every == 0) keep();
      if (!report_progress()) {
        keep();
        result_.status = RunStatus::interrupted;
        result_.reason = "stopped from outside";
        break;
      }
    }
    close_interval();
    hand_out_now();
    result_.ledger = whole_.half ? unfold(state_.ledger) : state_.ledger;
    result_.counts = state_.counts;
    for (std::string& warning : range_warnings(*problem_, state_.lowest, state_.highest))
      result_.warnings.push_back(std::move(warning));
    return std::move(result_);
  }

 private:
  void begin() {
    enter_segment();
    const Frame start = frame_of(*problem_, workspace_, state_);
    record(start);
    hand_out(start);
  }

  void go_on_from(const Checkpoint& from) {
    state_ = from.state;
    if (state_.two_point) use_two_point();
    result_.warnings = from.warnings;
    result_.rows = from.rows;
    result_.limited = from.limited;
    open_ = from.open;
    fields_until_ = from.fields_until;
    attempts_ = from.attempts;
    stalled_ = from.stalled;
  }

  void keep() const {
    if (observers_.checkpoint)
      observers_.checkpoint({state_, result_.rows, result_.limited, result_.warnings, open_, fields_until_,
                             attempts_, stalled_});
  }

  bool tracking_drive() const { return problem_->drive.kind == DriveKind::tracking; }
  const Segment& segment() const { return *segment_at(problem_->drive, state_.time); }

  /// Drive mode at the start of a segment.
  void enter_segment() {
    const Segment& now = segment();
    if (now.off || problem_->drive.kind == DriveKind::none) {
      set_mode(DriveMode::off, Limit::none);
    } else if (!tracking_drive()) {
      set_mode(DriveMode::driven, Limit::none);
    } else {
      set_mode(mode_for(lead()), Limit::none);
    }
  }

  /// Mode in which a temperature segment begins, the reading being `ahead` of its programme [K].  To close a
  /// gap at once would take a current without bounds: behind the programme the press gives what it can, ahead
  /// of it nothing, until the two meet.
  DriveMode mode_for(double ahead) const {
    const double slack = state_.mode == DriveMode::tracking ? tracking_slack : reading_slack;
    if (std::abs(ahead) <= slack) return DriveMode::tracking;
    if (ahead > 0.0) return DriveMode::off;
    return std::isfinite(ceiling(problem_->drive, 1.0).s) ? DriveMode::at_limit : DriveMode::tracking;
  }

  void set_mode(DriveMode mode, Limit limit) {
    if (mode != state_.mode || limit != state_.limit) {
      close_interval();
      const bool forced =
          mode == DriveMode::at_limit || (mode == DriveMode::off && tracking_drive() && !segment().off);
      if (forced) open_ = LimitedInterval{state_.time, state_.time, mode, limit};
    }
    state_.mode = mode;
    state_.limit = limit;
  }

  void close_interval() {
    if (!open_) return;
    open_->end_s = state_.time;
    if (open_->end_s > open_->start_s) result_.limited.push_back(*open_);
    open_.reset();
  }

  /// What a sensor shows in a state [K].
  double shown(int which, const State& state) const {
    const Sensor& sensor = problem_->sensors[which];
    return reading(sensor, sensor.junction.of(state.temperature), problem_->chamber_temperature);
  }

  /// Reading minus programme at the state's time [K].
  double lead(const State& state, const Segment& now) const {
    return shown(problem_->drive.sensor, state) - value_in(now, state.time);
  }
  double lead() const { return lead(state_, segment()); }

  /// Sign change of this ends the mode; negative while the mode holds.
  double event_value(const StepOutcome& step, const Segment& now, Limit& limit) const {
    const double s = step.state.current_squared;
    switch (state_.mode) {
      case DriveMode::tracking: {
        const Ceiling top = ceiling(problem_->drive, step.conductance);
        limit = top.limit;
        if (s < 0.0) limit = Limit::none;
        return std::isfinite(top.s) ? std::max(-s, s - top.s) / top.s : -s;
      }
      case DriveMode::off:
        return now.off ? -1.0 : -lead(step.state, now) - reading_slack;
      case DriveMode::at_limit:
        return lead(step.state, now) - reading_slack;
      case DriveMode::driven:
        break;
    }
    return -1.0;
  }

  double start_value() const {
    switch (state_.mode) {
      case DriveMode::off:
        return std::min(-lead() - reading_slack, -1e-12);
      case DriveMode::at_limit:
        return std::min(lead() - reading_slack, -1e-12);
      default:
        return -1.0;
    }
  }

  /// Takes one accepted step, or changes the mode.  False when the run cannot go on.
  bool advance() {
    const Segment& now = segment();
    const bool restart = state_.slope.empty();
    if (++attempts_ > attempts_max) {
      fail("the drive or the step size goes round in circles");
      return false;
    }
    const double remaining = next_corner(now.end) - state_.time;
    const StepDrive drive{state_.mode, &now, stalled_ >= 2};
    double dt = restart ? std::min(problem_->numerics.first_step, remaining) : step_within(remaining);
    const double wanted = dt;
    int unsettled = 0;
    for (;;) {
      StepOutcome step = try_step(*problem_, workspace_, state_, dt, drive);
      if (!(step.converged && step.error <= 1.0)) {
        ++state_.counts.rejected;
        if (!step.converged && step.remedy.empty() && ++unsettled == unsettled_max && fall_back()) {
          dt = wanted;
          continue;
        }
        if (!shrink(step, restart, dt)) return false;
        continue;
      }
      Limit limit = Limit::none;
      if (tracking_drive() && !drive.clamped && event_value(step, now, limit) > 0.0)
        return change_mode(step, now, restart, dt);
      accept(std::move(step), dt, restart);
      stalled_ = 0;
      if (problem_->numerics.strict && left_a_range()) return false;
      if (state_.time >= now.end - 1e-9) leave_segment(now);
      return true;
    }
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
    workspace_.present = Present(*problem_);
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

  /// The end of the segment, or a corner of the force before it: an exact stop.
  double next_corner(double end) const {
    for (const ForcePoint& point : problem_->force)
      if (point.time > state_.time + 1e-9) return std::min(point.time, end);
    return end;
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
    if (++attempts_ <= attempts_max && dt >= problem_->numerics.smallest_step) return true;
    fail(step.reason.empty() ? "the step size fell below its least value" : step.reason, step.remedy);
    return false;
  }

  void fail(const std::string& why, const std::string& remedy = {}) {
    result_.status = RunStatus::failed;
    result_.reason = failure_text(here(), state_, why, remedy);
  }

  /// The mode ends within (0, dt]: locate the instant, go there, switch.
  bool change_mode(const StepOutcome& beyond, const Segment& now, bool restart, double dt) {
    const StepDrive drive{state_.mode, &now, false};
    double low = 0.0, high = dt;
    Limit limit = Limit::none;
    double value_low = start_value(), value_high = event_value(beyond, now, limit);
    std::optional<StepOutcome> before;
    // Backward Euler after a restart covers only its own short start: there the change is immediate.
    for (int k = 0; !restart && k < 60 && high - low > event_width; ++k) {
      const double secant = low + (high - low) * value_low / (value_low - value_high);
      const double margin = 0.02 * (high - low);
      const double trial = k % 3 == 2 ? 0.5 * (low + high) : std::clamp(secant, low + margin, high - margin);
      StepOutcome step = try_step(*problem_, workspace_, state_, trial, drive);
      if (!step.converged) break;
      Limit its_limit = Limit::none;
      const double value = event_value(step, now, its_limit);
      if (value > 0.0) {
        high = trial;
        value_high = value;
        limit = its_limit;
      } else {
        low = trial;
        value_low = std::min(value, -1e-15);
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
    if (state_.mode == DriveMode::tracking)
      set_mode(limit == Limit::none ? DriveMode::off : DriveMode::at_limit, limit);
    else
      set_mode(DriveMode::tracking, Limit::none);
    record_now();
    return true;
  }

  void accept(StepOutcome step, double dt, bool restart) {
    record_between(step);
    const double error = step.error;
    const double wanted = state_.next_step;
    State next = std::move(step.state);
    if (restart) {
      next.next_step = 2.0 * dt;
    } else {
      const double growth = std::clamp(0.9 * std::pow(std::max(error, 1e-4), -0.25), 0.3, 3.0);
      // A step cut short by a stop is no reason to go on with small ones.
      next.next_step = std::max(dt * growth, dt < 0.9 * wanted ? wanted : 0.0);
    }
    // One limit binds throughout a mode; a programme of current, voltage or power notes its own.
    if (next.mode == DriveMode::at_limit || next.mode == DriveMode::driven) note_limit(next);
    state_ = std::move(next);
#ifdef JOULEPRESS_AUDIT
    audit();
#endif
  }

#ifdef JOULEPRESS_AUDIT
  /// The audit build's promise: after every step all fields are finite and both balances closed.
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

  void note_limit(State& next) {
    const bool limited = next.limit != Limit::none;
    if (limited && !open_) open_ = LimitedInterval{state_.time, state_.time, DriveMode::at_limit, next.limit};
    if (limited && open_ && open_->limit == Limit::none) open_->limit = next.limit;
    if (!limited && open_) close_interval();
  }

  /// Corner of the programme: an exact stop.
  void leave_segment(const Segment& left) {
    state_.time = left.end;
    record_now();
    hand_out_now();
    if (state_.time >= end_time(problem_->drive) - 1e-9) return;
    const Segment& next = segment();
    if (tracking_drive() || left.off != next.off || left.to != next.from) state_.slope.clear();
    state_.next_step = std::min(state_.next_step, 50.0 * problem_->numerics.first_step);
    enter_segment();
  }

  /// Rows and fields at multiples of their intervals inside the step, from its dense output.
  void record_between(const StepOutcome& step) {
    between(problem_->history_every, step, [this](const Frame& frame) { record(frame); });
    if (observers_.fields)
      between(problem_->fields_every, step, [this](const Frame& frame) { hand_out(frame); });
  }

  /// Calls f with the frame at every multiple of the interval inside the step.
  template <class F>
  void between(double every, const StepOutcome& step, F&& f) {
    const double from = state_.time, to = step.state.time;
    if (!(every > 0.0)) return;
    for (double k = std::floor(from / every) + 1.0; k * every < to - 1e-9; k += 1.0) {
      const double time = k * every;
      if (time <= from + 1e-9) continue;
      f(frame_within(*problem_, workspace_, state_, step, (time - from) / (to - from)));
    }
  }

  /// Whether a step ended on a multiple of the interval: `between` leaves that instant to the state itself.
  static bool is_multiple(double time, double every) {
    return every > 0.0 && std::abs(time - every * std::round(time / every)) <= 1e-9;
  }

  void record_now() {
    if (!result_.rows.empty() && state_.time <= result_.rows.back().time_s + 1e-9) return;
    record(frame_of(*problem_, workspace_, state_));
  }

  void record(const Frame& frame) {
    HistoryRow row = row_of(*problem_, workspace_, frame, state_.mode, state_.limit);
    if (whole_.half) row = unfold(whole_, *whole_.half, row);
    result_.rows.push_back(std::move(row));
    if (observers_.row) observers_.row(result_.rows.back());
  }

  /// Cell fields, each instant once.
  void hand_out(const Frame& frame) {
    if (!observers_.fields || frame.time <= fields_until_ + 1e-9) return;
    fields_until_ = frame.time;
    CellFields fields = fields_of(workspace_.present.at(frame.beds), frame);
    if (whole_.half) fields = unfold(whole_, *whole_.half, fields, frame.voltage);
    observers_.fields(fields);
  }

  void hand_out_now() {
    if (!observers_.fields || state_.time <= fields_until_ + 1e-9) return;
    hand_out(frame_of(*problem_, workspace_, state_));
  }

  const Problem& here() {
    return workspace_.present.at(state_.beds);
  }

  bool report_progress() {
    if (!observers_.progress) return true;
    Progress progress{state_.time, end_time(problem_->drive), std::nan(""), std::nan("")};
    if (result_.frame.control_sensor >= 0) progress.sensor_K = shown(result_.frame.control_sensor, state_);
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
  std::optional<LimitedInterval> open_;
  int attempts_ = 0;
  int stalled_ = 0;           ///< changes of mode without progress in time
  double fields_until_ = -1;  ///< s, of the last fields handed out
};

}  // namespace

RunResult run(const Problem& problem, const Observers& observers, const Checkpoint* from) {
  return March(problem, observers).run(from);
}

}  // namespace joulepress::solver
