#include "tools/screen/pressing_table.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/beds.hpp"
#include "cases/build_problem.hpp"
#include "cases/reader/units.hpp"
#include "materials/powder.hpp"
#include "tools/screen/powder_words.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

using cases::PowderState;

constexpr std::size_t width = 98;  // characters of a line

/// One value at the three states of the powder; "-" where the start is not known.
std::string three(const std::string& what, const std::optional<double>& start, double end, double dense) {
  return fmt::format("{:<40}{:>12}{:>12.2f}{:>12.2f}\n", what,
                     start ? fmt::format("{:.2f}", cases::in_mm(*start)) : "-", cases::in_mm(end),
                     cases::in_mm(dense));
}

double height_of(const cases::Stack& stack, const std::string& name) {
  for (const mesh::Block& block : stack.layout)
    if (block.name == name) return block.z_top - block.z_bottom;
  return 0.0;
}

std::string heights(const cases::Case& c) {
  const bool known = cases::start_is_known(c);
  const cases::Stack end = cases::stack_of(c), dense = cases::stack_of(c, PowderState::dense),
                     start = known ? cases::stack_of(c, PowderState::preload) : end;
  std::string text = fmt::format("\n{:<40}{:>12}{:>12}{:>12}\n", "cold, mm", "preload", "end", "fully dense");
  for (const cases::ColumnPart& part : c.column) {
    if (!part.powder) continue;
    std::optional<double> first;
    if (known) first = height_of(start, part.name);
    const std::string density =
        part.relative_density ? fmt::format(" ({:.3g} to {:.3g})", *part.relative_density, part.end_density)
                              : fmt::format(" ({:.3g} at the end)", part.end_density);
    text +=
        three(part.name + " high" + density, first, height_of(end, part.name), height_of(dense, part.name));
  }
  const auto last = cases::entries_of(c, PowderState::end), full = cases::entries_of(c, PowderState::dense),
             first = known ? cases::entries_of(c, PowderState::preload) : last;
  for (std::size_t k = 0; k < last.size(); ++k) {
    const std::string& punch = c.column[last[k].punch].name;
    const auto at_start = [&](double value) { return known ? std::optional(value) : std::nullopt; };
    text += three(punch + " free", at_start(first[k].free), last[k].free, full[k].free);
    text += three(punch + " guided in " + c.sleeves[last[k].sleeve].name, at_start(first[k].guided),
                  last[k].guided, full[k].guided);
  }
  return text;
}

/// Whether each powder densifies in the run, or why not and what would let it.
std::string densifies(const cases::Case& c) {
  std::string text;
  for (const cases::ColumnPart& part : c.column) {
    if (!part.powder) continue;
    const std::string reason = cases::held_density_reason(c, part);
    text += wrapped(reason.empty() ? fmt::format("\"{}\" densifies in the run, from {:.3g} on.", part.name,
                                                 *part.relative_density)
                                   : fmt::format("\"{}\" keeps a density of {:.3g} through the run: {}.",
                                                 part.name, part.end_density, reason),
                    width, 0) +
            "\n";
  }
  return text;
}

std::string forces(const cases::Case& c) {
  const auto highest = cases::highest_pressure(c);
  if (!highest) return {};
  const double gauge = cases::force_at(c, *highest), force = cases::force_on_column(c, *highest);
  std::string text = fmt::format(
      "force {:.2f} kN at {:.3g} MPa on the powder{}", 1e-3 * gauge, 1e-6 * *highest,
      c.press.force_limit ? fmt::format(" (the press gives {:.3g} kN)", 1e-3 * *c.press.force_limit)
                          : std::string());
  std::string besides;
  const auto add = [&besides](double value, const char* name) {
    if (value != 0.0)
      besides += fmt::format("{}{:.3g} kN {}", besides.empty() ? "" : " and ", 1e-3 * value, name);
  };
  add(c.press.vacuum_pull, "of vacuum pull");
  add(c.press.moving_weight, "of weight");
  if (!besides.empty()) text += fmt::format("; with {} the column bears {:.2f} kN", besides, 1e-3 * force);
  text += "; pressure in";
  const char* between = " ";
  for (const cases::ColumnPart& part : c.column) {
    if (part.powder && besides.empty()) continue;  // said already
    text += fmt::format("{}{} {:.3g} MPa", between, part.name, 1e-6 * force / cases::cross_section(part));
    between = ", ";
  }
  return wrapped(text, width, 0) + "\n";
}

