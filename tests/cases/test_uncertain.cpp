// What nobody has measured of the shipped cases, samples of it, and choices of model: names, spreads, and
// that every variant is a case.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <filesystem>
#include <random>
#include <set>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/many/choices.hpp"
#include "cases/many/uncertain.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/keys.hpp"
#include "materials/scaling.hpp"
#include "solver/march.hpp"
#include "tests/support/relative.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using cases::Case;
using cases::Edit;
using cases::UncertainInput;
using inverse::Distribution;
using test::relative;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";

std::vector<fs::path> shipped_cases() {
  std::vector<fs::path> files;
  for (const fs::path& place : {folder, folder / "checks"})
    for (const auto& entry : fs::directory_iterator(place))
      if (entry.path().extension() == ".yaml") files.push_back(entry.path());
  std::sort(files.begin(), files.end());
  return files;
}

struct Inputs {
  Case c;
  cases::SourceNode resolved;
  std::vector<UncertainInput> list;

  explicit Inputs(const fs::path& file)
      : c(cases::read_case(file)),
        resolved(cases::resolved_document(c)),
        list(cases::uncertain_inputs(c, resolved)) {}
  explicit Inputs(const Case& made)
      : c(made), resolved(cases::resolved_document(c)), list(cases::uncertain_inputs(c, resolved)) {}

  const UncertainInput& named(const std::string& name) const {
    for (const UncertainInput& input : list)
      if (input.name == name) return input;
    FAIL("no input " << name);
    return list.front();
  }
  bool moves(const std::string& address) const {
    for (const UncertainInput& input : list)
      for (const auto& value : input.values)
        if (value.address == address) return true;
    return false;
  }
  cases::Variant sample(const std::vector<double>& shares) const {
    return cases::variant_of(resolved, cases::sample_edits(list, shares),
                             c.file.empty() ? folder : fs::path(c.file).parent_path());
  }
};

std::vector<std::string> addresses_of(const UncertainInput& input) {
  std::vector<std::string> all;
  for (const auto& value : input.values) all.push_back(value.address);
  return all;
}

using Words = std::vector<std::string>;

/// Samples of all shipped cases; the number of those that were drawn.
int samples_are_cases(int of_each) {
  std::mt19937_64 engine(7);
  int drawn = 0;
  for (const fs::path& file : shipped_cases()) {
    CAPTURE(file.filename().string());
    const Inputs inputs(file);
    for (int k = 0; k < of_each && !inputs.list.empty(); ++k, ++drawn) {
      std::vector<double> shares;
      for (std::size_t n = 0; n < inputs.list.size(); ++n)
        shares.push_back((static_cast<double>(engine() >> 11) + 0.5) * 0x1p-53);
      CHECK(inputs.sample(shares).refused == "");
    }
  }
  return drawn;
}

}  // namespace

TEST_CASE("uncertain: the inputs of the alumina case by name, in the order of the case, materials last") {
  const Inputs alumina(folder / "alumina-20mm.yaml");
  Words names;
  for (const UncertainInput& input : alumina.list) names.push_back(input.name);
  CHECK(names == Words{"film of column ends",
                       "water temperature of column ends",
                       "height of lower spacer and upper spacer",
                       "height of lower step spacer and upper step spacer",
                       "height of lower punch and upper punch",
                       "mass of powder",
                       "relative density of powder",
                       "end density of powder",
                       "wall friction of powder",
                       "grain size of powder",
                       "outer diameter of die",
                       "height of die",
                       "ageing of contacts",
                       "electrical axial contact",
                       "thermal axial contact",
                       "electrical lateral contact",
                       "thermal lateral contact",
                       "chamber temperature",
                       "height of die thermocouple",
                       "instrument error of die thermocouple",
                       "depth of die thermocouple",
                       "sheath conductivity of die thermocouple",
                       "graphite density",
                       "graphite heat capacity",
                       "graphite heat conductivity",
                       "graphite resistivity",
                       "graphite emissivity",
                       "alumina density",
                       "alumina heat capacity",
                       "alumina heat conductivity",
                       "alumina resistivity",
                       "alumina emissivity",
                       "alumina surface energy",
                       "alumina creep",
                       "foil density",
                       "foil conductivity along",
                       "foil conductivity across",
                       "foil resistivity along",
                       "foil resistivity across",
                       "foil emissivity"});
}

