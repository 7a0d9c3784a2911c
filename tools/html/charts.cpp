// The diagrams of a page's history.
#include <algorithm>
#include <cmath>

#include "tools/html/page_data.hpp"

namespace joulepress::tools::html {
namespace {

std::string column_name(std::string name) {  // as results.h5 has it
  std::replace(name.begin(), name.end(), '/', '_');
  return name;
}

/// Adds a line where the column is there and has a number in it.
void add(const Matter& m, Chart& chart, const std::string& name, const char* role, const std::string& column,
         double factor = 1.0, double shift = 0.0) {
  const std::vector<double>* values = m.results.column(column_name(column));
  if (!values || std::none_of(values->begin(), values->end(), [](double v) { return std::isfinite(v); }))
    return;
  ChartLine line{name, role, {}};
  for (const double value : *values) line.values.push_back(factor * value + shift);
  chart.lines.push_back(std::move(line));
}

Chart temperatures(const Matter& m) {
  Chart chart{"temperatures", m.say("temperature"), "°C", {}};
  const auto line = [&](const std::string& name, const char* role, const std::string& column) {
    add(m, chart, name, role, column, 1.0, -273.15);
  };
  if (m.tracked()) line(m.say("programme"), "programme", "programme");
  for (const solver::Sensor& sensor : m.problem.sensors)
    line(sensor.name, sensor.name == m.results.summary.control_sensor ? "sensor" : "other",
         sensor.name + " reading");
  line(m.say("powder, mean"), "mean", "powder mean");
  line(m.say("powder, coldest"), "coldest", "powder coldest");
  line(m.say("powder, hottest"), "hottest", "powder hottest");
  if (m.furnace()) line(m.say("surface of the stack"), "other", "surface of the stack");
  if (m.problem.powders.empty()) line(m.say("hottest tool"), "hottest", "hottest tool");
  return chart;
}

Chart offset(const Matter& m) {
  Chart chart{"offset", m.say("offset, powder mean minus reading"), "K", {}};
  const auto* powder = m.results.column("powder mean");
  const auto* reading = m.results.column(column_name(m.results.summary.control_sensor + " reading"));
  if (!powder || !reading) return chart;
  ChartLine line{m.say("offset"), "mean", {}};
  for (std::size_t k = 0; k < powder->size(); ++k) line.values.push_back((*powder)[k] - (*reading)[k]);
  chart.lines.push_back(std::move(line));
  return chart;
}

Chart one(const Matter& m, const char* id, const char* title, const char* unit, const char* column,
          double factor) {
  Chart chart{id, m.say(title), unit, {}};
  add(m, chart, m.say(title), "other", column, factor);
  return chart;
}

Chart density(const Matter& m) {
  Chart chart{"density", m.say("relative density"), "%", {}};
  add(m, chart, m.say("mean"), "mean", "relative density mean", 100.0);
  add(m, chart, m.say("lowest"), "coldest", "relative density lowest", 100.0);
  add(m, chart, m.say("highest"), "hottest", "relative density highest", 100.0);
  return chart;
}

}  // namespace

std::vector<Chart> charts_of(const Matter& m) {
  std::vector<Chart> charts{temperatures(m), offset(m)};
  if (!m.furnace()) {
    charts.push_back(one(m, "current", "current (effective)", "A", "current effective", 1.0));
    charts.push_back(one(m, "voltage", "voltage between the column ends", "V", "voltage", 1.0));
    charts.push_back(one(m, "power", "power", "kW", "power", 1e-3));
  }
  charts.push_back(density(m));
  charts.push_back(one(m, "stroke", "stroke", "mm", "stroke", 1e3));
  std::erase_if(charts, [](const Chart& chart) { return chart.lines.empty(); });
  return charts;
}

}  // namespace joulepress::tools::html
