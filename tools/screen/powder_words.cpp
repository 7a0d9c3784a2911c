#include "tools/screen/powder_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "materials/powder.hpp"
#include "solver/problem.hpp"
#include "tools/screen/material_words.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

using materials::Creep;
using materials::Material;

constexpr double longest = 360000.0;     // s; beyond 100 h nobody waits
constexpr double powder_warm = 1273.15;  // K
constexpr std::size_t width = 90;        // characters of a line

/// Uncertainty, source and note, the end of every paragraph.
std::string foundation(const std::string& what, const materials::Uncertainty& uncertainty,
                       const std::string& source, const std::string& note) {
  const std::string unsure = uncertainty_text(uncertainty);
  std::string text;
  if (!unsure.empty()) text += fmt::format("    {} unsure by {}\n", what, unsure);
  text += "    source: " + wrapped(source, width, 12) + "\n";
  if (!note.empty()) text += "    " + wrapped(note, width, 4) + "\n";
  return text;
}

std::string mixture_lines(const Material& m) {
  if (!m.mixture) return {};
  const materials::Mixture& mixture = *m.mixture;
  const std::string what = fmt::format(
      "{:.3g} % by volume of {} in {}; the current percolates where the conducting grains fill {:.3g} % of "
      "the whole, "
      "pores included, which is at a relative density of {:.2f}{}.",
      100 * mixture.fraction, mixture.conducting, mixture.insulating, 100 * mixture.threshold,
      mixture.threshold / mixture.fraction, mixture.threshold < mixture.fraction ? "" : ", so never");
  return "\n  mixture\n    " + wrapped(what, width, 4) + "\n";
}

/// "bruggeman", "montes, exponent 1.5, tap density 0.4".
std::string law_name(const materials::PorousLaw& law) {
  using Kind = materials::PorousLaw::Kind;
  std::string text = name_of(law.kind);
  if (law.kind == Kind::power || law.kind == Kind::montes || law.kind == Kind::mclachlan)
    text += fmt::format(", exponent {:.3g}", law.exponent);
  if (law.kind == Kind::argento_bouvard || law.kind == Kind::montes)
    text += fmt::format(", tap density {:.3g}", law.tap_density);
  if (law.kind == Kind::mclachlan) text += fmt::format(", threshold {:.3g}", law.threshold);
  return text;
}

/// What porosity costs; without a reason nobody has chosen the laws.
std::string porous_lines(const Material& m) {
  if (m.porous.reason.empty()) return {};
  std::string densities = "    relative density          ", heat = "    heat, part of the dense    ",
              current = "    current, part of the dense ";
  for (const double D : {0.5, 0.6, 0.7, 0.8, 0.9, 0.95}) {
    densities += fmt::format("{:>9.2f}", D);
    heat += fmt::format("{:>9.2g}", materials::relative_conductivity(m.porous.heat, D));
    current += fmt::format("{:>9.2g}", m.resistivity.along.curve.value(powder_warm) /
                                           materials::powder_resistivity(m, powder_warm, D, 0.0));
  }
  const std::string of_current =
      m.mixture ? "that of the mixture, here at 1000 degC" : law_name(m.porous.current);
  return fmt::format("\n  powder: how it conducts\n    heat: {}; current: {}\n{}\n{}\n{}\n    reason: {}\n",
                     law_name(m.porous.heat), of_current, densities, heat, current,
                     wrapped(m.porous.reason, width, 12));
}

std::string film_lines(const Material& m) {
  if (!m.oxide_film) return {};
  const materials::OxideFilm& film = *m.oxide_film;
  const std::string what = fmt::format(
      "{:.3g} uohm m in series with the powder; goes for good as the hottest temperature met rises from "
      "{:.0f} to "
      "{:.0f} degC.",
      1e6 * film.resistivity, celsius(film.gone_from), celsius(film.gone_to));
  return "\n  oxide film between the grains\n    " + wrapped(what, width, 4) + "\n" +
         foundation("resistivity", film.uncertainty, film.source, film.note);
}