TEST_CASE(
    "uncertain: sizes, amounts and sources of some, by hand from the key table and the material files") {
  const Inputs alumina(folder / "alumina-20mm.yaml");
  const auto& lateral = alumina.named("thermal lateral contact");
  CHECK(lateral.amount == "factor 3");
  CHECK(lateral.source.find("Zavaliangos") != std::string::npos);
  REQUIRE(lateral.values.size() == 1);
  CHECK(lateral.values[0].spread.kind == Distribution::Kind::log_normal);
  CHECK(lateral.values[0].spread.centre == 1320.0);
  CHECK(lateral.values[0].spread.size == 3.0);
  CHECK(lateral.values[0].unit == "W/m2K");
  // 0.5 % of 6 g.
  const auto& mass = alumina.named("mass of powder").values.at(0);
  CHECK(mass.spread.kind == Distribution::Kind::normal);
  CHECK(mass.spread.centre == relative(6e-3));
  CHECK(mass.spread.size == relative(3e-5));
  // The middle of a die of 36 mm.
  const auto& height = alumina.named("height of die thermocouple").values.at(0);
  CHECK(height.spread.centre == relative(18e-3));
  CHECK(height.spread.size == relative(0.5e-3));
  // 10 K about 25 degC: a deviation is a difference.
  const auto& chamber = alumina.named("chamber temperature").values.at(0);
  CHECK(chamber.spread.centre == relative(298.15));
  CHECK(chamber.spread.size == 10.0);
  CHECK(chamber.unit == "K");
  // Class 2 allows a type K couple 0.75 % of 1000 degC, two deviations (IEC 60584-1, from memory): about 4 K.
  const auto& couple = alumina.named("instrument error of die thermocouple");
  CHECK(couple.amount == "4 K");
  CHECK(couple.values.at(0).address == "sensors[die thermocouple].reads high by");
  CHECK(couple.values.at(0).spread.centre == 0.0);
  CHECK(couple.values.at(0).spread.size == 4.0);
  CHECK(couple.values.at(0).spread.kind == Distribution::Kind::normal);
  const auto& graphite = alumina.named("graphite resistivity");
  CHECK(graphite.amount == "15 %");
  CHECK(graphite.source == "");
  CHECK(graphite.values.at(0).spread.centre == 1.0);
  CHECK(graphite.values.at(0).spread.kind == Distribution::Kind::log_normal);
  CHECK(graphite.values.at(0).spread.size == relative(1.3));  // two deviations of 15 %
  CHECK(graphite.values.at(0).unit == "");
  CHECK(alumina.named("alumina creep").amount == "factor 10");
}

TEST_CASE("uncertain: what belongs together is one input") {
  const Inputs alumina(folder / "alumina-20mm.yaml");
  CHECK(addresses_of(alumina.named("height of lower spacer and upper spacer")) ==
        Words{"column[lower spacer].height", "column[upper spacer].height"});
  CHECK(addresses_of(alumina.named("graphite heat capacity")) ==
        Words{"materials[isotropic graphite].heat capacity", "materials[graphite foil].heat capacity"});
  // Another size is another drawing.
  Case other = alumina.c;
  other.column[6].height = 41e-3;
  const auto apart = cases::uncertain_inputs(other, cases::resolved_document(other));
  CHECK(apart.size() == alumina.list.size() + 1);
  // One sample moves both by the same score.
  const auto edits = cases::sample_edits(alumina.list, std::vector<double>(alumina.list.size(), 0.9));
  const auto value = [&edits](const std::string& address) {
    for (const Edit& edit : edits)
      if (edit.address == address) return edit.value.text;
    return std::string("none");
  };
  CHECK(value("column[lower spacer].height") == value("column[upper spacer].height"));
  CHECK(value("materials[isotropic graphite].heat capacity") ==
        value("materials[graphite foil].heat capacity"));
}

TEST_CASE(
    "uncertain: fits, foils, absent parts and materials nobody uses have none; nothing has a spread of "
    "zero") {
  for (const fs::path& file : shipped_cases()) {
    CAPTURE(file.filename().string());
    const Inputs inputs(file);
    std::set<std::string> used, seen;
    for (const auto& part : inputs.c.column) used.insert(part.material);
    for (const auto& part : inputs.c.sleeves) used.insert(part.material);
    for (const auto& foil : inputs.c.foils) used.insert(foil.material);
    for (const UncertainInput& input : inputs.list) {
      CAPTURE(input.name);
      CHECK(!input.values.empty());
      CHECK(!input.amount.empty());
      for (const auto& value : input.values) {
        CAPTURE(value.address);
        CHECK(seen.insert(value.address).second);
        const double least = value.spread.kind == Distribution::Kind::log_normal ? 1.0 : 0.0;
        CHECK(value.spread.size > least);
        CHECK(std::isfinite(value.spread.centre));
        CHECK(value.spread.low <= value.spread.centre);
        CHECK(value.spread.low < value.spread.high);
        CHECK(value.spread.high >= value.spread.centre);
        CHECK(!value.address.starts_with("foils"));
        CHECK(!value.address.ends_with("inner diameter"));
        CHECK(!(value.address.starts_with("column") && value.address.ends_with("].diameter")));
        if (!value.address.starts_with("materials[")) continue;
        CHECK(used.contains(value.address.substr(10, value.address.find(']') - 10)));
        // However far out a sample lies, no material loses a property; the widest of all is a factor of 10.
        CHECK(inverse::at_score(value.spread, -4.0) >= 0.0099);
        if (input.amount.ends_with('%')) CHECK(inverse::at_score(value.spread, -4.0) > 0.2);
      }
    }
  }
}

