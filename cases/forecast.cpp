#include "cases/forecast.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/build_problem.hpp"
#include "cases/reader/units.hpp"
#include "solver/observe.hpp"
#include "solver/steady.hpp"

namespace joulepress::cases {
namespace {

/// Some 700 cells in a 20 mm stack, a tenth of the default grid: within some percent of it, in a hundredth of
/// a second.
constexpr mesh::GridRule coarse{
    .smallest = 0.8e-3, .growth = 0.8, .largest = 5e-3, .cells_across_min = 1, .refinement = 1};

HoldForecast forecast_hold(const solver::Problem& p, const solver::Segment& hold) {
  HoldForecast result;
  result.name = hold.name;
  const solver::Steady steady = solver::solve_steady(p, 0.5 * (hold.start + hold.end));
  if (!steady.converged) {
    result.problem = steady.reason;
    return result;
  }
  solver::Workspace workspace(p);
  const solver::Frame frame = solver::frame_of(p, workspace, steady.state);
  const solver::HistoryRow row = solver::row_of(p, workspace, frame, steady.state.mode, solver::Limit::none);
  result.current_A = row.current_A;
  result.voltage_V = row.voltage_V;
  result.power_W = row.power_W;
  if (p.drive.sensor >= 0) result.set_K = row.sensors[static_cast<std::size_t>(p.drive.sensor)].reading_K;
  if (row.powder) result.powder_K = row.powder->mean_K;
  result.hottest_tool_K = row.tool_max_K;
  result.hottest_tool = p.parts[row.tool_max_part].name;
  return result;
}

void doubt_limits(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  const auto check = [&](const char* what, double needed, const std::optional<double>& limit, double scale,
                         const char* unit) {
    if (limit && needed > *limit)
      doubts.push_back(
          {c.programme.written.place,
           fmt::format("\"{}\" takes about {:.3g} {} of {}, more than the {:.3g} {} of the press.", hold.name,
                       scale * needed, unit, what, scale * *limit, unit)});
  };
  check("current", hold.current_A, c.press.current_limit, 1.0, "A");
  check("voltage", hold.voltage_V, c.press.voltage_limit, 1.0, "V");
  check("power", hold.power_W, c.press.power_limit, 1e-3, "kW");
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

void doubt_liquid(const Case& c, const HoldForecast& hold, std::vector<Doubt>& doubts) {
  for (const ColumnPart& part : c.column) {
    if (!part.powder || !hold.powder_K) continue;
    const materials::Material& m = material_named(c, part.material);
    const bool carbon = touches_carbon(c) && m.carbon_eutectic_K;
    const std::optional<double> liquid = carbon ? m.carbon_eutectic_K : m.melting_K;
    if (liquid && *hold.powder_K > *liquid)
      doubts.push_back(
          {part.written.place,
           fmt::format(
               "\"{}\" would reach about {:.0f} degC during \"{}\"; \"{}\"{} begins to melt at {:.0f} degC "
               "and runs out past the punches.",
               part.name, in_celsius(*hold.powder_K), hold.name, part.material,
               carbon ? " in touch with carbon" : "", in_celsius(*liquid))});
  }
}

}  // namespace

double current_density(const ColumnPart& part, double current_A) {
  return 1e-4 * current_A / cross_section(part);
}

std::vector<HoldForecast> forecast(const Case& c) {
  constexpr std::size_t holds_max = 4;
  std::vector<HoldForecast> holds;
  const solver::Problem p = build_problem(c, coarse);
  if (p.drive.kind == solver::DriveKind::none) return holds;
  for (const solver::Segment& segment : p.drive.segments)
    if (segment.hold && holds.size() < holds_max) holds.push_back(forecast_hold(p, segment));
  return holds;
}

std::vector<Doubt> doubts_of(const Case& c, const std::vector<HoldForecast>& holds) {
  std::vector<Doubt> doubts;
  for (const HoldForecast& hold : holds) {
    if (!hold.problem.empty()) continue;
    doubt_limits(c, hold, doubts);
    doubt_punches(c, hold, doubts);
    doubt_liquid(c, hold, doubts);
  }
  return doubts;
}

}  // namespace joulepress::cases
