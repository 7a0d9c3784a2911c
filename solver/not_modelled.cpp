#include <fmt/format.h>

#include <algorithm>

#include "solver/march.hpp"
#include "solver/stroke.hpp"

namespace joulepress::solver {
namespace {

std::string listed(const std::vector<std::string>& names) {
  std::string text;
  for (const std::string& name : names) text += (text.empty() ? "" : ", ") + name;
  return text;
}

/// Powders that no bed closes.
std::string held_powders(const Problem& problem) {
  std::vector<std::string> names;
  for (const PowderBody& body : problem.powders)
    if (std::none_of(problem.beds.begin(), problem.beds.end(),
                     [&body](const Bed& bed) { return bed.block == body.block; }))
      names.push_back(body.name);
  return listed(names);
}

/// Whether a run holds the stresses of its tools against their strength.
bool judged(const Problem& problem) {
  return problem.strength.wanted && std::any_of(problem.force.begin(), problem.force.end(),
                                                [](const ForcePoint& at) { return at.force > 0.0; });
}

/// What thermal expansion does not do here, and what of the stresses is left out.
std::vector<std::string> not_of_expansion(const Problem& problem) {
  const bool fits = !problem.fits.empty();
  if (!judged(problem))
    return {fits ? "Thermal expansion beyond the stroke and the pressure of punch and die on each other: it "
                   "closes no other gap and makes no stress; the strength of the tooling is not computed."
                 : "Thermal expansion beyond the stroke: it closes no gap, changes no contact and makes no "
                   "stress; the strength of the tooling is not computed."};
  return {fits ? "In temperature and current: thermal expansion beyond the stroke and the pressure of punch "
                 "and die on each other; it closes no other gap. In the stresses of the tools it counts."
               : "In temperature and current: thermal expansion beyond the stroke; it closes no gap and "
                 "changes no contact. In the stresses of the tools it counts.",
          "Of the strength of the tools: fatigue and damage from before, creep of graphite (above about 2000 "
          "degC), friction where parts slide, keyways, bores of couples, cracks, misalignment, blows. The "
          "strength is that of the material's file, not of your own lot."};
}

bool couple(const Problem& problem) {
  return std::any_of(problem.sensors.begin(), problem.sensors.end(),
                     [](const Sensor& sensor) { return sensor.kind == SensorKind::thermocouple; });
}

/// Thermoelectric heat, or what of it is left out.
std::vector<std::string> not_thermoelectric(const Problem& problem) {
  if (!problem.thermoelectric) return {"Peltier and Seebeck heat."};
  std::vector<std::string> sentences{
      "Of thermoelectricity: the heat of currents that circulate inside, driven where materials meet and one "
      "end of the contact is hotter than the other; programmes, limits and rules of voltage and power count "
      "the resistance alone, and so do voltage taps."};
  std::vector<std::string> names;
  for (const Part& part : problem.parts) {
    const materials::Material& material = problem.materials[part.material];
    if (!material.seebeck && !material.insulator &&
        std::find(names.begin(), names.end(), material.name) == names.end())
      names.push_back(material.name);
  }
  if (!names.empty())
    sentences.push_back(fmt::format("The Seebeck coefficient of {}: not known, counts as 0.", listed(names)));
  return sentences;
}

}  // namespace

std::vector<std::string> not_modelled(const Problem& problem) {
  std::vector<std::string> sentences;
  const bool powder = !problem.powders.empty();
  if (powder) {
    if (!problem.beds.empty())
      sentences.emplace_back(
          "Densification beyond columns that close together under flat punches: differences of density along "
          "the radius, shear, cracks, powder that leaves the die.");
    const std::string held = held_powders(problem);
    if (!held.empty())
      sentences.push_back(fmt::format(
          "Densification of {}: it keeps one density, so that loose powder early in the cycle conducts less "
          "than stated here.",
          held));
    sentences.emplace_back(
        problem.beds.empty()
            ? "Grain growth."
            : "Grain growth: grains keep their size; where they grow, the last pores close more slowly.");
  }
  sentences.emplace_back(
      problem.fits.empty()
          ? "Contacts that change during the run or with use: touches are constant, the axial ones those of "
            "the programme's highest pressure, the lateral ones those published for 20 MPa."
          : "Touches that improve with dwell time, wear or tear; foil that does not spring back all the "
            "way.");
  const bool furnace = problem.drive.kind == DriveKind::furnace;
  if (furnace)
    sentences.emplace_back(
        "The furnace itself: its wall is evenly hot and exactly on its programme; what it loses, and whether "
        "it "
        "can cool as fast as asked for.");
  else
    sentences.emplace_back(problem.pulse ? "Inductance and skin effect of pulsed current."
                                         : "Pulsed current: heat follows the effective value; a meter of the "
                                           "mean shows less.");
  sentences.emplace_back(
      problem.gas
          ? "Gas that flows inside the stack; outside it rises from every open wall as if that stood alone. "
            "The chamber is a black body, and its gas as hot as its wall."
          : "Gas of any kind; the chamber is a black body at its own temperature.");
  if (problem.gas) {
    std::string gas = "Gas between touching faces, beyond what the totals of the contacts hold";
    if (powder) gas += ", and in the pores of the powder";
    if (couple(problem)) gas += "; along the sheath of a couple it counts as `gas in bore` only";
    sentences.push_back(gas + ".");
  }
  if (powder) {
    for (const std::string& sentence : not_of_expansion(problem)) sentences.push_back(sentence);
    std::string stroke = "In the stroke: how foil gives under pressure";
    if (const std::vector<std::string> parts = parts_without_stroke(problem); !parts.empty())
      stroke += fmt::format("; what {} give (modulus or expansion not known)", listed(parts));
    sentences.push_back(stroke + ".");
  } else {
    sentences.emplace_back("Thermal expansion, stresses and the strength of the tooling.");
  }
  if (!problem.sensors.empty())
    sentences.emplace_back(
        "The bore of a couple (missing wall section); along it the wall counts as evenly hot; drift of "
        "couples, soiling of windows during the run.");
  if (!furnace)
    for (const std::string& sentence : not_thermoelectric(problem)) sentences.push_back(sentence);
  return sentences;
}

}  // namespace joulepress::solver
