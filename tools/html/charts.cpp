#include "tools/html/charts.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/html/markup.hpp"
#include "tools/page/svg.hpp"

namespace joulepress::tools::html {
namespace {

/// Adds a line where the column is there and has a number in it.
void add(const Matter& m, Chart& chart, const std::string& name, const char* role, const std::string& column,
         double factor = 1.0, double shift = 0.0) {
  const std::vector<double>* values = m.results.column(column);
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
  const auto* reading = m.results.column(m.results.summary.control_sensor + " reading");
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

nlohmann::json charts_json(const std::vector<Chart>& charts) {
  nlohmann::json all = nlohmann::json::array();
  for (const Chart& chart : charts) {
    nlohmann::json lines = nlohmann::json::array();
    for (const ChartLine& line : chart.lines)
      lines.push_back({{"name", line.name}, {"role", line.role}, {"values", line.values}});
    all.push_back({{"id", chart.id}, {"title", chart.title}, {"unit", chart.unit}, {"lines", lines}});
  }
  return all;
}

nlohmann::json script_words(const Words& say) {
  return {{"cursor", say("cursor")},
          {"no_value", say("there is nothing here")},
          {"map", say("Section through the stack, the axis on the left; arrow keys move the chosen place")},
          {"along_r", say("Along r at")},
          {"along_z", say("Along z at")},
          {"decimal_mark", std::string(1, say.decimal_mark())}};
}

std::string charts_section(const std::vector<Chart>& charts, const Words& say) {
  std::string text = fmt::format(
      "<p id=\"cursor\" aria-live=\"polite\">{}</p>\n",
      svg::escaped(
          say("Point at a diagram, or move with the arrow keys: all of them show the same moment.")));
  for (std::size_t k = 0; k < charts.size(); ++k)
    text += fmt::format(
        "<figure class=\"chart\" data-chart=\"{0}\">\n<figcaption>{1} [{2}]</figcaption>\n"
        "<div class=\"plot\" tabindex=\"0\" role=\"group\" aria-label=\"{3}\"></div>\n"
        "<p class=\"reading\" aria-live=\"off\"></p>\n</figure>\n",
        k, svg::escaped(charts[k].title), svg::escaped(charts[k].unit),
        svg::escaped(say("{} over time; arrow keys move the cursor", charts[k].title)));
  text +=
      fmt::format("<p class=\"controls\"><button type=\"button\" id=\"reset-history\">{}</button>\n{}</p>\n",
                  svg::escaped(say("whole time")), csv_button("history", say("history as CSV")));
  return section("history", say("The history"), text);
}

}  // namespace joulepress::tools::html