TEST_CASE("uncertain: what a case does not have has no spread") {
  const Inputs tin(folder / "zirconia-tin-30mm.yaml");
  CHECK(tin.named("zirconia creep").amount == "factor 10");  // of the inline material
  CHECK(addresses_of(tin.named("zirconia titanium nitride resistivity")) ==
        Words{"materials[zirconia tin powder].resistivity"});
  CHECK(!tin.moves("materials[zirconia titanium nitride].resistivity"));
  const Inputs furnace(folder / "furnace-heated-20mm.yaml");
  CHECK(!furnace.moves("press.column ends.film"));  // insulated
  const Inputs nickel(folder / "nickel-20mm.yaml");
  CHECK(nickel.named("nickel oxide film").amount == "factor 10");
  CHECK(nickel.moves("materials[nickel].yield strength"));
  CHECK(!nickel.moves("materials[nickel].expansion"));
  const Inputs copper(folder / "copper-20mm.yaml");
  CHECK(!copper.moves("materials[copper].seebeck"));
  Case with = copper.c;
  with.programme.thermoelectric = true;
  CHECK(Inputs(with).moves("materials[copper].seebeck"));
  // A die in its jacket and a core rod in the punches are fits; a die that stands free is not.
  CHECK(nickel.moves("sleeves[die].outer diameter"));
  const Inputs jacket(folder / "insulation-17mm-felt-wall.yaml"), ring(folder / "nickel-ring-30mm.yaml");
  CHECK(!jacket.moves("sleeves[die].outer diameter"));
  CHECK(jacket.moves("sleeves[jacket].outer diameter"));
  CHECK(!ring.moves("sleeves[core rod].outer diameter"));
  CHECK(ring.moves("sleeves[die].outer diameter"));
}

TEST_CASE("uncertain: tip and spot of a sensor stay on their part") {
  const Inputs rod(folder / "heated-rod.yaml");  // its tip lies on the axis
  CHECK(rod.named("depth of middle").values.at(0).spread.high == relative(5e-3));
  const Inputs alumina(folder / "alumina-20mm.yaml");  // a wall of 14.8 mm
  CHECK(alumina.named("depth of die thermocouple").values.at(0).spread.high == relative(14.6e-3));
  CHECK(alumina.named("height of die thermocouple").values.at(0).spread.high == relative(35.8e-3));
  Case high = alumina.c;
  high.sensors[0].height = 35.9e-3;
  CHECK(Inputs(high).named("height of die thermocouple").values.at(0).spread.high == relative(35.9e-3));
}

TEST_CASE("uncertain: a height in the middle of a part whose height is not known has no spread of its own") {
  // A die's sensor has one; a powder's height follows from its mass.
  Case c = cases::read_case(folder / "alumina-20mm.yaml");
  c.sensors[0].part = "powder";
  const auto inputs = cases::uncertain_inputs(c, cases::resolved_document(c));
  CHECK(std::none_of(inputs.begin(), inputs.end(),
                     [](const UncertainInput& input) { return input.name == "height of die thermocouple"; }));
}

TEST_CASE("uncertain: a factor of 3 is 3^(1.96/2) at the share 0.975, its inverse at 0.025") {
  // The standard score of 0.975 is 1.959964 (tables of the normal distribution).
  const Inputs alumina(folder / "alumina-20mm.yaml");
  for (const double sign : {1.0, -1.0}) {
    std::vector<double> shares(alumina.list.size(), 0.5);
    for (std::size_t k = 0; k < shares.size(); ++k)
      if (alumina.list[k].name == "thermal lateral contact") shares[k] = 0.5 + 0.475 * sign;
    const Case sample = cases::read_case(folder / "case.yaml", alumina.sample(shares).text);
    CHECK(sample.contacts.heat_lateral == relative(1320.0 * std::pow(3.0, sign * 1.959964 / 2.0), 1e-6));
    CHECK(sample.contacts.heat_axial == 2400.0);
  }
}

