#include "tools/screen/report_strength.hpp"

#include <algorithm>
#include <cmath>

#include "tools/screen/report_lines.hpp"
#include "tools/store/strength_json.hpp"

namespace joulepress::tools {
namespace {

constexpr std::size_t widest_part = 24;
constexpr double least_grip = 1e5;  // Pa, below which a compact is called loose

std::string megapascals(double pressure) {
  return fmt::format("{:.{}f} MPa", 1e-6 * pressure, pressure < 9.95e6 ? 1 : 0);
}

std::string kilonewtons(double force) {
  return fmt::format("{:.{}f} kN", 1e-3 * force, force < 9.95e3 ? 1 : 0);
}

std::string celsius(double kelvin) {
  return fmt::format("{:.0f} degC", cases::in_celsius(kelvin));
}

const std::string& name_of(int part, const solver::HistoryFrame& frame) {
  return frame.part_names.at(static_cast<std::size_t>(part));
}

const char* load_of(const solid::Worst& worst) {
  return worst.tension ? "in tension" : "under pressure";
}

std::string when_of(const solid::Worst& worst) {
  if (worst.load_case == solid::LoadCase::push_out) return "pushed out cold";
  return fmt::format("{}, {:.0f} s", load_case_name(worst.load_case), worst.time_s);
}

std::string place_of(const solid::Spot& spot) {
  const double mm = cases::in_mm(spot.z);
  const std::string height = std::abs(mm) < 0.05 ? "at its middle in height"
                                                 : fmt::format("{:.1f} mm {} its middle in height",
                                                               std::abs(mm), mm > 0.0 ? "above" : "below");
  return fmt::format("r {:.1f} mm, {}", cases::in_mm(spot.r), height);
}

std::string clipped(const std::string& name) {
  return name.size() <= widest_part ? name : name.substr(0, widest_part - 3) + "...";
}

std::string case_table(const solid::Strength& s, const solver::HistoryFrame& frame) {
  std::string text = fmt::format("  {:<11}{:>7}  {:<25}{:<15}{:>9}{:>10}{:>10}{:>9}\n", "load case", "margin",
                                 "part", "", "stress", "strength", "there", "when");
  for (const auto& worst : s.cases) {
    if (!worst) continue;
    const bool cold = worst->load_case == solid::LoadCase::push_out;
    text +=
        fmt::format("  {:<11}{:>7}  {:<25}{:<15}{:>9}{:>10}{:>10}{:>9}\n", load_case_name(worst->load_case),
                    margin_text(worst->spot.margin()), clipped(name_of(worst->part, frame)), load_of(*worst),
                    megapascals(worst->spot.stress), megapascals(worst->spot.strength),
                    celsius(worst->spot.temperature), cold ? "cold" : fmt::format("{:.0f} s", worst->time_s));
  }
  return text;
}

/// The wall as computed, beside what the usual formula says.
std::string die_wall(const solid::TubeFormula& tube, const solver::HistoryFrame& frame) {
  const double by_heat = tube.computed_Pa - tube.by_force_Pa;
  return paragraph(fmt::format(
      "Wall of \"{}\" at {:.0f} s: the largest hoop stress at the bore is {}. The formula of an endless tube "
      "says {} (side pressure {}, outer over inner radius {:.2f}). The powder bears on {:.0f} % of the "
      "height, so that the force brings {}; growth by heat {} {}.",
      name_of(tube.part, frame), tube.time_s, megapascals(tube.computed_Pa), megapascals(tube.hoop_Pa),
      megapascals(tube.side_pressure_Pa), tube.ratio, 100.0 * tube.height_share,
      megapascals(tube.by_force_Pa), by_heat >= 0.0 ? "adds" : "takes off", megapascals(std::abs(by_heat))));
}

std::string solid_from(const solid::Lock& lock) {
  const std::string from = fmt::format("From {} on ({:.0f} s)", celsius(lock.temperature_K), lock.time_s);
  switch (lock.found) {
    case solid::Lock::Found::by_creep:
      return from + " the compact is solid";
    case solid::Lock::Found::hot_end:
      return from +
             ", where the run ends and it still creeps, the compact is taken as solid (cooled more slowly "
             "it would be gripped less)";
    case solid::Lock::Found::no_creep:
      break;
  }
  return from +
         ", the end of its highest temperature, the compact is taken as solid, the worst there is: how it "
         "creeps is not known";
}

std::string gripped(const solid::GripJudged& grip, bool ring) {
  std::string text = solid_from(grip.lock) + "; ";
  const bool by_die = grip.cold_Pa >= least_grip, on_core = ring && grip.cold_core_Pa >= least_grip;
  if (by_die)
    text += fmt::format("cold it is gripped with {} (at most {})", megapascals(grip.cold_Pa),
                        megapascals(grip.cold_largest_Pa));
  else
    text += on_core ? "it shrinks away from the die" : "it shrinks away from the die and lies free";
  if (ring)
    text += on_core ? fmt::format("{} on its core it presses with {}", by_die ? "," : ", but",
                                  megapascals(grip.cold_core_Pa))
                    : ", and its core is loose";
  if (!by_die && !on_core) return paragraph(text + ".");
  return paragraph(fmt::format(
      "{}. Pushing it out takes about {}, {} on the punch; the least margin then is {}. Where the run ends, "
      "at {}, the grip is {}.",
      text, kilonewtons(grip.push_out_N), megapascals(grip.on_punch_Pa), margin_text(grip.margin),
      celsius(grip.at_end_K), megapascals(grip.at_end_Pa)));
}

std::string largest_forces(const solid::Strength& s) {
  std::string text;
  for (const solid::LargestForce& force : s.largest)
    text += line(fmt::format("largest force for {:g}, {}", s.asked, force.hot ? "hot" : "cold"),
                 fmt::format("{:>8}{}{}", kilonewtons(force.force_N),
                             force.pressure_Pa > 0.0
                                 ? fmt::format(", {} on the powder", megapascals(force.pressure_Pa))
                                 : std::string(),
                             force.hot ? fmt::format(", as at {:.0f} s", force.time_s) : std::string()));
  return text;
}

std::string chances(const solid::Strength& s, const solver::HistoryFrame& frame) {
  std::string text;
  for (const solid::PartJudged& part : s.parts)
    if (part.break_chance)
      text += line("  " + name_of(part.part, frame), *part.break_chance < 1e-9
                                                         ? std::string("below 1e-9")
                                                         : fmt::format("{:.1g}", *part.break_chance));
  if (text.empty()) return {};
  return "\n  chance to break, indicative, by Weibull's weakest link, at the worst instant of each\n" + text;
}

std::string strength_cautions() {
  return bullet(
             "Brittle tools break without a warning, and the pieces fly: guards closed under load and until "
             "the force is off. Never pull on graphite, never strike it.") +
         bullet(
             "A margin of this model is no permission: the limits of the press and tool makers and licensed "
             "practice come first, and the strength is that of the data, not of your piece.");
}

}  // namespace

std::string margin_text(double margin) {
  if (!std::isfinite(margin)) return "-";
  if (margin > 100.0) return ">100";  // as good as not loaded
  const int decimals = margin < 1.0 ? 2 : margin < 10.0 ? 1 : 0;
  const double step = std::pow(10.0, decimals);
  return fmt::format("{:.{}f}", std::floor(margin * step * (1.0 + 1e-12)) / step, decimals);
}

std::string strength_answer(const solid::Strength& s, const solver::HistoryFrame& frame) {
  if (!s.worst) return {};
  const solid::Worst& w = *s.worst;
  const char* verdict = s.holds()          ? "The tools hold"
                        : s.margin() < 1.0 ? "Something BREAKS by this model (margin below 1)"
                                           : "The tools do NOT hold with the margin asked for";
  return fmt::format("{}: least margin {} (asked {:g}): {} {}, {} of {}, at {}, {}.", verdict,
                     margin_text(s.margin()), s.asked, name_of(w.part, frame), load_of(w),
                     megapascals(w.spot.stress), megapascals(w.spot.strength), celsius(w.spot.temperature),
                     when_of(w));
}

std::string strength_section(const solid::Strength& s, const solver::Problem& problem,
                             const solver::HistoryFrame& frame) {
  std::string text = heading("Do the tools hold?");
  if (!s.refused.empty()) return text + paragraph("Not judged: " + s.refused + ".");
  if (s.worst) {
    text += paragraph(strength_answer(s, frame)) +
            paragraph("There in the part: " + place_of(s.worst->spot) + ".") + "\n" + case_table(s, frame);
    if (problem.half)
      text += paragraph("Only the upper half is listed: each part stands for itself and its image.");
    text += "\n" + largest_forces(s) + chances(s, frame);
  } else {
    text += paragraph("Not judged: the strength of no tool is known.");
  }
  if (s.formula) text += die_wall(*s.formula, frame);
  if (s.grip) {
    const bool ring =
        !problem.powders.empty() && problem.mesh.layout[problem.powders.front().block].r_inner > 0.0;
    text += gripped(*s.grip, ring);
  }
  for (const std::string& remark : s.remarks) text += bullet(remark + ".");
  return text + strength_cautions();
}

}  // namespace joulepress::tools
