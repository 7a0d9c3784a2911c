// Whether the tools hold: sentence, figure, tables, in the words of the page.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/figures/margin_chart.hpp"
#include "tools/html/markup.hpp"
#include "tools/html/pictures.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"
#include "tools/screen/report_strength.hpp"

namespace joulepress::tools::html {
namespace {

constexpr double least_grip = 1e5;  // Pa, below which a compact is called loose
constexpr const char* cold_case = "push-out";

std::string margin(const Matter& m, double value) {
  std::string text = margin_text(value);
  std::replace(text.begin(), text.end(), '.', m.say.decimal_mark());
  return text;
}

std::string megapascals(const Matter& m, double pressure) {
  return m.say.number(1e-6 * pressure, pressure < 9.95e6 ? 1 : 0) + " MPa";
}

std::string kilonewtons(const Matter& m, double force) {
  return m.say.number(1e-3 * force, force < 9.95e3 ? 1 : 0) + " kN";
}

std::string asked(const Matter& m, const StoredStrength& s) {
  std::string text = fmt::format("{:g}", s.asked);
  std::replace(text.begin(), text.end(), '.', m.say.decimal_mark());
  return text;
}

const char* load_word(const StoredWorst& worst) {
  return worst.tension ? "in tension" : "under pressure";
}

std::string when(const Matter& m, const StoredWorst& worst) {
  if (worst.load_case == cold_case) return m.say("cold");
  return m.say("{} s", m.say.number(worst.time_s));
}

std::vector<std::string> row(const Matter& m, const std::string& first, const std::string& second,
                             const StoredWorst& worst) {
  return {first,
          margin(m, worst.margin),
          second,
          m.say(load_word(worst)),
          megapascals(m, worst.stress_Pa),
          megapascals(m, worst.strength_Pa),
          m.say.celsius(worst.temperature_K),
          when(m, worst)};
}

std::vector<std::string> head(const Matter& m, const char* first, const char* second) {
  return {m.say(first),    m.say("margin"),   m.say(second),  m.say("load"),
          m.say("stress"), m.say("strength"), m.say("there"), m.say("when")};
}

std::string tables(const Matter& m, const StoredStrength& s) {
  Table by_case{
      "strength-cases", m.say("The least margin of every load case"), head(m, "load case", "part"), {}};
  for (const StoredWorst& worst : s.load_cases)
    by_case.rows.push_back(row(m, m.say(worst.load_case), worst.part, worst));
  Table by_part{"strength-parts", m.say("The least margins of every part"), head(m, "part", "load case"), {}};
  const bool chances = std::any_of(s.parts.begin(), s.parts.end(),
                                   [](const StoredStrength::Part& part) { return part.break_chance; });
  if (chances) by_part.columns.push_back(m.say("chance to break"));
  for (const StoredStrength::Part& part : s.parts)
    for (const std::optional<StoredWorst>* worst : {&part.tension, &part.compression}) {
      if (!*worst) continue;
      by_part.rows.push_back(row(m, part.name, m.say((*worst)->load_case), **worst));
      if (!chances) continue;
      std::string chance = worst == &part.tension && part.break_chance
                               ? fmt::format("{:.1g}", *part.break_chance)
                               : std::string("–");
      std::replace(chance.begin(), chance.end(), '.', m.say.decimal_mark());
      by_part.rows.back().push_back(chance);
    }
  std::string text;
  for (const Table* t : {&by_case, &by_part})
    if (!t->rows.empty()) text += table(*t) + csv_button("table:" + t->id, m.say("this table as CSV"));
  if (m.problem.half)
    text += paragraph(m.say("Only the upper half is listed: each part stands for itself and its image."));
  if (chances)
    text += paragraph(m.say(
        "The chance to break is indicative, by Weibull's weakest link at the worst instant of a part."));
  return text;
}

std::string wall(const Matter& m, const StoredStrength::Tube& tube) {
  const double by_heat = tube.computed_hoop_Pa - tube.computed_by_force_Pa;
  std::string text = m.say(
      "Wall of {} at {} s: the largest hoop stress at the bore is {}. The formula of an endless tube says {} "
      "(side pressure {}, outer over inner radius {}). The powder bears on {} % of the height, so that the "
      "force brings {}.",
      tube.part, m.say.number(tube.time_s), megapascals(m, tube.computed_hoop_Pa),
      megapascals(m, tube.formula_hoop_Pa), megapascals(m, tube.side_pressure_Pa),
      m.say.number(tube.ratio, 2), m.say.number(100.0 * tube.pressed_share_of_height),
      megapascals(m, tube.computed_by_force_Pa));
  return paragraph(text + " " +
                   m.say(by_heat >= 0.0 ? "Growth by heat adds {}." : "Growth by heat takes off {}.",
                         megapascals(m, std::abs(by_heat))));
}

std::string gripped(const Matter& m, const StoredStrength::Grip& grip) {
  const auto& powders = m.problem.powders;
  const bool ring = !powders.empty() && m.problem.mesh.layout[powders.front().block].r_inner > 0.0;
  const bool by_die = grip.cold_Pa >= least_grip, on_core = ring && grip.cold_on_core_Pa >= least_grip;
  std::string text = m.say("From {} on ({} s) the compact is taken as solid.",
                           m.say.celsius(grip.solid_from_K), m.say.number(grip.solid_from_s)) +
                     " ";
  text += by_die ? m.say("Cold it is gripped by the die with {} (at most {}).", megapascals(m, grip.cold_Pa),
                         megapascals(m, grip.cold_largest_Pa))
                 : m.say(on_core ? "It shrinks away from the die."
                                 : "It shrinks away from the die and lies free.");
  if (ring)
    text += " " + (on_core ? m.say("On its core it presses with {}.", megapascals(m, grip.cold_on_core_Pa))
                           : m.say("Its core is loose."));
  if (by_die || on_core)
    text += " " + m.say("Pushing it out takes about {}, {} on the punch.", kilonewtons(m, grip.push_out_N),
                        megapascals(m, grip.push_out_on_punch_Pa));
  if (grip.cold_margin && (by_die || on_core))
    text += " " + m.say("The least margin then is {}.", margin(m, *grip.cold_margin));
  return paragraph(text);
}

std::string largest(const Matter& m, const StoredStrength& s) {
  std::string text;
  for (const StoredStrength::Force& force : s.largest) {
    const std::string amount = kilonewtons(m, force.force_N);
    if (force.pressure_Pa > 0.0)
      text += (text.empty() ? "" : " ") +
              (force.hot
                   ? m.say("Largest force for a margin of {}, hot, as at {} s: {}, {} on the powder.",
                           asked(m, s), m.say.number(force.time_s), amount, megapascals(m, force.pressure_Pa))
                   : m.say("Largest force for a margin of {}, cold: {}, {} on the powder.", asked(m, s),
                           amount, megapascals(m, force.pressure_Pa)));
    else
      text += (text.empty() ? "" : " ") +
              (force.hot ? m.say("Largest force for a margin of {}, hot, as at {} s: {}.", asked(m, s),
                                 m.say.number(force.time_s), amount)
                         : m.say("Largest force for a margin of {}, cold: {}.", asked(m, s), amount));
  }
  return text.empty() ? text : paragraph(text);
}

std::string cautions_of_strength(const Matter& m) {
  return bullets(
      {m.say("Brittle tools break without a warning, and the pieces fly: guards closed under load and until "
             "the force is off. Never pull on graphite, never strike it."),
       m.say("A margin of this model is no permission: the limits of the press and tool makers and licensed "
             "practice come first, and the strength is that of the data, not of your piece.")});
}

std::string remarks(const Matter& m, const StoredStrength& s) {
  if (s.remarks.empty()) return {};
  std::vector<std::string> sentences;
  for (const std::string& remark : s.remarks) sentences.push_back(remark + ".");
  return folded(m.say("what is not known, and what was left out"), bullets(m.say, sentences));
}

/// Load cases one after the other; where one ends the next begins.
std::vector<figures::LoadSpan> spans_of(const Matter& m, const StoredStrength& s) {
  std::vector<figures::LoadSpan> spans;
  std::string last;
  for (const StoredStrength::Instant& instant : s.instants) {
    if (instant.load_case == cold_case) continue;
    if (instant.load_case != last) {
      if (!spans.empty()) spans.back().end = instant.time_s;
      spans.push_back({m.say(instant.load_case), instant.time_s, instant.time_s});
    }
    spans.back().end = instant.time_s;
    last = instant.load_case;
  }
  return spans;
}

}  // namespace

std::optional<Picture> strength_picture(const Matter& m) {
  const auto& s = m.results.summary.strength;
  if (!s || !s->worst) return std::nullopt;
  figures::MarginChart chart;
  const std::string caption = m.say(
      "The least margin, strength over stress, of all tools over time; dashed what is asked. A dot is an "
      "instant that was looked at.");
  chart.head = {m.say("Do the tools hold?"), caption, m.say.decimal_mark()};
  for (const StoredStrength::Instant& instant : s->instants) {
    if (instant.load_case == cold_case)
      chart.cold = instant.margin;
    else
      chart.points.push_back({instant.time_s, instant.margin});
  }
  chart.spans = spans_of(m, *s);
  chart.asked = s->asked;
  chart.value_label = m.say("least margin");
  chart.time_label = m.say("time in s");
  chart.asked_name = m.say("asked: {}", asked(m, *s));
  chart.breaks_name = m.say("breaks");
  chart.cold_name = m.say("cold");
  if (chart.cold) chart.cold_text = margin(m, *chart.cold);
  const std::string svg = figures::margin_chart(chart);
  if (svg.empty()) return std::nullopt;
  Numbers numbers{{m.say("time in s"), m.say("load case"), m.say("margin")}, {}};
  for (const StoredStrength::Instant& instant : s->instants)
    numbers.rows.push_back({m.say.number(instant.time_s, 1), m.say(instant.load_case),
                            std::isfinite(instant.margin) ? m.say.number(instant.margin, 3) : "–"});
  return Picture{"strength", caption, svg, std::move(numbers)};
}

std::string strength_sentence(const Matter& m) {
  const auto& s = m.results.summary.strength;
  if (!s || !s->worst) return {};
  const StoredWorst& w = *s->worst;
  const char* verdict = s->holds()       ? "The tools hold: least margin {} (asked {})."
                        : w.margin < 1.0 ? "Something BREAKS by this model: least margin {} (asked {})."
                                         : "The tools do NOT hold with the margin asked for: least margin {} "
                                           "(asked {}).";
  return m.say(verdict, margin(m, w.margin), asked(m, *s));
}

std::string strength_section(const Matter& m, int figure_number) {
  const auto& s = m.results.summary.strength;
  if (!s) return {};
  const std::string title = m.say("Do the tools hold?");
  if (!s->worst) {
    const std::string why = s->refused.empty() ? std::string("the strength of no tool is known") : s->refused;
    const auto known = m.say.known(why);
    return section(
        "strength", title,
        fmt::format("<p>{} <span{}>{}.</span></p>\n", svg::escaped(m.say("Not judged:")),
                    known ? "" : " lang=\"en\"", svg::escaped(known ? *known : std::string_view(why))) +
            remarks(m, *s));
  }
  const StoredWorst& w = *s->worst;
  const double mm = 1e3 * w.z_from_middle_of_part_m;
  std::string text = paragraph(strength_sentence(m));
  text += paragraph(
      m.say("The worst place: {} {}, {} of {}, at {}, {}, {}; r {} mm, {} mm from its middle in height.",
            w.part, m.say(load_word(w)), megapascals(m, w.stress_Pa), megapascals(m, w.strength_Pa),
            m.say.celsius(w.temperature_K), m.say(w.load_case), when(m, w), m.say.number(1e3 * w.r_m, 1),
            m.say.signed_number(mm, 1)));
  if (const std::optional<Picture> picture = strength_picture(m))
    text += numbered_figure(m, *picture, figure_number);
  text += tables(m, *s) + largest(m, *s);
  if (s->tube) text += wall(m, *s->tube);
  if (s->grip) text += gripped(m, *s->grip);
  return section("strength", title, text + remarks(m, *s) + cautions_of_strength(m));
}

}  // namespace joulepress::tools::html
