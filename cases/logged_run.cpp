#include "cases/logged_run.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/panel.hpp"
#include "cases/pressing.hpp"
#include "cases/reader/units.hpp"
#include "cases/stack.hpp"
#include "solver/half.hpp"
#include "solver/inverse/robust.hpp"
#include "solver/pulse.hpp"

namespace joulepress::cases {
namespace {

constexpr double heat_share = 2e-4;   // a quarter of a kelvin of a run to 1300 degC; own choice
constexpr double force_share = 1e-4;  // of all of force times time; own choice
constexpr double beyond_noise = 4.0;  // deviations by which a piece is off, so that it is parted; own choice
constexpr double least_reading_K = 0.05;  // deviation of an instrument without digits and noise
constexpr double least_stroke = 1e-6;     // m
constexpr double start_aside_K = 10.0;    // between the first reading and the case, told above it; own choice

/// Values with their times, those without a number left out.
struct Course {
  std::vector<double> times, values;
};

Course course_of(const PressLog& log, const std::vector<double>& values) {
  Course course;
  for (std::size_t i = 0; i < values.size(); ++i) {
    if (!std::isfinite(values[i])) continue;
    course.times.push_back(log.time[i]);
    course.values.push_back(values[i]);
  }
  return course;
}

/// A line through the values a to b.
struct Piece {
  std::size_t a = 0, b = 0;
  double from = 0, to = 0;
};

Piece line_through(const Course& c, std::size_t a, std::size_t b) {
  Piece piece{a, b, c.values[a], c.values[b]};
  if (b - a < 2) return piece;
  double n = 0, t = 0, v = 0, tt = 0, tv = 0;
  for (std::size_t i = a; i <= b; ++i) {
    const double x = c.times[i] - c.times[a];
    n += 1.0, t += x, v += c.values[i], tt += x * x, tv += x * c.values[i];
  }
  const double slope = (n * tv - t * v) / (n * tt - t * t), start = (v - slope * t) / n;
  piece.from = start;
  piece.to = start + slope * (c.times[b] - c.times[a]);
  return piece;
}

/// Relative deviation of single values about a smooth course: of third differences, in which a parabola
/// vanishes and the noise of four values adds up as 1, 9, 9 and 1.
double noise_of(const Course& c) {
  std::vector<double> off;
  for (std::size_t i = 3; i < c.values.size(); ++i) {
    const double* v = c.values.data() + i;
    if (v[0] > 0.0 && v[-1] > 0.0 && v[-2] > 0.0 && v[-3] > 0.0)
      off.push_back(std::abs(v[0] - 3.0 * v[-1] + 3.0 * v[-2] - v[-3]) / (0.5 * (v[-1] + v[-2])));
  }
  return off.empty() ? 0.0 : inverse::scatter_of(off) / std::sqrt(20.0);
}

/// What a piece brings in the course of it, and what the values bring, both as the integral of a power of
/// them: 2 for a current, 1 for a power or a force.
class Brought {
 public:
  Brought(const Course& course, int power) : c_(course), power_(power) {
    sum_.push_back(0.0);
    variance_.push_back(0.0);
    const double noise = power * noise_of(course);
    for (std::size_t i = 1; i < c_.times.size(); ++i) {
      const double step = c_.times[i] - c_.times[i - 1], mean = mean_raised(c_.values[i - 1], c_.values[i]);
      sum_.push_back(sum_.back() + step * mean);
      variance_.push_back(variance_.back() + std::pow(noise * step * mean, 2));
    }
  }

  double all() const { return sum_.back(); }
  double of_values(std::size_t a, std::size_t b) const { return sum_[b] - sum_[a]; }

  /// Deviation that the noise of single values alone leaves at value i, where both ends of a to b are held.
  double deviation(std::size_t a, std::size_t i, std::size_t b) const {
    const double before = variance_[i] - variance_[a], behind = variance_[b] - variance_[i];
    return before + behind > 0.0 ? std::sqrt(before * behind / (before + behind)) : 0.0;
  }

  double of_piece(const Piece& piece, double until) const {
    const double length = until - c_.times[piece.a], whole = c_.times[piece.b] - c_.times[piece.a];
    const double to = piece.from + (piece.to - piece.from) * length / whole;
    return length * mean_raised(piece.from, to);
  }

