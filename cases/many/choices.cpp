#include "cases/many/choices.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "cases/reader/case_writer.hpp"

namespace joulepress::cases {
namespace {

Edit edit(std::string address, std::string value) {
  Edit e;
  e.address = std::move(address);
  e.value = value_node(std::move(value));
  return e;
}

const materials::Material* material_named(const Case& c, const std::string& name) {
  const auto found = std::find_if(c.materials.begin(), c.materials.end(),
                                  [&name](const materials::Material& m) { return m.name == name; });
  return found == c.materials.end() ? nullptr : &*found;
}

void add_densification(const Case& c, std::vector<ModelChoice>& choices) {
  ModelChoice choice{"densification", "the powder densifies", "it has its end density all the time", {}};
  for (const ColumnPart& part : c.column) {
    const materials::Material* m = part.powder ? material_named(c, part.material) : nullptr;
    if (m && part.densification && !m->creep.empty())
      choice.edits.push_back(edit(fmt::format("column[{}].densification", part.name), "off"));
  }
  if (!choice.edits.empty()) choices.push_back(std::move(choice));
}

/// The same material with another law of pores, as a file made from it.
std::string with_law(const materials::Material& m, const std::string& name, const std::string& law) {
  std::string text = fmt::format("format: 1\nmaterial: {}\nfrom: {}\nporous:\n  heat: {{law: {}}}\n",
                                 quoted(name), quoted(m.name), law);
  if (!m.mixture) text += fmt::format("  current: {{law: {}}}\n", law);
  return text + "  reason: to see what the law is worth\n";
}

void add_conductivity(const Case& c, std::vector<ModelChoice>& choices) {
  using Law = materials::PorousLaw::Kind;
  std::vector<std::string> done;
  for (const ColumnPart& part : c.column) {
    const materials::Material* m = part.powder ? material_named(c, part.material) : nullptr;
    if (!m || std::find(done.begin(), done.end(), m->name) != done.end()) continue;
    done.push_back(m->name);
    const Law other = m->porous.heat.kind == Law::koh_fortini ? Law::maxwell_eucken : Law::koh_fortini;
    const std::string law = materials::name_of(other), name = m->name + ", " + law;
    ModelChoice choice{fmt::format("conductivity-{}", done.size()),
                       fmt::format("{} conducts as a powder by the law {}", m->name,
                                   materials::name_of(m->porous.heat.kind)),
                       fmt::format("by the law {}", law),
                       {edit("materials", with_law(*m, name, law))},
                       true};
    for (const ColumnPart& other_part : c.column)
      if (other_part.powder && other_part.material == m->name)
        choice.edits.push_back(edit(fmt::format("column[{}].powder", other_part.name), name));
    for (const MaterialScale& scale : c.scales)
      if (scale.material == m->name)
        choice.edits.push_back(
            edit(fmt::format("materials[{}].{}", name, scale.property), fmt::format("{}", scale.factor)));
    choices.push_back(std::move(choice));
  }
}

void add_stems(const Case& c, std::vector<ModelChoice>& choices) {
  ModelChoice choice{"stem", "heat lost along the sheath lowers a couple's reading", "it does not", {}};
  for (const CaseSensor& sensor : c.sensors)
    if (!sensor.pyrometer && sensor.stem)
      choice.edits.push_back(edit(fmt::format("sensors[{}].stem error", sensor.name), "off"));
  if (!choice.edits.empty()) choices.push_back(std::move(choice));
}

}  // namespace

std::vector<ModelChoice> model_choices(const Case& c) {
  std::vector<ModelChoice> choices;
  add_densification(c, choices);
  add_conductivity(c, choices);
  if (c.radiating && !c.gas) {
    const char *all = "walls see each other", *chamber = "walls see the chamber only";
    choices.push_back(
        {"walls",
         c.walls_see_each_other ? all : chamber,
         c.walls_see_each_other ? chamber : all,
         {edit("surroundings.walls see", c.walls_see_each_other ? "chamber only" : "each other")},
         true});
  }
  const char *constant = "touches are constant", *follow = "touches follow pressure and temperature";
  choices.push_back({"touches",
                     c.contacts.follow ? follow : constant,
                     c.contacts.follow ? constant : follow,
                     {edit("contacts.follow conditions", c.contacts.follow ? "off" : "on")},
                     true});
  add_stems(c, choices);
  const bool seebeck = std::any_of(c.materials.begin(), c.materials.end(),
                                   [](const materials::Material& m) { return m.seebeck.has_value(); });
  if (!c.programme.by_furnace && seebeck) {
    const char *with = "thermoelectric heat counts", *without = "thermoelectric heat does not count";
    const bool on = c.programme.thermoelectric;
    choices.push_back({"thermoelectric",
                       on ? with : without,
                       on ? without : with,
                       {edit("programme.thermoelectric", on ? "off" : "on")}});
  }
  return choices;
}

}  // namespace joulepress::cases
