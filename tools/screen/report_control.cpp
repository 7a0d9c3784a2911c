#include "tools/screen/report_control.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/screen/report.hpp"
#include "tools/screen/report_lines.hpp"
#include "tools/store/summary_json.hpp"

namespace joulepress::tools {
namespace {

std::string amount_of(solver::Limit limit, double value) {
  if (limit == solver::Limit::voltage) return fmt::format("{:.2f} V", value);
  return fmt::format("{:.2f} {}", 1e-3 * value, limit == solver::Limit::current ? "kA" : "kW");
}

/// The hold as it went: when its timer started, how far the reading overshot.
std::string hold_followed(const solver::RunResult& result, const solver::HistoryFrame::Hold& hold,
                          const solver::Segment& nominal) {
  double highest = 0.0;
  for (const solver::HistoryRow& row : result.rows)
    if (row.time_s >= hold.start_s - 1e-6 && row.time_s <= hold.end_s + 1e-6 && row.control_sensor >= 0)
      highest = std::max(highest, row.sensors[row.control_sensor].reading_K - hold.set_K);
  return line(fmt::format("\"{}\"", hold.name),
              fmt::format("timer from {:.0f} s (written for {:.0f} s), reading at most {:.1f} K above",
                          hold.start_s, nominal.start, std::max(highest, 0.0)));
}

/// Constant power at the start, where there was any.
std::string start_line(const solver::Problem& problem, const solver::RunResult& result) {
  const auto& power = problem.drive.controller->start_power;
  if (!power) return {};
  const auto sees = std::find_if(result.rows.begin(), result.rows.end(),
                                 [](const solver::HistoryRow& row) { return row.programme_s > 0.0; });
  if (sees == result.rows.end()) return paragraph("The sensor never saw: constant power all the time.");
  return line("constant power at the start",
              fmt::format("{:.2f} kW to {:.0f} s; the programme went on from {:.0f} degC", 1e-3 * *power,
                          sees->time_s, cases::in_celsius(sees->target)));
}

}  // namespace

std::string need_in_words(const solver::Need& need) {
  const std::string needs = amount_of(need.interval.limit, need.needs),
                    gives = amount_of(need.interval.limit, need.gives);
  if (!need.programme)
    return fmt::format(
        "the controller asks for more; the programme itself needs no more than {} (this press "
        "gives {})",
        needs, gives);
  const std::string what =
      need.rate_K_s > 0.0 ? fmt::format("{:.0f} K/min needs {} at {:.0f} degC", 60.0 * need.rate_K_s, needs,
                                        cases::in_celsius(need.set_K))
                          : fmt::format("holding {:.0f} degC needs {}", cases::in_celsius(need.set_K), needs);
  return what + fmt::format("; this press gives {}", gives);
}

std::string control_section(const solver::Problem& problem, const solver::RunResult& result,
                            const std::optional<solver::Gains>& gains) {
  if (!problem.drive.controller) return {};
  const solver::Controller& c = *problem.drive.controller;
  const char* unit = c.by_power ? "kW" : "kA";
  std::string text = heading("How the press followed the programme");
  text += line("controller",
               fmt::format("looks every {:g} s, sets the {}", c.period, c.by_power ? "power" : "current"));
  text += line("gain / integral / derivative time",
               fmt::format("{:.4g} {} per K / {:.0f} s / {:g} s", 1e-3 * c.gain, unit, c.integral_time,
                           c.derivative_time));
  if (gains)
    text += paragraph(fmt::format(
        "  Gain and integral time follow from a step of the model at {:.0f} degC: {:.3g} K/s per kW after a "
        "delay of {:.1f} s. Set them on the press as a start, then tune there.",
        cases::in_celsius(gains->at_K), 1e3 * gains->slope, gains->delay));
  text += start_line(problem, result);
  std::size_t n = 0;
  for (const solver::Segment& segment : problem.drive.segments)
    if (segment.hold && n < result.frame.holds.size() &&
        result.frame.holds[n].start_s < result.rows.back().time_s)
      text += hold_followed(result, result.frame.holds[n++], segment);
  return text;
}

std::string limited_section(const solver::RunResult& result, const std::vector<solver::Need>& needs) {
  if (result.limited.empty()) return {};
  std::string text = heading("Where the press could not follow the programme");
  for (const solver::LimitedInterval& interval : result.limited) {
    std::string why = "at the limit of " + limit_name(interval.limit);
    if (interval.mode == solver::DriveMode::off)
      why = "current 0: the programme falls faster than the stack cools";
    const auto need = std::find_if(needs.begin(), needs.end(), [&](const solver::Need& candidate) {
      return candidate.interval.start_s == interval.start_s;
    });
    if (need != needs.end()) why += ": " + need_in_words(*need);
    text +=
        "  " +
        wrapped(fmt::format("{:>8.1f} s to {:>8.1f} s   {}", interval.start_s, interval.end_s, why), 94, 29) +
        "\n";
  }
  return text;
}

}  // namespace joulepress::tools
