#include "tools/html/compare_page.hpp"

#include <algorithm>
#include <cmath>
#include <nlohmann/json.hpp>

#include "tools/html/charts.hpp"
#include "tools/html/document.hpp"
#include "tools/html/markup.hpp"

namespace joulepress::tools::html {
namespace {

/// On the line between two rows; not a number outside of the rows.
double between(const std::vector<double>& times, const std::vector<double>& values, double t) {
  const auto after = std::lower_bound(times.begin(), times.end(), t);
  if (after == times.end()) return NAN;
  const auto k = static_cast<std::size_t>(after - times.begin());
  if (*after == t) return values[k];
  if (k == 0) return NAN;
  const double share = (t - times[k - 1]) / (times[k] - times[k - 1]);
  return values[k - 1] + share * (values[k] - values[k - 1]);
}

/// The moments of all rows of all runs.
std::vector<double> all_times(const std::vector<NamedResults>& all) {
  std::vector<double> times;
  for (const NamedResults& one : all)
    times.insert(times.end(), one.results.times.begin(), one.results.times.end());
  std::sort(times.begin(), times.end());
  times.erase(std::unique(times.begin(), times.end()), times.end());
  return times;
}

std::vector<double> column_of(const NamedResults& one, const std::string& name) {
  const std::vector<double>* values = one.results.column(name);
  return values ? *values : std::vector<double>(one.results.times.size(), NAN);
}

std::vector<double> offsets_of(const NamedResults& one) {
  std::vector<double> powder = column_of(one, "powder mean");
  const std::vector<double> reading = column_of(one, one.results.summary.control_sensor + " reading");
  for (std::size_t k = 0; k < powder.size(); ++k) powder[k] -= reading[k];
  return powder;
}

struct Compared {
  const char* id;
  const char* title;
  const char* unit;
  const char* column;  ///< null: the offset
  double factor, shift;
};
constexpr Compared compared[]{
    {"temperatures", "powder, mean", "°C", "powder mean", 1.0, -273.15},
    {"offset", "offset, powder mean minus reading", "K", nullptr, 1.0, 0.0},
    {"current", "current (effective)", "A", "current effective", 1.0, 0.0},
    {"power", "power", "kW", "power", 1e-3, 0.0},
    {"density", "relative density", "%", "relative density mean", 100.0, 0.0},
    {"stroke", "stroke", "mm", "stroke", 1e3, 0.0},
};

std::vector<Chart> charts_of_all(const std::vector<NamedResults>& all, const std::vector<std::string>& names,
                                 const std::vector<double>& times, const Words& say) {
  std::vector<Chart> charts;
  for (const Compared& what : compared) {
    Chart chart{what.id, say(what.title), what.unit, {}};
    for (std::size_t k = 0; k < all.size(); ++k) {
      const std::vector<double> values = what.column ? column_of(all[k], what.column) : offsets_of(all[k]);
      if (std::none_of(values.begin(), values.end(), [](double v) { return std::isfinite(v); })) continue;
      ChartLine line{names[k], "other", {}};
      for (const double t : times)
        line.values.push_back(what.factor * between(all[k].results.times, values, t) + what.shift);
      chart.lines.push_back(std::move(line));
    }
    if (!chart.lines.empty()) charts.push_back(std::move(chart));
  }
  return charts;
}

std::string tables(const ResultsTable& compared_runs, const Words& say) {
  std::string text;
  for (std::size_t k = 0; k < compared_runs.sections.size(); ++k) {
    const ResultsTable::Section& section = compared_runs.sections[k];
    if (section.rows.empty()) continue;
    Table table{fmt::format("compared-{}", k), section.title, {""}, {}};
    table.columns.insert(table.columns.end(), compared_runs.names.begin(), compared_runs.names.end());
    for (const ResultsTable::Row& row : section.rows) {
      std::vector<std::string> cells{row.unit.empty() ? row.what : row.what + " [" + row.unit + "]"};
      for (const std::string& cell : row.cells) cells.push_back(cell.empty() ? "–" : cell);
      table.rows.push_back(std::move(cells));
    }
    text += html::table(table) + csv_button("table:" + table.id, say("this table as CSV"));
  }
  return text;
}

}  // namespace

std::string compare_page(const std::vector<NamedResults>& all) {
  const Words say(Language::english);
  const ResultsTable compared_runs = tabled(all);
  const std::vector<double> times = all_times(all);
  const std::vector<Chart> charts = charts_of_all(all, compared_runs.names, times, say);
  nlohmann::json data{{"language", say.tag()},
                      {"words", script_words(say)},
                      {"frames", nlohmann::json::array()},
                      {"start", 0}};
  data["history"] = {{"time", times}, {"holds", nlohmann::json::array()}, {"charts", charts_json(charts)}};
  std::string body = section("answer", say("The runs side by side"), tables(compared_runs, say));
  body += charts_section(charts, say);
  return html_of(
      {say("{} runs compared", all.size()), "joulepress " + all.front().results.summary.version, body}, say,
      data);
}

}  // namespace joulepress::tools::html
