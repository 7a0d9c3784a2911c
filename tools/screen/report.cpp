#include "tools/screen/report.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <sstream>

#include "tools/screen/clock.hpp"
#include "tools/screen/powder_given.hpp"
#include "tools/screen/report_control.hpp"
#include "tools/screen/report_heat.hpp"
#include "tools/screen/report_lines.hpp"
#include "tools/screen/report_powder.hpp"
#include "tools/screen/report_strength.hpp"
#include "tools/store/summary_json.hpp"

namespace joulepress::tools {
namespace {

std::string side(double offset) {
  return offset >= 0.0 ? "hotter" : "colder";
}

/// How far behind its furnace the powder was.
std::string on_arrival(const solver::HoldSummary& hold) {
  return fmt::format(" When the hold began it was {:.0f} K {}.", std::abs(*hold.offset_start_K),
                     side(*hold.offset_start_K));
}

/// What the programme gives the powder as it stands.
std::string given_words(const PowderGiven& given, const solver::Problem& problem) {
  const bool furnace = problem.drive.kind == solver::DriveKind::furnace;
  std::string text = fmt::format(
      "The programme as it stands{} gives the powder {:.0f} degC in the mean ({:.0f} to {:.0f} degC) for {}, "
      "where {:.0f} degC is asked for {}",
      furnace                    ? ""
      : problem.drive.controller ? ", followed by the press's own controller,"
                                 : ", followed exactly,",
      cases::in_celsius(given.mean_K), cases::in_celsius(given.coldest_K), cases::in_celsius(given.hottest_K),
      clock_words(given.length_s), cases::in_celsius(given.asked_K),
      furnace ? "of the furnace" : "at the sensor");
  if (std::isfinite(given.above_s))
    text += fmt::format("; it is above {:.0f} degC for {} in all", cases::in_celsius(given.level_K),
                        clock_words(given.above_s));
  if (std::isfinite(given.dense_s))
    text +=
        fmt::format(" and reaches {:.0f} % density at {}", 100.0 * given_density, clock_words(given.dense_s));
  return text + ".";
}

/// `given`: none where no temperatures are entered.
std::string hold_answer(const solver::HoldSummary& hold, const std::optional<PowderGiven>& given,
                        const solver::Problem& problem) {
  if (!hold.offset_mean_K) return {};
  const bool furnace = problem.drive.kind == solver::DriveKind::furnace;
  const double offset = *hold.offset_mean_K;
  if (furnace && std::abs(offset) < solver::as_hot_K)
    return paragraph(fmt::format("The powder is as hot as the furnace reads, within {:.1f} K.{} {}",
                                 solver::as_hot_K, on_arrival(hold), given_words(*given, problem)));
  std::string text = fmt::format("The powder is {:.0f} K {} than the {} reads", std::abs(offset),
                                 side(offset), furnace ? "furnace" : "sensor");
  if (!given)
    return paragraph(fmt::format("{} ({:.0f} degC against {:.0f} degC).", text,
                                 cases::in_celsius(hold.powder->mean_K), cases::in_celsius(hold.sensor_K)));
  // From the start on powder and reading rose together.
  const double wish = hold.set_K,
               enter = solver::first_entry_K(problem.initial_temperature, wish, hold.powder->mean_K, wish);
  return paragraph(text + "." + (furnace ? on_arrival(hold) : "") + " " + given_words(*given, problem)) +
         paragraph(fmt::format(
             "To bring the powder mean to {:.0f} degC, enter {:.0f} degC instead of {:.0f} degC (first "
             "estimate, as if powder and reading rose in proportion; run again with this value).",
             cases::in_celsius(wish), cases::in_celsius(enter), cases::in_celsius(wish)));
}

/// Each body of several.
std::string bodies(const solver::HoldSummary& hold) {
  std::string text;
  for (const solver::BodySummary& body : hold.powders) {
    text += line(
        body.name + ", mean",
        degrees(body.value.mean_K) +
            (body.offset_mean_K ? fmt::format("   ({:+.1f} K to the reading)", *body.offset_mean_K) : ""));
    text += line(body.name + ", centre", degrees(body.value.centre_K));
    text += line(body.name + ", coldest / hottest",
                 degrees(body.value.min_K) + " / " + degrees(body.value.max_K));
  }
  return text;
}

std::string hold_temperatures(const solver::HoldSummary& hold, const std::string& sensor, bool furnace) {
  std::string text;
  if (!sensor.empty()) {
    text += line(sensor + " reads", degrees(hold.sensor_K));
    const bool pyrometer = !furnace && hold.sensors[static_cast<std::size_t>(hold.control_sensor)].pyrometer;
    if (!furnace)
      text += line(pyrometer ? "surface in its spot" : "material at its junction",
                   degrees(hold.sensor_material_K));
  }
  if (hold.powder) {
    const bool several = hold.powders.size() > 1;
    text += line(several ? "powder, mean of all bodies" : "powder, mean", degrees(hold.powder->mean_K));
    text += line("powder, centre", degrees(hold.powder->centre_K));
    if (!std::isnan(hold.powder->edge_K))
      text += line("powder, edge at mid-height", degrees(hold.powder->edge_K));
    if (!std::isnan(hold.powder->inner_edge_K))
      text += line("powder, inner edge at mid-height", degrees(hold.powder->inner_edge_K));
    text +=
        line("powder, coldest / hottest", degrees(hold.powder->min_K) + " / " + degrees(hold.powder->max_K));
    if (several) text += bodies(hold);
  }
  return text;
}

/// The terms of the offset, the largest first.
std::string ranked_parts(const solver::HoldSummary& hold) {
  std::vector<solver::OffsetTerm> terms(solver::offset_terms.begin(), solver::offset_terms.end());
  std::stable_sort(terms.begin(), terms.end(), [&](const auto& x, const auto& y) {
    return std::abs((*hold.parts).*x.value) > std::abs((*hold.parts).*y.value);
  });
  std::string text =
      hold.drift ? line("why, largest first", "   mean    start to end") : "  why, largest first\n";
  for (const solver::OffsetTerm& term : terms) {
    const double value = (*hold.parts).*term.value;
    const double change = hold.drift ? hold.drift->change.*term.value : 0.0;
    if (value == 0.0 && change == 0.0) continue;
    text += line(std::string("  ") + term.words,
                 difference(value) + (hold.drift ? fmt::format("{:>+15.1f} K", change) : ""));
  }
  return text;
}

/// What each sensor of several has and shows.
std::string sensor_table(const solver::HoldSummary& hold) {
  if (hold.sensors.empty() || (hold.sensors.size() == 1 && hold.control_sensor == 0)) return {};
  std::string text = fmt::format("\n  {:<28}{:>12}{:>16}{:>17}{:>18}\n", "sensors, means of the hold",
                                 "reads", "at its place", "place - reading", "powder - reading");
  for (const solver::SensorSummary& sensor : hold.sensors) {
    const std::string name = sensor.name + (sensor.controls ? " (controls)" : "");
    text += fmt::format("  {:<28}", name);
    if (!sensor.in_sight) {
      text += fmt::format("{:>12}{:>11.1f} degC{:>12}\n", "sees nothing",
                          cases::in_celsius(sensor.material_K), "");
      continue;
    }
    text +=
        fmt::format("{:>7.1f} degC{:>11.1f} degC{:>17}", cases::in_celsius(sensor.reading_K),
                    cases::in_celsius(sensor.material_K), difference(sensor.material_K - sensor.reading_K));
    if (sensor.offset_mean_K) text += fmt::format("{:>18}", difference(*sensor.offset_mean_K));
    text += "\n";
  }
  if (const auto widest =
          std::minmax_element(hold.sensors.begin(), hold.sensors.end(),
                              [](const auto& a, const auto& b) { return a.reading_K < b.reading_K; });
      hold.powder && widest.second->reading_K - widest.first->reading_K >= 1.0)
    text += paragraph(fmt::format(
        "The same powder at the same moment: {} shows {:.0f} degC, {} {:.0f} degC. A programme that is right "
        "for one is wrong for the other by the difference.",
        widest.first->name, cases::in_celsius(widest.first->reading_K), widest.second->name,
        cases::in_celsius(widest.second->reading_K)));
  return text;
}

std::string hold_offset(const solver::HoldSummary& hold, bool furnace) {
  if (!hold.offset_mean_K) return {};
  std::string text = "\n" + line("offset, powder mean - reading", difference(*hold.offset_mean_K));
  const solver::SensorSummary& sensor = hold.sensors[static_cast<std::size_t>(hold.control_sensor)];
  if (!furnace) text += line("  field: powder - material", difference(*hold.offset_field_K));
  if (!furnace)
    text += line("  sensor: material - reading",
                 difference(hold.sensor_error_K) +
                     (hold.parts && hold.parts->stem_K != 0.0
                          ? fmt::format("   (at the most {:.0f} K, bare sheath in vacuum)", hold.stem_bound_K)
                          : ""));
  if (sensor.tolerance_K)
    text += line("  tolerance of a new couple", fmt::format("  +/-{:.1f} K", *sensor.tolerance_K));
  text += line("  at the start / end of the hold",
               difference(*hold.offset_start_K) + " / " + difference(*hold.offset_end_K));
  if (hold.parts) text += ranked_parts(hold);
  if (hold.drift) text += paragraph(drift_sentence("From start to end of the hold", *hold.drift));
  return text;
}

std::string hold_electric(const solver::HoldSummary& hold) {
  std::string text = "\n" + line("current (effective)", fmt::format("{:>7.0f} A", hold.current_A));
  text += line("voltage between the column ends", fmt::format("{:>7.2f} V", hold.voltage_V));
  text += line("power", fmt::format("{:>7.2f} kW", 1e-3 * hold.power_W));
  if (hold.current_share_powder)
    text += line("share of current in the powder",
                 fmt::format("{:>7.1f} % at mid-height", 100.0 * *hold.current_share_powder));
  return text;
}

std::string hold_heat(const solver::HoldSummary& hold) {
  const auto kW = [](double watt) {
    return fmt::format("{:>7.2f} kW", std::abs(watt) < 5.0 ? 0.0 : 1e-3 * watt);  // never "-0.00"
  };
  return "\n" + paragraph("Heated by the furnace: no current.") +
         line("heat taken up through the surface", kW(hold.taken_up_W)) +
         line("  at the start / end of the hold",
              kW(hold.taken_up_start_W) + " / " + kW(hold.taken_up_end_W));
}

static_assert(solver::reported_densities.back() == given_density);

/// Hold by hold.
std::vector<PowderGiven> given_by(const ReportHead& head, const solver::RunResult& result,
                                  const solver::Summary& summary) {
  std::vector<PowderGiven> holds;
  for (const solver::HoldSummary& hold : summary.holds) {
    PowderGiven given;
    given.asked_K = hold.set_K;
    given.length_s = hold.end_s - hold.start_s;
    if (hold.powder) {
      given.mean_K = hold.powder->mean_K;
      given.coldest_K = hold.powder->min_K;
      given.hottest_K = hold.powder->max_K;
    }
    holds.push_back(given);
  }
  std::vector<double> times, means;
  for (const solver::HistoryRow& row : result.rows) {
    times.push_back(row.time_s);
    means.push_back(row.powder ? row.powder->mean_K : PowderGiven::nothing);
  }
  std::vector<Closing> bodies;
  const auto& closing = summary.densification.bodies;
  for (std::size_t k = 0; k < closing.size(); ++k) {
    const std::optional<solver::Reached>& reached = closing[k].reached.back();
    bodies.push_back({closing[k].start, k < head.held.size() && !head.held[k].empty(),
                      reached ? reached->time_s : PowderGiven::nothing});
  }
  add_to_hottest(holds, times, means, dense_time(bodies));
  return holds;
}

std::string answers(const ReportHead& head, const solver::Problem& problem, const solver::RunResult& result,
                    const solver::Summary& summary) {
  std::string text;
  const bool furnace = problem.drive.kind == solver::DriveKind::furnace,
             tracked = furnace || problem.drive.kind == solver::DriveKind::tracking;
  const std::vector<PowderGiven> given = given_by(head, result, summary);
  for (std::size_t k = 0; k < summary.holds.size(); ++k) {
    const solver::HoldSummary& hold = summary.holds[k];
    text += heading(fmt::format("Hold \"{}\", {:.0f} s to {:.0f} s, averages from {:.0f} s on", hold.name,
                                hold.start_s, hold.end_s, hold.settled_from_s));
    const std::string sensor =
        hold.control_sensor >= 0 ? hold.sensors[static_cast<std::size_t>(hold.control_sensor)].name : "";
    text += hold_answer(hold, tracked ? std::optional(given[k]) : std::nullopt, problem) +
            hold_temperatures(hold, sensor, furnace) + sensor_table(hold);
    text += hold_offset(hold, furnace) + (furnace ? hold_heat(hold) : hold_electric(hold));
  }
  const solver::Peak& peak = summary.peak;
  text += heading("Hottest in the whole run");
  if (peak.powder_max_K)
    text += line("powder", fmt::format("{} at {:.0f} s", degrees(*peak.powder_max_K), peak.powder_time_s));
  text += line("tooling",
               fmt::format("{} at {:.0f} s, in {} (r {:.1f} mm, z {:.1f} mm)", degrees(peak.tool_max_K),
                           peak.tool_time_s, peak.tool_part, 1e3 * peak.tool_r, 1e3 * peak.tool_z));
  return text;
}

std::string trust(const ReportHead& head, const solver::Problem& problem, const solver::RunResult& result) {
  const double charge = result.ledger.charge_balance_relative(),
               energy = result.ledger.energy_balance_relative();
  std::string text = heading("How far to trust the numbers");
  text += line("energy balance", fmt::format("{:.1e} of the energy delivered{}", energy,
                                             energy <= 1e-8 ? "" : "   NOT CLOSED"));
  if (problem.drive.kind != solver::DriveKind::furnace)
    text += line("charge balance", fmt::format("{:.1e} of the largest current{}", charge,
                                               charge <= 1e-8 ? "" : "   NOT CLOSED"));
  text += line("accuracy asked for",
               fmt::format("{:g} K of numerical error in the holds (data come on top)", head.accuracy));
  if (!head.calibrated_on.empty()) text += paragraph(fmt::format("Calibrated on {}.", head.calibrated_on));
  const char* half = problem.half ? " (mirror image: the upper half was solved)" : "";
  text += line("grid", fmt::format("{} cells{}", problem.mesh.n_cells(), half));
  text += line("time", fmt::format("{} steps, {} rejected", result.counts.steps, result.counts.rejected));
  return text;
}

/// The weakest input first, with what it does to the answer.
std::string lateral_warning(const ReportHead& head, const solver::Problem& problem,
                            const solver::Summary& summary) {
  if (!(head.lateral_heat_total > 0.0)) return {};
  std::string text = head.lateral_factor ? fmt::format(
                                               "The lateral contact (die to punch and powder): {:.3g} kW/m2K "
                                               "in all, by the calibration known "
                                               "to a factor of {:.2f}.",
                                               1e-3 * head.lateral_heat_total, *head.lateral_factor)
                                         : fmt::format(
                                               "The lateral contact (die to punch and powder) is the weakest "
                                               "input: {:.3g} kW/m2K in all was "
                                               "assumed, known to a factor of 3.",
                                               1e-3 * head.lateral_heat_total);
  if (!problem.fits.empty()) {
    text +=
        " It follows pressure and temperature here, by a stiffness and a fit of the foil that have no "
        "source: "
        "compare with a run without `follow conditions`.";
  } else if (!summary.holds.empty() && summary.holds.back().parts) {
    const double term = summary.holds.back().parts->lateral_contact_K;
    const bool matters =
        problem.drive.kind == solver::DriveKind::furnace ? std::abs(term) >= solver::as_hot_K : term != 0.0;
    if (matters && head.lateral_factor)
      text += fmt::format(
          " Its own part of the offset, {:.0f} K, would be about {:.0f} K with so much more of it and up to "
          "{:.0f} K with so much less (scaled in series, an estimate).",
          term, term / *head.lateral_factor, *head.lateral_factor * term);
    else if (matters)
      text += fmt::format(
          " Its own part of the offset, {:.0f} K, would be about {:.0f} K with three times that conductance "
          "and "
          "up to {:.0f} K with a third of it (scaled in series, an estimate; run the case with `contacts:` "
          "changed for the real answer).",
          term, term / 3.0, 3.0 * term);
  }
  return bullet(text);
}

}  // namespace

std::string wrapped(const std::string& text, std::size_t columns, std::size_t indent) {
  std::istringstream words(text);
  std::string out, word;
  std::size_t used = indent;
  while (words >> word) {
    if (!out.empty() && used + 1 + word.size() > columns) {
      out += "\n" + std::string(indent, ' ');
      used = indent;
    } else if (!out.empty()) {
      out += ' ';
      ++used;
    }
    out += word;
    used += word.size();
  }
  return out;
}

std::string cautions() {
  std::string text = heading("Cautions");
  text += bullet(
      "Hot graphite burns in air from about 400 degC and stays hot for long: open the chamber cold. Carbon "
      "monoxide may be present.");
  text += bullet(
      "Kiloamperes, stored force and vacuum: broken die pieces fly under load; keep guards closed and people "
      "with pacemakers away.");
  text += bullet(
      "These are model estimates. The press maker's limits, local codes and licensed practice come first.");
  return text;
}

std::string terminal_report(const ReportHead& head, const solver::Problem& problem,
                            const solver::RunResult& result, const solver::Summary& summary) {
  std::string text;
  text +=
      head.title.empty() ? std::string() : fmt::format("{}   (joulepress {})\n", head.title, head.version);
  if (result.status != solver::RunStatus::completed)
    text += "\n" + paragraph(fmt::format("The run did not complete: status {}. {}",
                                         status_name(result.status), result.reason));
  if (head.strength && head.strength->worst && !head.strength->holds())
    text += paragraph(strength_answer(*head.strength, result.frame));
  text += held_lines(head, summary) + answers(head, problem, result, summary) +
          control_section(problem, result, head.gains) + limited_section(result, head.needs) +
          density_section(head, result, summary) + stroke_section(problem, result, summary);
  if (head.strength) text += strength_section(*head.strength, problem, result.frame);
  text += trust(head, problem, result) + heat_balance(result, summary);
  text += heading("Warnings") + lateral_warning(head, problem, summary);
  for (const std::string& warning : head.warnings) text += bullet(warning);
  if (!(head.lateral_heat_total > 0.0) && head.warnings.empty()) text += "none\n";
  text += heading("Not modelled");
  for (const std::string& sentence : head.not_modelled) text += bullet(sentence);
  return text + cautions();
}

}  // namespace joulepress::tools
