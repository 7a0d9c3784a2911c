#include "tools/html/pictures.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "tools/figures/current_lines.hpp"
#include "tools/figures/field_map.hpp"
#include "tools/figures/heat_bars.hpp"
#include "tools/figures/history_panels.hpp"
#include "tools/figures/signed_bars.hpp"
#include "tools/html/charts.hpp"

namespace joulepress::tools::html {
namespace {

figures::Head head(const Matter& m, const std::string& title, const std::string& description) {
  return {title, description, m.say.decimal_mark()};
}

/// The stack as it lies at an output; foils, too thin to see, go without a name.
figures::Stack stack_at(const Matter& m, std::size_t output) {
  const StoredCells& cells = m.results.cells;
  const std::size_t n = cells.part.size();
  const auto at = [&](const std::vector<double>& values) {
    return std::vector<double>(values.begin() + static_cast<std::ptrdiff_t>(output * n),
                               values.begin() + static_cast<std::ptrdiff_t>((output + 1) * n));
  };
  figures::Stack stack;
  stack.cells = {cells.r_low,
                 cells.r_high,
                 at(m.fields.z_low),
                 at(m.fields.z_high),
                 {cells.part.begin(), cells.part.end()}};
  std::vector<double> thickness(m.problem.parts.size(), INFINITY);
  for (const mesh::Block& block : m.problem.mesh.layout)
    thickness[block.part] =
        std::min({thickness[block.part], block.r_outer - block.r_inner, block.z_top - block.z_bottom});
  for (std::size_t part = 0; part < m.problem.parts.size(); ++part) {
    stack.names.push_back(thickness[part] < 1e-3 ? "" : m.problem.parts[part].name);
    stack.is_powder.push_back(m.is_powder(static_cast<int>(part)));
  }
  stack.radius_label = m.say("r in mm");
  stack.height_label = m.say("z in mm");
  return stack;
}

/// How far a part has risen since the start [m].
double risen(const Matter& m, int part, std::size_t output) {
  const StoredCells& cells = m.results.cells;
  const auto cell = std::find(cells.part.begin(), cells.part.end(), part) - cells.part.begin();
  return m.fields.z_low[output * cells.part.size() + cell] - cells.z_low[cell];
}

std::size_t output_of(const Matter& m, const StoredHold* hold) {
  return output_at(m.fields, hold ? hold->end_s : m.fields.times.back());
}

std::string moment(const Matter& m, const StoredHold* hold) {
  if (hold) return m.say("at the end of “{}”, {} s", hold->name, m.say.number(hold->end_s));
  return m.say("at the end, {} s", m.say.number(m.fields.times.back()));
}

/// Row of the history at or before a time.
std::size_t row_at(const Matter& m, double time) {
  const auto after = std::upper_bound(m.results.times.begin(), m.results.times.end(), time + 1e-9);
  return static_cast<std::size_t>(std::max<std::ptrdiff_t>(after - m.results.times.begin() - 1, 0));
}

double value_at(const Matter& m, const std::string& column, std::size_t row) {
  const std::vector<double>* values = m.results.column(column);
  return values ? (*values)[row] : 0.0;
}

std::vector<figures::SensorMark> sensor_marks(const Matter& m, const StoredHold* hold, std::size_t output) {
  std::vector<figures::SensorMark> marks;
  const std::size_t row = row_at(m, hold ? hold->end_s : m.fields.times[output]);
  for (const solver::Sensor& sensor : m.problem.sensors) {
    if (sensor.part < 0) continue;  // a furnace's
    const double reading = value_at(m, sensor.name + " reading", row);
    marks.push_back({sensor.name, sensor.r, sensor.z + risen(m, sensor.part, output),
                     std::isfinite(reading) && reading > 0.0 ? m.say.celsius(reading) : ""});
  }
  return marks;
}

figures::LineRole role_of(const std::string& role) {
  using figures::LineRole;
  for (const auto& [word, value] : {std::pair{"programme", LineRole::programme},
                                    {"sensor", LineRole::sensor},
                                    {"mean", LineRole::mean},
                                    {"coldest", LineRole::coldest},
                                    {"hottest", LineRole::hottest}})
    if (role == word) return value;
  return LineRole::other;
}

}  // namespace

const StoredHold* hold_shown(const Matter& m) {
  return m.results.summary.holds.empty() ? nullptr : &m.results.summary.holds.back();
}

std::optional<Picture> stack_picture(const Matter& m) {
  const StoredHold* hold = hold_shown(m);
  const std::size_t output = output_of(m, hold), n = m.results.cells.part.size();
  figures::FieldMap map;
  const std::string caption = m.say(
      "The stack and its temperature {}. Left: the parts; right: the cells of the computation, with "
      "contours.",
      moment(m, hold));
  map.head = head(m, m.say("temperature"), caption);
  map.stack = stack_at(m, output);
  for (std::size_t k = 0; k < n; ++k) map.values.push_back(m.fields.temperature[output * n + k] - 273.15);
  map.label = m.say("temperature in °C");
  // In a furnace a stack may be even to a thousandth of a kelvin; the colours are not to make much of that.
  constexpr double least_scale = 10.0;  // K
  const auto [low, high] = std::minmax_element(map.values.begin(), map.values.end());
  if (*high - *low < least_scale) {
    map.low = 0.5 * (*low + *high - least_scale);
    map.high = map.low + least_scale;
  }
  map.sensors = sensor_marks(m, hold, output);
  return Picture{"stack", caption, figures::field_map(map), {}};
}

std::optional<Picture> history_picture(const Matter& m) {
  figures::HistoryFigure figure;
  const std::string caption = m.say("The history of the run; holds are shaded.");
  figure.head = head(m, m.say("The history"), caption);
  figure.times = m.results.times;
  figure.time_label = m.say("time in s");
  for (const StoredHold& hold : m.results.summary.holds)
    figure.holds.push_back({hold.name, hold.start_s, hold.end_s});
  for (const Chart& chart : charts_of(m)) {
    figures::HistoryPanel panel{chart.title + " [" + chart.unit + "]", {}};
    for (const ChartLine& line : chart.lines)
      panel.lines.push_back({line.name, role_of(line.role), line.values});
    figure.panels.push_back(std::move(panel));
  }
  const std::string svg = figures::history_panels(figure);
  if (svg.empty()) return std::nullopt;
  return Picture{"history", caption, svg, {}};
}

std::optional<Picture> offset_picture(const Matter& m) {
  const StoredHold* hold = hold_shown(m);
  if (!hold || !hold->parts) return std::nullopt;
  figures::SignedBars bars;
  const std::string caption = m.say(
      "From the reading to the powder mean, step by step; means over the settled half of “{}”.", hold->name);
  bars.head = head(m, m.say("Why: the offset in its parts"), caption);
  bars.start_name = m.say(m.furnace() ? "the furnace reads" : "the sensor reads");
  bars.end_name = m.say("powder, mean");
  bars.start = hold->sensor_K - 273.15;
  std::map<std::string, std::string> names;
  for (const solver::OffsetTerm& term : solver::offset_terms) names[term.key] = m.say(term.words);
  bars.steps = figures::offset_steps(*hold->parts, names);
  bars.axis_label = m.say("temperature in °C");
  bars.unit = "°C";
  bars.step_unit = "K";
  const std::string svg = figures::signed_bars(bars);
  if (svg.empty()) return std::nullopt;
  Numbers numbers{{"", "K"}, {}};
  for (const figures::SignedStep& step : bars.steps)
    numbers.rows.push_back({step.name, m.say.signed_number(step.value, 2)});
  numbers.rows.push_back({m.say("offset"), m.say.signed_number(figures::end_of(bars) - bars.start, 2)});
  return Picture{"offset", caption, svg, std::move(numbers)};
}

std::optional<Picture> heat_picture(const Matter& m) {
  const StoredHold* hold = hold_shown(m);
  if (!hold) return std::nullopt;
  const std::size_t row = row_at(m, hold->end_s);
  figures::HeatBars bars;
  const std::string caption = m.say(
      "Where heat is made and where it goes {}. Contact heat counts half to each side.", moment(m, hold));
  bars.head = head(m, m.say("Where heat is made and goes"), caption);
  bars.made_title = m.say("made in");
  bars.goes_title = m.say("goes to");
  bars.rest_name = m.say("the rest");
  const auto add = [&](std::vector<figures::HeatBar>& list, const std::string& name,
                       const std::string& column) {
    if (const double watts = value_at(m, column, row); std::isfinite(watts) && watts != 0.0)
      list.push_back({name, watts});
  };
  for (const solver::Part& part : m.problem.parts) {
    add(bars.made, part.name, "joule heat in " + part.name);
    add(bars.goes, m.say("radiation of {}", part.name), "radiation of " + part.name);
  }
  add(bars.made, m.say("work of the punches"), "press work");
  add(bars.made, m.say("Peltier and Thomson heat"), "thermoelectric heat");
  add(bars.goes, m.say("cooling at the lower end"), "film low");
  add(bars.goes, m.say("cooling at the upper end"), "film high");
  add(bars.goes, m.say("natural convection to the gas"), "convection");
  add(bars.goes, m.say("ends held at a temperature"), "fixed surfaces");
  add(bars.goes, m.say("stored"), "stored");
  if (m.furnace()) bars.made.clear();  // what comes in is what radiation takes back, below zero
  const std::string svg = figures::heat_bars(bars);
  if (svg.empty()) return std::nullopt;
  Numbers numbers{{"", "W"}, {}};
  for (const auto& [title, list] : {std::pair{bars.made_title, bars.made}, {bars.goes_title, bars.goes}})
    for (const figures::HeatBar& bar : list)
      numbers.rows.push_back({title + ": " + bar.name, m.say.number(bar.watts, 2)});
  return Picture{"heat", caption, svg, std::move(numbers)};
}

std::optional<Picture> current_picture(const Matter& m) {
  const StoredHold* hold = hold_shown(m);
  const std::size_t output = output_of(m, hold), n = m.results.cells.part.size();
  figures::CurrentFigure figure;
  figure.stack = stack_at(m, output);
  for (std::size_t k = 0; k < n; ++k)
    figure.axial.push_back(m.fields.current_density[2 * (output * n + k) + 1]);
  figure.stack.more.resize(figure.stack.names.size());
  const double share = value_at(m, "current share powder", row_at(m, m.fields.times[output]));
  if (m.problem.powders.size() == 1 && std::isfinite(share))
    figure.stack.more[m.problem.powders.front().part] =
        m.say("{} % of the current", m.say.number(100.0 * share, 1));
  const std::string caption =
      m.say("Lines of current {}: between two of them flows a tenth of it.", moment(m, hold));
  figure.head = head(m, m.say("The way of the current"), caption);
  const std::string svg = figures::current_lines(figure);
  if (svg.empty()) return std::nullopt;
  Numbers numbers{{m.say("z in mm")}, {}};
  const std::vector<figures::CurrentLine> lines =
      figures::lines_of_current(figure.stack.cells, figure.axial, figure.share);
  std::map<double, std::vector<std::string>> radii;  // by height
  for (std::size_t k = 0; k < lines.size(); ++k) {
    numbers.columns.push_back(m.say("r in mm, {} % within", m.say.number(100.0 * lines[k].share)));
    for (std::size_t j = 0; j < lines[k].z.size(); ++j) {
      std::vector<std::string>& row = radii[lines[k].z[j]];
      row.resize(lines.size());
      row[k] = m.say.number(1e3 * lines[k].r[j], 3);
    }
  }
  for (auto& [z, row] : radii) {
    row.insert(row.begin(), m.say.number(1e3 * z, 3));
    numbers.rows.push_back(std::move(row));
  }
  return Picture{"current", caption, svg, std::move(numbers)};
}

std::vector<Picture> pictures_of(const Matter& m) {
  std::vector<Picture> pictures;
  for (const auto picture :
       {stack_picture, history_picture, offset_picture, heat_picture, current_picture, strength_picture})
    if (std::optional<Picture> made = picture(m)) pictures.push_back(std::move(*made));
  return pictures;
}

}  // namespace joulepress::tools::html
