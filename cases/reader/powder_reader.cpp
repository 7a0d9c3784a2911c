#include "cases/reader/powder_reader.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "cases/reader/material_reader.hpp"
#include "cases/reader/property_reader.hpp"
#include "materials/mixing.hpp"
#include "materials/powder.hpp"

namespace joulepress::cases {
namespace {

/// A parameter the law needs.
double parameter(MapReader& map, const char* key) {
  if (!map.find(key))
    map.refuse(key, fmt::format("The law \"{}\" needs \"{}\".", map.text("law"), key), "Add it.");
  return map.amount(key);
}

materials::PorousLaw read_porous_law(const SourceNode& node, ErrorList& errors) {
  using Law = materials::PorousLaw::Kind;
  MapReader map(node, "porous law", errors);
  materials::PorousLaw law;
  const std::string name = map.text("law");
  for (const Law kind : materials::porous_laws())
    if (name_of(kind) == name) law.kind = kind;
  if (law.kind == Law::argento_bouvard || law.kind == Law::montes)
    law.tap_density = parameter(map, "tap density");
  if (law.kind == Law::power || law.kind == Law::montes || law.kind == Law::mclachlan)
    law.exponent = parameter(map, "exponent");
  if (law.kind == Law::mclachlan) law.threshold = parameter(map, "threshold");
  map.finish();
  return law;
}

materials::Creep read_creep_set(const SourceNode& node, const std::optional<double>& melting,
                                ErrorList& errors) {
  MapReader map(node, "creep", errors);
  materials::Creep creep;
  creep.exponent = map.amount("exponent");
  creep.activation_energy = map.amount("activation energy");
  creep.of_dissipated_power = map.text("stress is") == "of dissipated power";
  const std::string law = map.text("law");
  if (law == "dislocation") {
    creep.law = materials::Creep::Law::dislocation;
    creep.factor = parameter(map, "factor");
    creep.diffusion = parameter(map, "diffusion");
    creep.burgers = parameter(map, "burgers vector");
    creep.shear_modulus = parameter(map, "shear modulus");
    creep.modulus_slope = parameter(map, "modulus slope");
    creep.melting = melting.value_or(0.0);
    if (!melting)
      map.refuse("law", "Dislocation creep needs the melting point of the material.", "Add `melting`.");
  } else if (law == "measured") {
    creep.rate = parameter(map, "rate");
    creep.stress = parameter(map, "at stress");
    creep.temperature = parameter(map, "at temperature");
    if (map.find("at grain size")) creep.grain = map.amount("at grain size");
    if (map.find("grain exponent")) creep.grain_exponent = map.amount("grain exponent");
  }
  if (map.find("up to density")) creep.up_to_density = map.amount("up to density");
  creep.source = map.text("source");
  creep.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) creep.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  return creep;
}

/// Each set but the last says up to which density it holds, and they do not crowd.
void check_borders(const SourceNode& list, const std::vector<materials::Creep>& sets, ErrorList& errors) {
  double before = 0.0;
  for (std::size_t k = 0; k < sets.size(); ++k) {
    const SourceNode& node = list.children[k];
    const bool said = written_at(node).has("up to density");
    const Place place = written_at(node).at("up to density");
    const std::string path = node.path + ".up to density";
    if (said != (k + 1 < sets.size()))
      errors.add(place, path,
                 said ? "The last set of creep holds up to full density."
                      : "Another set follows, so this one says up to which density it holds.",
                 said ? "Leave it out." : "Add e.g. `up to density: 0.9`.");
    else if (said && sets[k].up_to_density - before < 2.0 * materials::creep_blend && k > 0)
      errors.add(place, path,
                 fmt::format("This border does not stand {} or more above the one before ({}).",
                             2.0 * materials::creep_blend, before),
                 "Write the sets by rising density, or leave one out.");
    before = sets[k].up_to_density;
  }
}

}  // namespace

materials::Porous read_porous(const SourceNode& node, bool mixture, ErrorList& errors) {
  MapReader map(node, "porous", errors);
  materials::Porous porous;
  if (const SourceNode* law = map.find("heat")) porous.heat = read_porous_law(*law, errors);
  if (!mixture) {  // else asked for by nobody and refused
    if (const SourceNode* law = map.find("current"))
      porous.current = read_porous_law(*law, errors);
    else
      map.refuse("current", "The key \"current\" is missing.", "Add it, e.g. `current: {law: bruggeman}`.");
  }
  porous.reason = map.text("reason");
  map.finish();
  return porous;
}

