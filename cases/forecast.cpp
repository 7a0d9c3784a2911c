#include "cases/forecast.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "cases/build_problem.hpp"
#include "cases/reader/units.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"

namespace joulepress::cases {
namespace {

/// Some 700 cells in a 20 mm stack, an eighth of the default grid: within some percent of it, in a hundredth
/// of a second.
constexpr mesh::GridRule coarse{
    .smallest = 0.8e-3, .growth = 0.8, .largest = 5e-3, .cells_across_min = 1, .refinement = 1, .mirror = {}};

void add_ramp(const solver::Problem& p, const solver::Segment& ramp, const solver::Steady& steady,
              HoldForecast& hold) {
  const double rate = (ramp.to - ramp.from) / (ramp.end - ramp.start);
  const double rise = ramp.to - p.initial_temperature;
  if (!(rate > 0.0) || !(rise > 0.0) || !(steady.stage.conductance > 0.0)) return;
  const solver::CellField& temperature = steady.state.temperature;
  solver::CellField enthalpy, capacity;
  solver::enthalpy_at(p, solver::cell_masses(p), temperature, enthalpy, capacity);
  double stored = 0.0;
  for (std::size_t i = 0; i < capacity.size(); ++i)
    stored += capacity[i] * rate * (temperature[i] - p.initial_temperature) / rise;
  hold.ramp_power_W = hold.power_W + stored;
  hold.ramp_current_A = std::sqrt(*hold.ramp_power_W * steady.stage.conductance);
  hold.ramp_voltage_V = *hold.ramp_power_W / *hold.ramp_current_A;
}

/// How the stack follows a furnace at the temperatures of the hold.
void add_following(const solver::Problem& p, std::size_t segment, const solver::Frame& frame,
                   HoldForecast& hold) {
  solver::CellField enthalpy, capacity;
  solver::enthalpy_at(p, solver::cell_masses(p), frame.temperature, enthalpy, capacity);
  double stores = 0.0, passes = 0.0;
  for (const double its : capacity) stores += its;
  std::vector<double> conducts =
      solver::heat_conductances(p, frame.properties, frame.flows.chamber, frame.edges).outer;
  if (p.exchange) {
    // What goes from wall to wall stays in the stack.
    const solver::Exchange& x = *p.exchange;
    std::vector<double> out(conducts.size(), 0.0);
    for (const solver::Exchange::Patch& patch : x.patches)
      out[patch.face] += patch.area * x.areas.chamber[patch.zone] / x.zone_area[patch.zone];
    for (std::size_t f = 0; f < conducts.size(); ++f)
      if (x.sends[f] > 0.0) conducts[f] *= out[f] / x.sends[f];
  }
  for (const double its : conducts) passes += its;
  if (!(passes > 0.0)) return;
  hold.follows_s = stores / passes;
  if (segment == 0) return;
  const solver::Segment& ramp = p.drive.segments[segment - 1];
  // No further than it would be if it had not warmed at all.
  const double rise = std::max(ramp.to - p.initial_temperature, 0.0), length = ramp.end - ramp.start;
  const double behind =
      (ramp.to - ramp.from) / length * *hold.follows_s * (1.0 - std::exp(-length / *hold.follows_s));
  hold.behind_K = std::min(behind, rise);
}

HoldForecast forecast_hold(const solver::Problem& p, std::size_t segment) {
  const solver::Segment& hold = p.drive.segments[segment];
  HoldForecast result;
  result.name = hold.name;
  const solver::Steady steady = solver::solve_steady(p, 0.5 * (hold.start + hold.end));
  if (!steady.converged || steady.state.current_squared < 0.0) {
    result.problem = steady.converged ? "the current would have to cool" : steady.reason;
    return result;
  }
  solver::Workspace workspace(p);
  const solver::Frame frame = solver::frame_of(p, workspace, steady.state);
  const solver::HistoryRow row = solver::row_of(p, workspace, frame, steady.state.mode, solver::Limit::none);
  result.current_A = row.current_A;
  result.voltage_V = row.voltage_V;
  result.power_W = row.power_W;
  if (p.drive.sensor >= 0) result.set_K = row.sensors[static_cast<std::size_t>(p.drive.sensor)].reading_K;
  for (const solver::SensorValue& sensor : row.sensors) result.readings_K.push_back(sensor.reading_K);
  if (row.powder) {
    result.powder_K = row.powder->mean_K;
    result.powder_max_K = row.powder->max_K;
  }
  result.hottest_tool_K = row.tool_max_K;
  result.hottest_tool = p.parts[row.tool_max_part].name;
  result.highest_by_material_K.assign(p.materials.size(), 0.0);
  for (int i = 0; i < p.mesh.n_cells(); ++i) {
    double& highest = result.highest_by_material_K[p.parts[p.mesh.part_of(i)].material];
    highest = std::max(highest, steady.state.temperature[i]);
  }
  if (p.drive.kind == solver::DriveKind::furnace)
    add_following(workspace.present.at(steady.state.beds), segment, frame, result);
  if (segment > 0 && p.drive.kind == solver::DriveKind::tracking)
    add_ramp(p, p.drive.segments[segment - 1], steady, result);
  return result;
}

/// What of a need is beyond the press, in words; empty: nothing.
std::string beyond_press(const Press& press, double current, double voltage, double power) {
  std::string text;
  const auto check = [&text](double needed, const std::optional<double>& limit, double scale,
                             const char* unit) {
    if (limit && needed > *limit)
      text += fmt::format("{}{:.4g} {} (the press gives {:.4g} {})", text.empty() ? "" : ", ", scale * needed,
                          unit, scale * *limit, unit);
  };
  check(current, press.current_limit, 1.0, "A");
  check(voltage, press.voltage_limit, 1.0, "V");
  check(power, press.power_limit, 1e-3, "kW");
  return text;
}

void doubt_limits(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  const Place& place = c.programme.written.place;
  const std::string needed = beyond_press(c.press, hold.current_A, hold.voltage_V, hold.power_W);
  if (!needed.empty()) {
    doubts.push_back({place, fmt::format("\"{}\" takes about {}.", hold.name, needed)});
  } else if (hold.ramp_power_W) {
    const std::string ramp =
        beyond_press(c.press, *hold.ramp_current_A, *hold.ramp_voltage_V, *hold.ramp_power_W);
    if (!ramp.empty())
      doubts.push_back(
          {place, fmt::format("The end of the ramp to \"{}\" takes about {}: the sensor will lag "
                              "behind the programme; a slower ramp needs less.",
                              hold.name, ramp)});
  }
}

void doubt_punches(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  constexpr double steady_limit = 500;  // A/cm2 of graphite, steady, up to 800: common practice, no source
  std::string names;
  const ColumnPart* narrowest = nullptr;
  for (std::size_t k = 0; k < c.column.size(); ++k) {
    const ColumnPart& part = c.column[k];
    if (!is_punch(c, k) || current_density(part, hold.current_A) <= steady_limit) continue;
    names += fmt::format("{}\"{}\"", names.empty() ? "" : ", ", part.name);
    if (!narrowest || cross_section(part) < cross_section(*narrowest)) narrowest = &part;
  }
  if (!narrowest) return;
  doubts.push_back(
      {narrowest->written.place,
       fmt::format("During \"{}\" about {:.0f} A/cm2 pass {}; graphite punches are run up to 500 to 800 "
                   "A/cm2 (common practice, no source).",
                   hold.name, current_density(*narrowest, hold.current_A), names)});
}

constexpr double near_liquid = 100;  // K, what an estimate and the touches may be wrong by

std::string distance_text(double kelvin, double liquid) {
  return fmt::format("{:.0f} K {} {:.0f} degC", std::abs(kelvin - liquid),
                     kelvin < liquid ? "below" : "above", in_celsius(liquid));
}

void doubt_liquid(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  for (const ColumnPart& part : c.column) {
    if (!part.powder || !hold.powder_max_K) continue;
    const materials::Material& m = material_named(c, part.material);
    const bool carbon = touches_carbon(c) && m.carbon_eutectic_K;
    const std::optional<double> liquid = carbon ? m.carbon_eutectic_K : m.melting_K;
    if (liquid && *hold.powder_max_K > *liquid - near_liquid)
      doubts.push_back(
          {part.written.place,
           fmt::format("The hottest place of \"{}\" would come to about {:.0f} degC during \"{}\", {}, where "
                       "\"{}\"{} begins to melt and runs out past the punches.",
                       part.name, in_celsius(*hold.powder_max_K), hold.name,
                       distance_text(*hold.powder_max_K, *liquid), part.material,
                       carbon ? " in touch with carbon" : "")});
  }
}

/// Tools of any place: a ram may be of a metal that the programme would melt, and stay cold.
void doubt_tools(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  for (std::size_t m = 0; m < hold.highest_by_material_K.size(); ++m) {
    const materials::Material& material = c.materials[m];
    const bool powder = std::any_of(c.column.begin(), c.column.end(), [&material](const ColumnPart& part) {
      return part.powder && part.material == material.name;
    });
    const double highest = hold.highest_by_material_K[m];
    if (!powder && material.melting_K && highest > *material.melting_K - near_liquid)
      doubts.push_back(
          {c.programme.written.place,
           fmt::format("A tool of \"{}\" would come to about {:.0f} degC during \"{}\", {}, where it "
                       "begins to melt.",
                       material.name, in_celsius(highest), hold.name,
                       distance_text(highest, *material.melting_K))});
  }
}

/// Couples under a programme of current, voltage or power (those of temperatures are in doubts.cpp).
void doubt_couples(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  constexpr double couples_end = 1473.15;  // K, types K and N, IEC 60584-1
  if (highest_temperature(c)) return;
  for (std::size_t k = 0; k < c.sensors.size() && k < hold.readings_K.size(); ++k)
    if (!c.sensors[k].pyrometer && hold.readings_K[k] > couples_end)
      doubts.push_back(
          {c.sensors[k].written.at("kind"),
           fmt::format("\"{}\" would come to about {:.0f} degC during \"{}\": couples of type K and "
                       "N are tabled to 1200 degC (IEC 60584-1).",
                       c.sensors[k].name, in_celsius(hold.readings_K[k]), hold.name)});
}

}  // namespace

double current_density(const ColumnPart& part, double current_A) {
  return 1e-4 * current_A / cross_section(part);
}

std::vector<HoldForecast> forecast(const Case& c) {
  constexpr std::size_t holds_max = 4;
  std::vector<HoldForecast> holds;
  const solver::Problem p = build_coarse_problem(c, coarse);
  if (p.drive.kind == solver::DriveKind::none) return holds;
  for (std::size_t k = 0; k < p.drive.segments.size(); ++k)
    if (p.drive.segments[k].hold && holds.size() < holds_max) holds.push_back(forecast_hold(p, k));
  return holds;
}

std::vector<Doubt> doubts_of(const Case& c, const std::vector<HoldForecast>& holds) {
  std::vector<Doubt> doubts;
  for (const HoldForecast& hold : holds) {
    if (!hold.problem.empty()) continue;
    doubt_limits(c, hold, doubts);
    doubt_punches(c, hold, doubts);
    doubt_liquid(c, hold, doubts);
    doubt_tools(c, hold, doubts);
    doubt_couples(c, hold, doubts);
  }
  return doubts;
}

std::vector<Doubt> doubts_of_data(const Case& c, const std::vector<HoldForecast>& holds) {
  std::vector<Doubt> doubts;
  const double programme = highest_temperature(c).value_or(0.0);
  for (std::size_t m = 0; m < c.materials.size(); ++m) {
    double highest = 0.0;
    for (const HoldForecast& hold : holds)
      if (m < hold.highest_by_material_K.size()) highest = std::max(highest, hold.highest_by_material_K[m]);
    const std::string known = properties_ending_below(c.materials[m], highest);
    if (!known.empty() && properties_ending_below(c.materials[m], programme).empty())
      doubts.push_back(
          {c.programme.written.place,
           fmt::format("\"{}\" would come to about {:.0f} degC and is known less far ({}): beyond, the end "
                       "value is held{}.",
                       c.materials[m].name, in_celsius(highest), known,
                       c.strict ? "; as this case is strict, a run would fail there" : "")});
  }
  return doubts;
}

}  // namespace joulepress::cases
