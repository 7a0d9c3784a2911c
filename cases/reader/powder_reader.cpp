#include "cases/reader/powder_reader.hpp"

#include <fmt/format.h>

#include "cases/reader/property_reader.hpp"

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

}  // namespace

materials::Porous read_porous(const SourceNode& node, ErrorList& errors) {
  MapReader map(node, "porous", errors);
  materials::Porous porous;
  if (const SourceNode* law = map.find("heat")) porous.heat = read_porous_law(*law, errors);
  if (const SourceNode* law = map.find("current")) porous.current = read_porous_law(*law, errors);
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

materials::Creep read_creep(const SourceNode& node, const std::optional<double>& melting, ErrorList& errors) {
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
  creep.source = map.text("source");
  creep.note = map.text("note");
  if (const SourceNode* u = map.find("uncertainty")) creep.uncertainty = read_uncertainty(*u, errors);
  map.finish();
  return creep;
}

}  // namespace joulepress::cases
