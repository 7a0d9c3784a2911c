#include "tools/screen/material_words.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "tools/screen/powder_words.hpp"
#include "tools/screen/report.hpp"

namespace joulepress::tools {
namespace {

using materials::Curve;
using materials::Material;

bool constant(const Curve& curve) {
  return std::isinf(curve.t_min());
}

/// Common range of everything that depends on temperature [K].
std::pair<double, double> common_range(const Material& m) {
  std::pair<double, double> range{0.0, 1e9};
  for (const Curve* curve : {&m.heat_capacity.curve, &m.conductivity.along.curve, &m.resistivity.along.curve})
    if (!constant(*curve))
      range = {std::max(range.first, curve->t_min()), std::min(range.second, curve->t_max())};
  return range;
}

const ShownProperty& least_sure(const std::vector<ShownProperty>& properties) {
  return *std::max_element(properties.begin(), properties.end(), [](const auto& a, const auto& b) {
    return materials::two_sigma_factor(a.property->uncertainty) <
           materials::two_sigma_factor(b.property->uncertainty);
  });
}

std::string short_uncertainty(const materials::Uncertainty& u) {
  switch (u.kind) {
    case materials::Uncertainty::Kind::none:
      break;
    case materials::Uncertainty::Kind::relative:
      return fmt::format("{:.2g} %", 100.0 * u.size);
    case materials::Uncertainty::Kind::factor:
      return fmt::format("factor {:.3g}", u.size);
  }
  return {};
}

/// Room temperature, round hundreds in between, and the end of the range [K].
std::vector<double> sample_temperatures(const Curve& curve) {
  std::vector<double> list;
  const double low = std::max(curve.t_min(), 293.15), high = curve.t_max();
  list.push_back(low);
  for (const double degrees : {200.0, 400.0, 600.0, 800.0, 1000.0, 1200.0, 1500.0, 2000.0, 2500.0})
    if (degrees + 273.15 > low + 50.0 && degrees + 273.15 < high - 50.0) list.push_back(degrees + 273.15);
  list.push_back(high);
  return list;
}

std::string values(const ShownProperty& shown) {
  const Curve& curve = shown.property->curve;
  if (constant(curve))
    return fmt::format("    {:.4g} {} at every temperature\n", curve.value(293.15) / shown.factor,
                       shown.unit);
  std::string degrees = "    degC    ", numbers = fmt::format("    {:<8}", shown.unit);
  for (const double T : sample_temperatures(curve)) {
    degrees += fmt::format("{:>8.0f}", celsius(T));
    numbers += fmt::format("{:>8.4g}", curve.value(T) / shown.factor);
  }
  return degrees + "\n" + numbers + "\n";
}

std::string property_lines(const ShownProperty& shown) {
  const materials::Property& p = *shown.property;
  std::string text = fmt::format("\n  {}\n", shown.name) + values(shown);
  const std::string unsure = uncertainty_text(p.uncertainty);
  if (!unsure.empty()) text += "    unsure by " + unsure + "\n";
  text += "    source: " + wrapped(p.source, 90, 12) + "\n";
  if (!p.note.empty()) text += "    " + wrapped(p.note, 90, 4) + "\n";
  return text;
}

std::string pores_lines(const Material& m) {
  if (!m.gas_in_pores) return {};
  const materials::GasInPores& pores = *m.gas_in_pores;
  std::string text =
      fmt::format("\n  gas in pores of {:.3g} um, {:.3g} times the free gas [W/mK]\n    degC    ",
                  1e6 * pores.pore, pores.factor);
  constexpr std::array degrees{20.0, 400.0, 800.0, 1200.0, 1600.0, 2000.0};
  for (const double t : degrees) text += fmt::format("{:>8.0f}", t);
  for (const char* name : {"argon", "nitrogen"}) {
    const auto gas = materials::gas_named(name);
    text += fmt::format("\n    {:<8}", name);
    for (const double t : degrees)
      text += fmt::format("{:>8.2g}", materials::conductivity_added(pores, *gas, t + 273.15));
  }
  text += "   at 1 bar\n";
  const std::string unsure = uncertainty_text(pores.uncertainty);
  if (!unsure.empty()) text += "    unsure by " + unsure + "\n";
  text += "    source: " + wrapped(pores.source, 90, 12) + "\n";
  if (!pores.note.empty()) text += "    " + wrapped(pores.note, 90, 4) + "\n";
  return text;
}

std::string specimen_text(const materials::Specimen& s) {
  using Loading = materials::Specimen::Loading;
  const auto mm = [](double length) { return fmt::format("{:.4g}", 1e3 * length); };
  if (s.loading == Loading::tension)
    return fmt::format("of the tensile strength, rods of {} mm pulled over {} mm", mm(s.height),
                       mm(s.length));
  const bool four = s.loading == Loading::four_point;
  return fmt::format("of the flexural strength, bars {} x {} mm on {} points, span {}{} mm", mm(s.width),
                     mm(s.height), four ? "four" : "three", four ? mm(s.inner_span) + " in " : "",
                     mm(s.length));
}

std::string scatter_lines(const Material& m) {
  if (!m.weibull) return {};
  const materials::Weibull& w = *m.weibull;
  return fmt::format(
      "\n  scatter {}\n    Weibull modulus {:.3g}, effective volume {:.3g} mm3\n    source: {}\n",
      specimen_text(w.specimen), w.modulus, 1e9 * materials::effective_volume(w.specimen, w.modulus),
      wrapped(w.source, 90, 12));
}

}  // namespace

std::vector<ShownProperty> shown_properties(const Material& m) {
  std::vector<ShownProperty> list{{"density", "kg/m3", 1.0, &m.density},
                                  {"heat capacity", "J/kgK", 1.0, &m.heat_capacity}};
  const auto directional = [&list](const std::string& name, const char* unit, double factor,
                                   const materials::DirectionalProperty& p) {
    list.push_back({name + (p.across ? " along layers" : ""), unit, factor, &p.along});
    if (p.across) list.push_back({name + " across layers", unit, factor, &*p.across});
  };
  directional("heat conductivity", "W/mK", 1.0, m.conductivity);
  directional("resistivity", m.insulator ? "ohm m" : "uohm m", m.insulator ? 1.0 : 1e-6, m.resistivity);
  if (m.emissivity) list.push_back({"emissivity", "", 1.0, &*m.emissivity});
  if (m.compressive_strength) list.push_back({"compressive strength", "MPa", 1e6, &*m.compressive_strength});
  if (m.flexural_strength) list.push_back({"flexural strength", "MPa", 1e6, &*m.flexural_strength});
  if (m.tensile_strength) list.push_back({"tensile strength", "MPa", 1e6, &*m.tensile_strength});
  if (m.expansion) directional("mean expansion from 20 degC", "1e-6/K", 1e-6, *m.expansion);
  if (m.elastic_modulus) list.push_back({"elastic modulus", "GPa", 1e9, &*m.elastic_modulus});
  if (m.poisson_ratio) list.push_back({"Poisson ratio", "", 1.0, &*m.poisson_ratio});
  if (m.yield_strength) list.push_back({"yield strength", "MPa", 1e6, &*m.yield_strength});
  if (m.surface_energy) list.push_back({"surface energy", "J/m2", 1.0, &*m.surface_energy});
  if (m.loose_touch) list.push_back({"loose touch", "ohm m2", 1.0, &*m.loose_touch});
  if (m.seebeck) list.push_back({"Seebeck coefficient", "uV/K", 1e-6, &*m.seebeck});
  return list;
}

std::string uncertainty_text(const materials::Uncertainty& u) {
  switch (u.kind) {
    case materials::Uncertainty::Kind::none:
      break;
    case materials::Uncertainty::Kind::relative:
      return fmt::format("{:.2g} %, one standard deviation", 100.0 * u.size);
    case materials::Uncertainty::Kind::factor:
      return fmt::format("a factor of {:.3g} either way, in 95 of 100 cases", u.size);
  }
  return {};
}

std::string material_lines(const std::vector<Material>& materials) {
  std::string text = fmt::format("{:<26} {:<9} {:>12} {:>9}  {}\n", "material", "carries", "range [degC]",
                                 "melts", "least sure");
  for (const Material& m : materials) {
    const auto [low, high] = common_range(m);
    const ShownProperty worst = least_sure(shown_properties(m));
    text += fmt::format("{:<26} {:<9} {:>12} {:>9}  {}, {}\n", m.name, m.insulator ? "heat only" : "current",
                        fmt::format("{:.0f} to {:.0f}", celsius(low), celsius(high)),
                        m.melting_K ? fmt::format("{:.0f} degC", celsius(*m.melting_K)) : "-", worst.name,
                        short_uncertainty(worst.property->uncertainty));
  }
  return text;
}

std::string materials_table(const std::vector<Material>& materials) {
  return material_lines(materials) +
         "\nThat a material is listed does not mean that it suits your job. One in full:\n"
         "joulepress materials NAME, and with --out FILE.svg as plots.\n";
}

std::string material_page(const Material& m) {
  std::string text = m.name + "\n";
  if (!m.note.empty()) text += "  " + wrapped(m.note, 90, 2) + "\n";
  if (m.insulator) text += "  Taken as an insulator: it carries no current worth the name beside graphite.\n";
  if (m.melting_K) text += fmt::format("  First liquid at {:.0f} degC.\n", celsius(*m.melting_K));
  if (m.carbon_eutectic_K)
    text +=
        fmt::format("  First liquid in touch with carbon at {:.0f} degC.\n", celsius(*m.carbon_eutectic_K));
  for (const ShownProperty& shown : shown_properties(m)) text += property_lines(shown);
  return text + scatter_lines(m) + pores_lines(m) + powder_lines(m);
}

}  // namespace joulepress::tools
