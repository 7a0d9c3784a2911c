#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "tools/html/markup.hpp"
#include "tools/html/sections.hpp"
#include "tools/page/svg.hpp"
#include "tools/screen/material_words.hpp"

namespace joulepress::tools::html {
namespace {

using svg::escaped;

std::string power_of_ten(const Matter& m, double value) {
  std::string text = fmt::format("{:.1e}", value);
  std::replace(text.begin(), text.end(), '.', m.say.decimal_mark());
  return text;
}

/// Lowest and highest temperature of a material at the outputs [K].
std::pair<double, double> visited(const Matter& m, std::size_t material) {
  std::pair<double, double> range{INFINITY, -INFINITY};
  const std::size_t n = m.results.cells.part.size();
  for (std::size_t k = 0; k < n; ++k) {
    if (m.problem.parts[m.results.cells.part[k]].material != static_cast<int>(material)) continue;
    for (std::size_t output = 0; output < m.fields.times.size(); ++output) {
      const double T = m.fields.temperature[output * n + k];
      range = {std::min(range.first, T), std::max(range.second, T)};
    }
  }
  return range;
}

std::string range_text(const Matter& m, double low, double high) {
  if (!std::isfinite(low) || !std::isfinite(high)) return m.say("constant");
  return m.say("{} to {} °C", m.say.number(low - 273.15), m.say.number(high - 273.15));
}

/// Strengths take no part in a run that does not judge its tools.
bool used(const Matter& m, const ShownProperty& shown) {
  const bool strength = shown.name == "compressive strength" || shown.name == "flexural strength" ||
                        shown.name == "tensile strength" || shown.name == "Poisson ratio";
  return !strength || (m.results.summary.strength && m.results.summary.strength->worst);
}

std::string property_name(const Matter& m, const ShownProperty& shown) {
  const auto known = m.say.known(shown.name);
  const std::string name(known ? *known : std::string_view(shown.name));
  return shown.unit.empty() ? name : fmt::format("{} [{}]", name, shown.unit);
}

Table curves_of(const Matter& m, std::size_t index) {
  const materials::Material& material = m.problem.materials[index];
  Table table{
      fmt::format("sources-{}", index), "", {"", m.say("known"), m.say("unsure by"), m.say("source")}, {}};
  for (const ShownProperty& shown : shown_properties(material)) {
    if (!used(m, shown)) continue;
    const materials::Property& p = *shown.property;
    table.rows.push_back({property_name(m, shown), range_text(m, p.curve.t_min(), p.curve.t_max()),
                          uncertainty_text(p.uncertainty), p.source});
  }
  for (const materials::Creep& creep : material.creep)
    table.rows.push_back({m.say("creep of the dense solid"), "", "", creep.source});
  if (material.mixture)
    table.rows.push_back({m.say("conduction of the mixture"), "", "", material.mixture->source});
  if (material.oxide_film) table.rows.push_back({m.say("oxide film"), "", "", material.oxide_film->source});
  if (material.gas_in_pores && m.problem.gas)
    table.rows.push_back({m.say("gas in the pores"), "", uncertainty_text(material.gas_in_pores->uncertainty),
                          material.gas_in_pores->source});
  return table;
}

std::string limited(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  std::string text;
  if (s.at_limit_s > 0.0)
    text += paragraph(
        m.say("For {} s a limit of the press held the programme back.", m.say.number(s.at_limit_s, 1)));
  if (s.too_fast_s > 0.0)
    text += paragraph(m.say("For {} s the programme fell faster than the stack cools; the current was off.",
                            m.say.number(s.too_fast_s, 1)));
  return text;
}

/// The logs that the case was calibrated on; empty: none.
std::string calibrated(const Matter& m) {
  if (!m.c.calibration) return {};
  std::string logs;
  for (const cases::CalibrationLog& log : m.c.calibration->logs) {
    std::string began = log.began;
    std::replace(began.begin(), began.end(), 'T', ' ');
    logs += (logs.empty() ? "" : ", ") + (began.empty() ? log.file : m.say("{} (began {})", log.file, began));
  }
  return paragraph(m.say("Calibrated on {}.", logs));
}

}  // namespace

std::string trust_section(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  Table balances{"trust-table", "", {}, {}};
  balances.rows.push_back(
      {m.say("energy balance, of the energy delivered"), power_of_ten(m, s.energy_balance_relative)});
  if (!m.furnace())
    balances.rows.push_back(
        {m.say("charge balance, of the largest current"), power_of_ten(m, s.charge_balance_relative)});
  balances.rows.push_back(
      {m.say("numerical error aimed at in the holds"), m.say.number(m.c.accuracy, 2) + " K"});
  balances.rows.push_back({m.say("cells"), m.say.number(s.cells)});
  balances.rows.push_back({m.say("steps of time"), m.say.number(s.steps)});
  std::string text = table(balances) + limited(m) + calibrated(m);
  text += fmt::format("<h3>{}</h3>\n", escaped(m.say("Warnings")));
  text += s.warnings.empty() ? paragraph(m.say("none")) : bullets(m.say, s.warnings);
  text += fmt::format("<h3>{}</h3>\n", escaped(m.say("Not modelled")));
  return section("trust", m.say("How far to trust it"), text + bullets(m.say, s.not_modelled));
}

std::string sources_section(const Matter& m) {
  std::string text =
      paragraph(m.say("Every curve that the run used, where it is known, and where its numbers come from. "
                      "Outside its range a curve holds its end value."));
  for (std::size_t k = 0; k < m.problem.materials.size(); ++k) {
    const auto [low, high] = visited(m, k);
    if (!(low <= high)) continue;
    text += fmt::format("<h3>{}</h3>\n", escaped(m.problem.materials[k].name));
    text += paragraph(m.say("At the outputs it had {}.", range_text(m, low, high)));
    const Table curves = curves_of(m, k);
    text += table(curves) + csv_button("table:" + curves.id, m.say("this table as CSV"));
  }
  return section("sources", m.say("Where the numbers come from"), folded(m.say("curves and sources"), text));
}

std::string methods_section(const Matter& m) {
  const StoredSummary& s = m.results.summary;
  std::string text = m.say(
      "The coupled electric, thermal and densification problem of the axisymmetric stack was solved with "
      "joulepress {} on {} finite-volume cells.",
      s.version, m.say.number(s.cells));
  text += " " + m.say(m.c.two_point_fluxes
                          ? "Fluxes through faces are two-point fluxes."
                          : "Fluxes through faces come from cubics through the cell means along each row.");
  text += " " + m.say(
                    "The march is implicit Runge-Kutta of order 4 with an embedded estimate (Kennedy and "
                    "Carpenter 2003) in {} steps.",
                    m.say.number(s.steps));
  if (!m.problem.beds.empty())
    text += " " + m.say(
                      "Powder closes by power-law creep of its solid in a closed die (the law and its "
                      "constants stand with the sources), its columns together under flat punches.");
  if (m.problem.walls_exchange)
    text += " " + m.say(
                      "Open walls exchange grey diffuse radiation by view factors of axisymmetric rings with "
                      "obstruction, by radiosities (Modest, Radiative Heat Transfer, from memory).");
  text += " " + m.say("The energy balance closed to {} of the energy delivered.",
                      power_of_ten(m, s.energy_balance_relative));
  std::string body = paragraph(text);
  body += paragraph(
      m.say("C. A. Kennedy, M. H. Carpenter: Additive Runge-Kutta schemes for convection-diffusion-reaction "
            "equations. Applied Numerical Mathematics 44 (2003) 139-181 (from memory)."));
  body += paragraph(m.say("Case, SHA-256 of its resolved text: {}", s.case_sha256));
  return section("methods", m.say("For a paper"), body);
}

std::string case_section(const Matter& m) {
  return section(
      "case", m.say("The case"),
      fmt::format("<details><summary>{0}</summary>\n<pre tabindex=\"0\" role=\"group\" "
                  "aria-label=\"{0}\">{1}</pre>\n</details>\n",
                  escaped(m.say("the resolved case, every default inside")), escaped(m.results.case_text)));
}

std::vector<std::string> caution_sentences(const Words& say) {
  return {
      say("Hot graphite burns in air from about 400 °C and stays hot for long: open the chamber cold. "
          "Carbon monoxide may be present."),
      say("Kiloamperes, stored force and vacuum: broken die pieces fly under load; keep guards closed and "
          "people with pacemakers away."),
      say("These are model estimates. The press maker's limits, local codes and licensed practice come "
          "first.")};
}

std::string cautions_section(const Words& say) {
  return section("cautions", say("Cautions"), bullets(caution_sentences(say)));
}

}  // namespace joulepress::tools::html