std::string hold_line(const cases::HoldForecast& hold) {
  if (!hold.problem.empty())
    return wrapped(fmt::format("{}: no steady state was found, {}", hold.name, hold.problem), width, 0) +
           "\n";
  std::string offset = "-";
  if (hold.powder_K && hold.set_K > 0.0) offset = fmt::format("{:+.0f} K", *hold.powder_K - hold.set_K);
  const std::string numbers =
      fmt::format("{:<14}{:>7}{:>9.0f}{:>9.2f}{:>8.2f}{:>8}{:>9}", hold.name,
                  hold.set_K > 0.0 ? fmt::format("{:.0f}", cases::in_celsius(hold.set_K)) : "-",
                  hold.current_A, hold.voltage_V, 1e-3 * hold.power_W,
                  hold.powder_K ? fmt::format("{:.0f}", cases::in_celsius(*hold.powder_K)) : "-", offset);
  const std::string tool =
      fmt::format("{:.0f} in {}", cases::in_celsius(hold.hottest_tool_K), hold.hottest_tool);
  return numbers + (numbers.size() + tool.size() > width ? "\n" + std::string(67, ' ') : "   ") + tool + "\n";
}

std::string ramp_line(const cases::HoldForecast& hold) {
  if (!hold.ramp_power_W) return {};
  return fmt::format("{:<21}{:>9.0f}{:>9.2f}{:>8.2f}\n", "  ramp, its end", *hold.ramp_current_A,
                     *hold.ramp_voltage_V, 1e-3 * *hold.ramp_power_W);
}

/// How sure the times of a powder are, as the end of a sentence.
std::string doubt_of_creep(const cases::ColumnPart& powder, const materials::Material& m) {
  double unsure = 1.0;
  for (const materials::Creep& set : m.creep)
    if (set.uncertainty.kind == materials::Uncertainty::Kind::factor)
      unsure = std::max(unsure, set.uncertainty.size);
  std::string text;
  const double grain = powder.grain.value_or(m.creep.front().grain);
  if (m.creep.front().grain > 0.0) text += fmt::format(" with grains of {:.3g} um", 1e6 * grain);
  if (unsure > 1.0) text += fmt::format("; unsure by a factor of {:.3g}", unsure);
  return text;
}

/// What creep of the dense solid lets one expect of a powder at a temperature and a pressure.
std::string closing(const cases::Case& c, const cases::ColumnPart& powder, double T, double pressure) {
  const materials::Material& m = cases::material_named(c, powder.material);
  const double from = *powder.relative_density;
  const materials::Pressed start{pressure, T, from, powder.grain};
  std::string times;
  for (const double to : {0.95, 0.99})
    if (to > from)
      times += fmt::format("{} to {:.2f} in {}", times.empty() ? "" : " and", to,
                           about(materials::closing_time(m, start, to)));
  if (times.empty()) return {};
  return wrapped(
             fmt::format("Densifying: at {:.0f} degC and {:.3g} MPa {} would go from {:.2f}{}, by creep of "
                         "the dense solid {}{}.",
                         cases::in_celsius(T), 1e-6 * pressure, m.name, from, times,
                         m.densification.law == materials::Densification::Law::closed_die
                             ? "in a closed die"
                             : "and an isostatic law",
                         doubt_of_creep(powder, m)),
             width, 0) +
         "\n";
}

/// The same for every powder that densifies, at the hottest hold; two alike share a sentence.
std::string densifying(const cases::Case& c, const std::vector<cases::HoldForecast>& holds) {
  const auto pressure = cases::highest_pressure(c);
  const cases::HoldForecast* hottest = nullptr;
  for (const cases::HoldForecast& hold : holds)
    if (hold.powder_K && (!hottest || *hold.powder_K > *hottest->powder_K)) hottest = &hold;
  if (!pressure || !hottest) return {};
  std::string text;
  for (const cases::ColumnPart& part : c.column) {
    if (!part.powder || !cases::held_density_reason(c, part).empty()) continue;
    const std::string its = closing(c, part, *hottest->powder_K,
                                    cases::force_on_column(c, *pressure) / cases::cross_section(part));
    if (text.find(its) == std::string::npos) text += its;
  }
  return text;
}