TEST_CASE("uncertain: the sample with every share 0.5 runs as the case itself, to the last bit") {
  Case c = cases::read_case(folder / "alumina-20mm.yaml");
  c.accuracy = 2.0;
  c.programme.steps.front().to = 600.0;  // K; a short run is enough
  c.programme.steps.resize(2);
  const cases::SourceNode resolved = cases::resolved_document(c);
  const auto inputs = cases::uncertain_inputs(c, resolved);
  const cases::Variant middle = cases::variant_of(
      resolved, cases::sample_edits(inputs, std::vector<double>(inputs.size(), 0.5)), folder);
  REQUIRE(middle.refused == "");
  const auto rows = [](const Case& of) {
    const solver::Problem p = cases::build_problem(of);
    return solver::run(p).rows;
  };
  const auto own = rows(c), sample = rows(cases::read_case(folder / "case.yaml", middle.text));
  REQUIRE(own.size() == sample.size());
  REQUIRE(own.size() > 10);
  for (std::size_t k = 0; k < own.size(); ++k) {
    CHECK(own[k].time_s == sample[k].time_s);
    CHECK(own[k].current_A == sample[k].current_A);
    CHECK(own[k].powder->mean_K == sample[k].powder->mean_K);
  }
}

TEST_CASE("uncertain: what can be multiplied is what the case file may say, in the same words") {
  const cases::Key* key = cases::find_key("scale", "property");
  REQUIRE(key);
  CHECK(cases::choices_of(*key) == materials::scalable());
}

TEST_CASE("uncertain: samples of every shipped case are cases") {
  CHECK(samples_are_cases(4) >= 40);
}

TEST_CASE("full: uncertain: 200 samples of every shipped case are cases") {
  CHECK(samples_are_cases(200) >= 2000);
}

TEST_CASE("choices: each of every shipped case is a case, and another one") {
  for (const fs::path& file : shipped_cases()) {
    CAPTURE(file.filename().string());
    const Case c = cases::read_case(file);
    const cases::SourceNode resolved = cases::resolved_document(c);
    const std::string own = cases::variant_of(resolved, {}, file.parent_path()).text;
    std::set<std::string> ids;
    for (const cases::ModelChoice& choice : cases::model_choices(c)) {
      CAPTURE(choice.id);
      CHECK(ids.insert(choice.id).second);
      CHECK(choice.id.find_first_not_of("abcdefghijklmnopqrstuvwxyz0123456789-") == std::string::npos);
      CHECK(choice.taken != choice.other);
      const cases::Variant other = cases::variant_of(resolved, choice.edits, file.parent_path());
      CHECK(other.refused == "");
      CHECK(other.text != own);
    }
  }
}

TEST_CASE("choices: those of the alumina case, and the way back") {
  const Case c = cases::read_case(folder / "alumina-20mm.yaml");
  const cases::SourceNode resolved = cases::resolved_document(c);
  Words ids;
  for (const cases::ModelChoice& choice : cases::model_choices(c)) ids.push_back(choice.id);
  CHECK(ids == Words{"densification", "conductivity-1", "walls", "touches", "stem"});
  for (const cases::ModelChoice& choice : cases::model_choices(c)) {
    if (choice.id != "walls" && choice.id != "touches") continue;
    const Case other =
        cases::read_case(folder / "case.yaml", cases::variant_of(resolved, choice.edits, folder).text);
    for (const cases::ModelChoice& back : cases::model_choices(other))
      if (back.id == choice.id) {
        CHECK(back.taken == choice.other);
        CHECK(back.other == choice.taken);
      }
  }
  // A scaled powder keeps its factor under the other law.
  Case scaled = cases::read_case(folder / "case.yaml",
                                 cases::variant_of(resolved, {[] {
                                                     Edit e;
                                                     e.address = "materials[alumina].conductivity";
                                                     e.value = cases::value_node("1.5");
                                                     return e;
                                                   }()},
                                                   folder)
                                     .text);
  for (const cases::ModelChoice& choice : cases::model_choices(scaled))
    if (choice.id == "conductivity-1") {
      const Case other =
          cases::read_case(folder / "case.yaml",
                           cases::variant_of(cases::resolved_document(scaled), choice.edits, folder).text);
      const auto at = [](const Case& of, const std::string& name) {
        for (const auto& m : of.materials)
          if (m.name == name) return m.conductivity.along.curve.value(1000.0);
        return 0.0;
      };
      CHECK(at(other, other.column[3].material) == relative(at(scaled, "alumina")));
      CHECK(other.column[3].material != "alumina");
    }
}