materials::OxideFilm read_oxide_film(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "oxide film", errors);
  materials::OxideFilm film;
  film.resistivity = map.amount("resistivity");
  if (const SourceNode* window = map.find("gone between")) {
    const std::vector<SourceNode>& ends = items_of(*window, errors);
    if (ends.size() == 2) {
      film.gone_from = quantity_of(ends[0], Kind::temperature, errors);
      film.gone_to = quantity_of(ends[1], Kind::temperature, errors);
    }
    if (window->type == SourceNode::Type::sequence && !(film.gone_to > film.gone_from))
      map.refuse("gone between", "The film goes between two temperatures, the lower one first.",
                 "Write e.g. `[300 degC, 500 degC]`.");
  }
  film.source = map.text("source");
  film.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) film.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  return film;
}

materials::Densification read_densification(const SourceNode& node, ErrorList& errors) {
  using Law = materials::Densification::Law;
  MapReader map(node, "densification", errors);
  materials::Densification densification;
  const std::string name = map.text("law");
  for (const Law law : materials::densification_laws())
    if (name_of(law) == name) densification.law = law;
  if (densification.law != Law::closed_die) densification.tap_density = parameter(map, "tap density");
  densification.reason = map.text("reason");
  map.finish();
  return densification;
}

void read_mixture(const SourceNode& node, std::span<const materials::Material> known,
                  materials::Material& material, ErrorList& errors) {
  MapReader map(node, "mixture", errors);
  const std::size_t before = errors.size();
  std::vector<const materials::Material*> solids;
  if (const SourceNode* list = map.find("of"))
    for (const SourceNode& item : items_of(*list, errors)) {
      const auto solid = std::find_if(known.begin(), known.end(),
                                      [&item](const materials::Material& m) { return m.name == item.text; });
      if (solid == known.end())
        errors.add(item.place, item.path, fmt::format("There is no shipped material \"{}\".", item.text),
                   suggestion(item.text, material_names()));
      else
        solids.push_back(&*solid);
    }
  std::vector<double> fractions;
  if (const SourceNode* list = map.find("volume fractions"))
    for (const SourceNode& item : items_of(*list, errors))
      fractions.push_back(quantity_of(item, Kind::ratio, errors));
  materials::Mixture mixture;
  mixture.threshold = map.amount("threshold");
  mixture.exponent = map.amount("exponent");
  mixture.source = map.text("source");
  if (const SourceNode* u = map.find("uncertainty")) mixture.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  if (errors.size() > before) return;
  if (solids.size() != 2 || fractions.size() != 2 || !(fractions[0] > 0.0) || !(fractions[1] > 0.0) ||
      std::abs(fractions[0] + fractions[1] - 1.0) > 1e-9)
    return map.refuse("volume fractions", "A mixture is of two solids, whose volume fractions make 1.",
                      "Write e.g. `of: [zirconia 3y, titanium nitride]` and `volume fractions: [0.7, 0.3]`.");
  if (solids[0]->insulator == solids[1]->insulator)
    return map.refuse("of",
                      fmt::format("Of the two solids of a mixture one is an insulator; here {} is.",
                                  solids[0]->insulator ? "each" : "neither"),
                      "Mix a conducting solid with one whose file says `insulator: on`.");
  const std::size_t conducting = solids[0]->insulator ? 1 : 0;
  mixture.fraction = fractions[conducting];
  try {
    mix(material, *solids[conducting], *solids[1 - conducting], mixture);
  } catch (const std::invalid_argument& problem) {
    errors.add(node.place, node.path, fmt::format("The two cannot be mixed: {}.", problem.what()),
               "Take materials whose data overlap in temperature.");
  }
}

std::vector<materials::Creep> read_creep(const SourceNode& node, const std::optional<double>& melting,
                                         ErrorList& errors) {
  if (node.type != SourceNode::Type::sequence) {
    if (written_at(node).has("up to density"))
      errors.add(written_at(node).at("up to density"), node.path + ".up to density",
                 "One set of creep holds at every density.", "Leave it out, or write a list of sets.");
    return {read_creep_set(node, melting, errors)};
  }
  std::vector<materials::Creep> sets;
  for (const SourceNode& item : node.children) sets.push_back(read_creep_set(item, melting, errors));
  if (sets.empty())
    errors.add(node.place, node.path, "The list of creep is empty.", "Write a set or leave it out.");
  check_borders(node, sets, errors);
  return sets;
}

}  // namespace joulepress::cases