/// What the stack comes to in a furnace when a hold lasts, and how slowly it follows.
std::string furnace_lines(const std::vector<cases::HoldForecast>& holds) {
  std::string text = fmt::format("\n{:<14}{:>9}{:>9}{:>9}{:>12}{:>13}\n", "expected", "furnace", "powder",
                                 "offset", "follows in", "then behind");
  text += fmt::format("{:<14}{:>9}{:>9}{:>9}{:>12}{:>13}\n", "", "degC", "degC", "K", "min", "K");
  for (const cases::HoldForecast& hold : holds) {
    if (!hold.problem.empty()) {
      text += hold_line(hold);
      continue;
    }
    const auto one = [](const std::optional<double>& value, double factor) {
      return value ? fmt::format("{:.0f}", factor * *value) : std::string("-");
    };
    const auto offset_of = [](double kelvin) {
      return fmt::format("{:+.0f}", std::abs(kelvin) < 0.5 ? 0.0 : kelvin);  // never "-0"
    };
    text += fmt::format("{:<14}{:>9.0f}{:>9}{:>9}{:>12}{:>13}\n", hold.name, cases::in_celsius(hold.set_K),
                        hold.powder_K ? fmt::format("{:.0f}", cases::in_celsius(*hold.powder_K)) : "-",
                        hold.powder_K ? offset_of(*hold.powder_K - hold.set_K) : "-",
                        one(hold.follows_s, 1.0 / 60.0), one(hold.behind_K, 1.0));
  }
  return text +
         wrapped(
             "Powder and offset are those of a hold that lasts for ever. Until then the stack is behind the "
             "furnace: at the end of the ramp by about what the last column says, and by a third of "
             "that after every time of the column before it (as if the stack were evenly hot: the powder, "
             "inside, is further behind).",
             width, 0) +
         "\n";
}

}  // namespace

std::string pressing_lines(const cases::Case& c) {
  if (std::none_of(c.column.begin(), c.column.end(),
                   [](const cases::ColumnPart& part) { return part.powder; }))
    return {};
  return heights(c) + densifies(c) + forces(c);
}

std::string forecast_lines(const cases::Case& c, const std::vector<cases::HoldForecast>& holds) {
  if (holds.empty()) return {};
  if (c.programme.by_furnace) return furnace_lines(holds) + densifying(c, holds);
  std::string text = fmt::format("\n{:<14}{:>7}{:>9}{:>9}{:>8}{:>8}{:>9}   {}\n", "expected", "sensor",
                                 "current", "voltage", "power", "powder", "offset", "hottest tool");
  text += fmt::format("{:<14}{:>7}{:>9}{:>9}{:>8}{:>8}{:>9}   {}\n", "", "degC", "A", "V", "kW", "degC", "",
                      "degC");
  for (const cases::HoldForecast& hold : holds) text += hold_line(hold) + ramp_line(hold);
  double widest = 0.0;
  for (const cases::HoldForecast& hold : holds) widest = std::max(widest, hold.current_A);
  std::string densities;
  for (std::size_t k = 0; k < c.column.size(); ++k)
    if (cases::is_punch(c, k) && widest > 0.0)
      densities += fmt::format("{}{} {:.0f} A/cm2", densities.empty() ? " Largest current density: " : ", ",
                               c.column[k].name, cases::current_density(c.column[k], widest));
  return text +
         wrapped(
             "A coarse, steady estimate: on the shipped cases within 2 % of the current and 3 % of the "
             "offset "
             "of the full run where the hold is long enough, and of the end of its ramp." +
                 densities + (densities.empty() ? "" : "."),
             width, 0) +
         "\n" + densifying(c, holds);
}

std::vector<std::string> doubts(const cases::Case& c, const solver::Problem& p,
                                const std::vector<cases::HoldForecast>& holds) {
  std::vector<std::string> sentences = cases::gap_warnings(c, p);
  for (const auto& list : {cases::doubts_of(c), cases::doubts_of(c, holds)})
    for (const cases::Doubt& doubt : list) sentences.push_back(doubt.sentence);
  return sentences;
}

std::string doubt_lines(const cases::Case& c, const solver::Problem& p,
                        const std::vector<cases::HoldForecast>& holds) {
  std::vector<std::string> sentences = doubts(c, p, holds);
  for (const cases::Doubt& doubt : cases::doubts_of_data(c, holds)) sentences.push_back(doubt.sentence);
  if (sentences.empty()) return "\nNothing doubtful was found.\n";
  std::string text = "\nlook again at\n";
  for (const std::string& sentence : sentences) text += "- " + wrapped(sentence, width, 2) + "\n";
  return text;
}

}  // namespace joulepress::tools