  /// The line through its values, at the height at which it brings what they bring.
  Piece fitted(std::size_t a, std::size_t b) const {
    Piece piece = line_through(c_, a, b);
    piece.from = std::max(piece.from, 0.0);
    piece.to = std::max(piece.to, 0.0);
    const double brings = of_piece(piece, c_.times[b]), should = of_values(a, b);
    const double factor = brings > 0.0 ? std::pow(should / brings, 1.0 / power_) : 0.0;
    piece.from *= factor;
    piece.to *= factor;
    return piece;
  }

 private:
  /// Of what goes straight from one value to another: of a current that rises, squares at its rows alone
  /// would bring too much.
  double mean_raised(double from, double to) const {
    return power_ == 2 ? (from * from + from * to + to * to) / 3.0 : 0.5 * (from + to);
  }

  const Course& c_;
  int power_;
  std::vector<double> sum_, variance_;
};

/// Where a piece is furthest from what its values have brought until then, if it is further off than is
/// allowed and than their noise explains; its start: nowhere.  A corner for the noise would cost steps and
/// add nothing true.
std::size_t worst_of(const Course& course, const Brought& brought, const Piece& piece, double most) {
  std::size_t worst = piece.a;
  double off = 0.0;
  for (std::size_t i = piece.a + 1; i < piece.b; ++i) {
    const double here = std::abs(brought.of_values(piece.a, i) - brought.of_piece(piece, course.times[i]));
    const double allowed = std::max(most, beyond_noise * brought.deviation(piece.a, i, piece.b));
    if (here > off && here > allowed) worst = i, off = here;
  }
  return worst;
}

void add_pieces(const Course& course, const Brought& brought, double most, std::size_t a, std::size_t b,
                std::vector<Piece>& pieces) {
  const Piece piece = brought.fitted(a, b);
  const std::size_t worst = worst_of(course, brought, piece, most);
  if (worst == a) return pieces.push_back(piece);
  add_pieces(course, brought, most, a, worst, pieces);
  add_pieces(course, brought, most, worst, b, pieces);
}

/// Parted where it is worst, and joined again where a cut is not needed any more once others were made.  What
/// is nothing to the end is a piece of its own.
std::vector<Piece> pieces_of(const Course& course, int power, double share) {
  std::vector<Piece> pieces;
  if (course.times.size() < 2) return pieces;
  const Brought brought(course, power);
  const double most = share * brought.all();
  const std::size_t last = course.times.size() - 1;
  std::size_t end = last;
  while (end > 0 && course.values[end] == 0.0 && course.values[end - 1] == 0.0) --end;
  if (end > 0) add_pieces(course, brought, most, 0, end, pieces);
  for (std::size_t k = 0; k + 1 < pieces.size();) {
    const Piece both = brought.fitted(pieces[k].a, pieces[k + 1].b);
    if (worst_of(course, brought, both, most) != both.a) {
      ++k;
      continue;
    }
    pieces[k] = both;
    pieces.erase(pieces.begin() + static_cast<std::ptrdiff_t>(k) + 1);
    if (k > 0) --k;  // the one before may reach further now
  }
  if (end < last) pieces.push_back({end, last, 0.0, 0.0});
  return pieces;
}

int column_of(const PressLog& log, Logged what) {
  const auto found = std::find_if(log.columns.begin(), log.columns.end(),
                                  [what](const LoggedColumn& column) { return column.what == what; });
  return found == log.columns.end() ? -1 : static_cast<int>(found - log.columns.begin());
}

void refuse(const std::string& log, std::string problem, std::string remedy, ErrorList& errors) {
  Place place;
  place.file = log;
  errors.add(place, "", std::move(problem), std::move(remedy));
}

/// Mean currents as the effective ones that they are; false where the form of the pulses is not known.
bool make_effective(const Case& c, Course& course) {
  if (!c.press.pulse || !c.programme.pulses) return false;
  const solver::Pulse pulse{c.press.pulse->on, c.press.pulse->off, c.press.pulse->ratio};
  const double largest = c.press.pulse->largest_mean.value_or(0.0);
  for (double& amperes : course.values)
    amperes *= solver::effective_over_mean(pulse, largest > 0.0 ? amperes / largest : 0.0);
  return true;
}

void drive_by(const Case& c, LoggedRun& run, ErrorList& errors) {
  const int current = column_of(run.log, Logged::current), power = column_of(run.log, Logged::power);
  if (current < 0 && power < 0)
    return refuse(run.log.file, "The log shows neither a current nor a power.",
                  "A run is driven by what was measured of them: name the column in the map of the log "
                  "(`is: current`).",
                  errors);
  run.driven_by = current < 0 ? power : current;
  run.kind = current < 0 ? solver::DriveKind::power : solver::DriveKind::current;
  const LoggedColumn& column = run.log.columns[static_cast<std::size_t>(run.driven_by)];
  Course course = course_of(run.log, column.values);
  if (column.mean && !make_effective(c, course))
    return refuse(
        run.log.file,
        fmt::format("\"{}\" is a mean current, and heat comes from the effective one.", column.heading),
        "Give the press its `pulse:` and the programme `pulses: on`, so that one follows from the "
        "other; continuous current is `shows: effective`.",
        errors);
  const auto pieces = pieces_of(course, current < 0 ? 1 : 2, heat_share);
  for (const Piece& piece : pieces) {
    solver::Segment segment;
    segment.start = run.segments.empty() ? 0.0 : course.times[piece.a];
    segment.end = course.times[piece.b];
    segment.from = piece.from;
    segment.to = piece.to;
    segment.off = !(piece.from > 0.0 || piece.to > 0.0);
    run.segments.push_back(segment);
  }
  if (std::all_of(run.segments.begin(), run.segments.end(), [](const auto& s) { return s.off; }))
    refuse(run.log.file, fmt::format("Nothing flows: \"{}\" is nowhere above zero.", column.heading),
           "Another column may be the current; see `joulepress check` of the log.", errors);
}

void press_by(const Case& c, LoggedRun& run) {
  const int force = column_of(run.log, Logged::force), gauge = column_of(run.log, Logged::gauge_pressure);
  if (force < 0 && (gauge < 0 || !c.press.gauge_area)) {
    run.remarks.emplace_back("The log shows no force: the pressure is that of the case.");
    return;
  }
  const auto& column = run.log.columns[static_cast<std::size_t>(force < 0 ? gauge : force)];
  Course course = course_of(run.log, column.values);
  for (double& value : course.values)
    value = value * (force < 0 ? *c.press.gauge_area : 1.0) + c.press.vacuum_pull + c.press.moving_weight;
  for (const Piece& piece : pieces_of(course, 1, force_share)) {
    run.force.push_back({course.times[piece.a], piece.from});
    run.force.push_back({course.times[piece.b], piece.to});
  }
  // Ascending, so that a jump takes a moment.
  for (std::size_t k = 1; k < run.force.size(); ++k)
    if (!(run.force[k].time > run.force[k - 1].time)) run.force[k].time = run.force[k - 1].time + 1e-3;
}

/// 0 where there is no number.
double median_of_numbers(std::vector<double> values) {
  std::erase_if(values, [](double v) { return !std::isfinite(v); });
  return values.empty() ? 0.0 : inverse::median_of(std::move(values));
}

void compare_reading(const Case& c, std::size_t k, LoggedRun& run) {
  const LoggedColumn& column = run.log.columns[k];
  const auto sensor = std::find_if(c.sensors.begin(), c.sensors.end(),
                                   [&](const CaseSensor& s) { return s.name == column.sensor; });
  if (sensor == c.sensors.end()) return run.unused.push_back(column.heading);
  run.compared.push_back(
      {static_cast<int>(k), static_cast<int>(sensor - c.sensors.begin()),
       std::max(least_reading_K, std::hypot(sensor->noise, column.digit / std::sqrt(12.0)))});
  const Course course = course_of(run.log, column.values);
  if (!course.values.empty() && course.times.front() == 0.0 && !sensor->pyrometer &&
      std::abs(course.values.front() - c.initial_temperature) > start_aside_K)
    run.remarks.push_back(fmt::format(
        "\"{}\" starts at {:.0f} degC, the case at {:.0f} degC: `start temperature:` tells a stack that was "
        "warm.",
        column.sensor, in_celsius(course.values.front()), in_celsius(c.initial_temperature)));
}

void compare(const Case& c, LoggedRun& run, ErrorList& errors) {
  const double noise = c.press.meters ? c.press.meters->noise : 0.0;
  for (std::size_t k = 0; k < run.log.columns.size(); ++k) {
    const LoggedColumn& column = run.log.columns[k];
    const double rounding = column.digit / std::sqrt(12.0);
    const bool any =
        std::any_of(column.values.begin(), column.values.end(), [](double v) { return std::isfinite(v); });
    if (static_cast<int>(k) == run.driven_by || column.what == Logged::force ||
        column.what == Logged::gauge_pressure)
      continue;
    if (any && column.what == Logged::reading)
      compare_reading(c, k, run);
    else if (any && column.what == Logged::voltage)
      run.compared.push_back(
          {static_cast<int>(k), -1,
           std::max(1e-4, std::hypot(rounding, noise * median_of_numbers(column.values)))});
    else if (any && column.what == Logged::stroke)
      run.compared.push_back({static_cast<int>(k), -1, std::max(least_stroke, rounding)});
    else
      run.unused.push_back(column.heading);
  }
  if (std::any_of(run.compared.begin(), run.compared.end(),
                  [](const auto& with) { return with.sensor >= 0; }))
    return;
  std::vector<std::string> sensors;
  for (const CaseSensor& sensor : c.sensors) sensors.push_back(sensor.name);
  refuse(run.log.file, "No column of the log is a reading of a sensor of the case.",
         sensors.empty() ? "The case has no sensors: describe them."
                         : fmt::format("Name it in the map of the log (`is: {}`); the case has: {}.",
                                       sensors.front(), listed(sensors)),
         errors);
}

/// 0 where there is no number.
double first_number(const std::vector<double>& values) {
  const auto found = std::find_if(values.begin(), values.end(), [](double v) { return std::isfinite(v); });
  return found == values.end() ? 0.0 : *found;
}

}  // namespace

LoggedRun logged_run(const Case& c, PressLog log, ErrorList& errors) {
  LoggedRun run;
  run.log = std::move(log);
  drive_by(c, run, errors);
  press_by(c, run);
  compare(c, run, errors);
  // Strokes count from where the log begins.
  for (LoggedColumn& column : run.log.columns) {
    if (column.what != Logged::stroke) continue;
    const double zero = first_number(column.values);
    for (double& value : column.values) value -= zero;
  }
  return run;
}

solver::Problem logged_problem(const Case& c, const LoggedRun& run) {
  Case driven = c;
  Programme& programme = driven.programme;
  programme.by_furnace = programme.by_controller = false;
  programme.hand_over_to.clear();
  programme.control.clear();
  programme.start_power.reset();
  programme.start_until.reset();
  programme.aborts.clear();
  programme.driven =
      run.kind == solver::DriveKind::power ? Programme::Driven::power : Programme::Driven::current;
  ProgrammeStep whole;
  whole.kind = ProgrammeStep::Kind::hold;
  whole.duration = run.segments.back().end;
  programme.steps = {whole};
  driven.press.current_limit.reset();
  driven.press.voltage_limit.reset();
  driven.press.power_limit.reset();
  driven.judge_strength = false;
  solver::Problem problem = build_problem(driven);
  problem.drive.segments = run.segments;
  if (!run.force.empty()) problem.force = run.force;
  if (problem.half) problem.half = solver::half_of(problem);
  return problem;
}

double shown_of(const Case& c, const LoggedRun& run, const ComparedColumn& compared,
                const solver::HistoryRow& row) {
  if (compared.sensor >= 0) return row.sensors[static_cast<std::size_t>(compared.sensor)].reading_K;
  const LoggedColumn& column = run.log.columns[static_cast<std::size_t>(compared.column)];
  if (column.what == Logged::stroke) return row.stroke.total();
  return voltage_shown(c.press, row, column.mean);
}

}  // namespace joulepress::cases