bool isostatic(const Material& m) {
  return m.densification.law != materials::Densification::Law::closed_die;
}

std::string law_words(const materials::Densification& d) {
  if (d.law == materials::Densification::Law::closed_die) return "axial load in a closed die";
  return fmt::format(
      "{} from a tap density of {:.3g} on, an isostatic law: it takes the axial stress for a "
      "pressure from all sides",
      name_of(d.law), d.tap_density);
}

std::string law_lines(const Material& m) {
  if (m.densification.reason.empty()) return {};
  return "\n  densification of the powder\n    " + wrapped(law_words(m.densification) + ".", width, 4) +
         "\n    reason: " + wrapped(m.densification.reason, width, 12) + "\n";
}

/// How long a powder would take: what the constants mean at the press.
std::string densification_lines(const Material& m) {
  constexpr double pressure = 50e6;  // Pa
  const double top = m.melting_K.value_or(3000.0) - 20.0;
  const double from = std::max(0.6, m.densification.tap_density + materials::nearest_to_tap);
  std::string degrees = "    degC    ", most = "    to 0.95 ", all = "    to 0.99 ";
  for (int hundreds = 4; 100.0 * hundreds < std::min(top, 3300.0) - 273.15; hundreds += 2) {
    const double T = 100.0 * hundreds + 273.15;
    const materials::Pressed start{pressure, T, from, std::nullopt};
    const double nearly = materials::closing_time(m, start, 0.95),
                 dense = materials::closing_time(m, start, 0.99);
    if (nearly >= longest || dense < 1.0) continue;
    degrees += fmt::format("{:>9.0f}", celsius(T));
    most += fmt::format("{:>9}", about(nearly));
    all += fmt::format("{:>9}", about(dense));
  }
  std::string text = fmt::format("a powder at 50 MPa{}, from {:.2f} on",
                                 isostatic(m) ? " by the isostatic law" : " in a closed die", from);
  if (const Creep& c = m.creep.front(); c.grain > 0.0)
    text += fmt::format(", with grains of {:.3g} um (grains of a tenth: {:.0f} times faster)", 1e6 * c.grain,
                        std::pow(10.0, c.grain_exponent));
  return "    " + wrapped(text + ":", width, 4) + "\n" + degrees + "\n" + most + "\n" + all + "\n";
}

std::string set_line(const Creep& c) {
  std::string text = fmt::format("    {}, stress exponent {:.3g}, activation energy {:.0f} kJ/mol",
                                 c.law == Creep::Law::dislocation ? "dislocations" : "measured", c.exponent,
                                 1e-3 * c.activation_energy);
  if (c.up_to_density < 1.0) text += fmt::format(", up to a relative density of {:.3g}", c.up_to_density);
  return text + "\n";
}

std::string creep_lines(const Material& m) {
  if (m.creep.empty()) return {};
  std::string text = "\n  creep of the dense solid\n";
  if (m.creep.size() == 1) text += set_line(m.creep.front()) + densification_lines(m);
  for (const Creep& c : m.creep) {
    if (m.creep.size() > 1) text += set_line(c);
    text += foundation("rate", c.uncertainty, c.source, c.note);
  }
  if (m.creep.size() > 1) text += densification_lines(m);
  return text;
}

}  // namespace

double celsius(double kelvin) {
  return std::round(kelvin - solver::zero_celsius) + 0.0;
}

std::string about(double seconds) {
  if (seconds < 1.0) return "< 1 s";
  if (seconds < 120.0) return fmt::format("{:.0f} s", seconds);
  if (seconds < 7200.0) return fmt::format("{:.0f} min", seconds / 60.0);
  if (seconds < longest) return fmt::format("{:.0f} h", seconds / 3600.0);
  return "> 100 h";
}

std::string powder_lines(const Material& m) {
  return mixture_lines(m) + porous_lines(m) + film_lines(m) + law_lines(m) + creep_lines(m);
}

}  // namespace joulepress::tools
