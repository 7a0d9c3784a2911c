// Edits of a case: what an address reaches, and that a variant is the case a person would have written.
#include <doctest/doctest.h>

#include <filesystem>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/many/variant.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/text.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using cases::Case;
using cases::Edit;
using cases::Variant;
using test::relative;

const fs::path folder = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";

Edit edit(const std::string& address, const std::string& value) {
  Edit e;
  e.address = address;
  e.value = cases::value_node(value);
  return e;
}

Case case_of(const std::string& text) {
  return cases::read_case(folder / "case.yaml", text);
}

Variant varied(const Case& c, const std::vector<Edit>& edits) {
  return cases::variant_of(cases::resolved_document(c), edits, folder);
}

Case varied_case(const Case& c, const std::vector<Edit>& edits) {
  const Variant variant = varied(c, edits);
  REQUIRE(variant.refused == "");
  return case_of(variant.text);
}

/// `what` stands there once.
std::string with(std::string text, const std::string& what, const std::string& instead) {
  const std::size_t at = text.find(what);
  REQUIRE(at != std::string::npos);
  REQUIRE(text.find(what, at + 1) == std::string::npos);
  return text.replace(at, what.size(), instead);
}

/// Why an address leads nowhere, with the remedy.
std::string refusal(const Case& c, const std::string& address) {
  cases::ErrorList errors;
  if (cases::addressed(cases::resolved_document(c), address, {}, errors)) return "accepted";
  try {
    errors.throw_if_any();
  } catch (const cases::InputErrors& all) {
    REQUIRE(all.errors().size() == 1);
    return all.errors().front().problem + " " + all.errors().front().remedy;
  }
  return "refused without a word";
}

/// A rod whose name holds whatever a name may hold.
const std::string odd_rod =
    "format: 1\npress: {name: bench, column ends: {temperature: 25 degC}}\n"
    "column: [{name: 'rod no. 1.5 [new], 10 mm', material: isotropic graphite, diameter: 10 mm, height: 100 "
    "mm}]\n"
    "surroundings: {radiation: off}\nprogramme: {voltage: [{ramp to: 1 V, in: 10 s}, {hold: 1 min}]}\n";

}  // namespace

TEST_CASE("edits: a variant is, to the byte, the case a person would have written") {
  struct Check {
    const char *address, *value, *was, *is;  // `was` empty: `is` is a new line
  };
  const std::string text = test::content(folder / "alumina-20mm.yaml");
  for (const Check& check : {
           Check{"sleeves[die].outer diameter", "60 mm", "outer diameter: 50 mm", "outer diameter: 60 mm"},
           Check{"sleeves[0].outer diameter", "6 cm", "outer diameter: 50 mm", "outer diameter: 60 mm"},
           Check{"column[powder].mass", "7 g", "mass: 6 g", "mass: 7 g"},
           Check{"column[powder].relative density", "0.6", "{value: 0.55,", "{value: 0.6,"},
           Check{"column[powder].relative density.value", "60 %", "{value: 0.55,", "{value: 0.6,"},
           Check{"column[3].powder", "zirconia 3y", "powder: alumina", "powder: zirconia 3y"},
           Check{"programme.temperature[sinter].hold", "10 min", "hold: 5 min", "hold: 10 min"},
           Check{"programme.temperature[0].rate", "50 degC/min", "rate: 100", "rate: 50"},
           Check{"programme.pressure on powder[1].ramp to", "60 MPa", "ramp to: 50 MPa", "ramp to: 60 MPa"},
           Check{"sensors[die thermocouple].height", "16 mm", "height: middle", "height: 16 mm"},
           Check{"contacts.lateral.thermal", "2 kW/m2K", "", "contacts: {lateral: {thermal: 2 kW/m2K}}"},
           Check{"output.fields every", "60 s", "", "output: {fields every: 60 s}"},
           Check{"column ends", "insulated", "", "column ends: insulated"},
           Check{"surroundings.walls see", "chamber only", "atmosphere: vacuum}", "walls see: chamber only}"},
           Check{"surroundings.chamber", "40 degC", "chamber: 25 degC", "chamber: 40 degC"},
           Check{"start temperature", "40 degC", "", "start temperature: 40 degC"},
           Check{"materials[alumina].conductivity", "1.2", "",
                 "scales: [{of: alumina, property: conductivity, factor: 1.2}]"},
       }) {
    CAPTURE(check.address);
    std::string by_hand = check.was[0] ? with(text, check.was, check.is) : text + check.is + "\n";
    Case base = case_of(text), wanted = case_of(by_hand);
    if (std::string(check.address) == "column[3].powder") {
      // Materials stand in the order they were met; the one that nobody uses any more stays in the text.
      base.materials.erase(base.materials.begin() + 1);
      base.material_texts.erase(base.material_texts.begin() + 1);
      std::swap(wanted.material_texts[1], wanted.material_texts[2]);
    }
    const Variant variant = varied(base, {edit(check.address, check.value)});
    CHECK(variant.refused == "");
    CHECK(variant.text == cases::resolved_case(wanted));
  }
}

TEST_CASE("edits: what follows from other keys goes on following") {
  // A hold of the pressure until 1000 degC ends later where the ramp is slower; the start is the chamber's.
  const std::string text = test::content(folder / "furnace-heated-20mm.yaml");
  const Case base = case_of(text);
  const Variant slower = varied(base, {edit("programme.temperature[0].rate", "5 degC/min")});
  CHECK(slower.text ==
        cases::resolved_case(case_of(with(text, "1350 degC, rate: 10", "1350 degC, rate: 5"))));
  CHECK(varied_case(base, {edit("programme.temperature[0].rate", "5 degC/min")})
            .programme.pressure[0]
            .duration == relative(2.0 * *base.programme.pressure[0].duration));
  const Variant earlier = varied(base, {edit("programme.pressure on powder[0].until", "800 degC")});
  CHECK(earlier.text == cases::resolved_case(case_of(with(text, "until: 1000 degC", "until: 800 degC"))));
  const std::string by_name = with(text, "until: 1000 degC", "until start of: sinter");
  const Variant named = varied(case_of(by_name), {edit("programme.temperature[0].rate", "5 degC/min")});
  CHECK(named.text ==
        cases::resolved_case(case_of(with(by_name, "1350 degC, rate: 10", "1350 degC, rate: 5"))));
  // Where a start was written it stays.
  const Case warm = case_of(text + "start temperature: 25 degC\n");
  CHECK(varied_case(warm, {edit("surroundings.chamber", "60 degC")}).initial_temperature == relative(298.15));
  CHECK(varied_case(base, {edit("surroundings.chamber", "60 degC")}).initial_temperature == relative(333.15));
}

TEST_CASE("edits: no edit, no difference") {
  for (const char* name : {"alumina-20mm.yaml", "zirconia-tin-30mm.yaml", "furnace-heated-20mm.yaml"}) {
    const Case c = cases::read_case(folder / name);
    CHECK(varied(c, {}).text == cases::resolved_case(c));
  }
}

TEST_CASE("edits: names with points, spaces, commas and brackets; several at once, the later one wins") {
  const Case rod = case_of(odd_rod);
  const std::string at = "column[rod no. 1.5 [new], 10 mm].";
  CHECK(varied_case(rod, {edit(at + "height", "80 mm")}).column[0].height == relative(80e-3));
  CHECK(cases::value_at(cases::resolved_document(rod), at + "height") == "0.1 m");
  const Case two = varied_case(
      rod, {edit(at + "height", "80 mm"), edit("contacts.ageing", "1.3"), edit(at + "height", "90 mm")});
  CHECK(two.column[0].height == relative(90e-3));
  CHECK(two.contacts.ageing == 1.3);
  // A name goes before a number.
  const Case numbered = case_of(with(odd_rod, "'rod no. 1.5 [new], 10 mm'", "'7'"));
  CHECK(varied_case(numbered, {edit("column[7].height", "80 mm")}).column[0].height == relative(80e-3));
  CHECK(varied_case(numbered, {edit("column[0].height", "80 mm")}).column[0].height == relative(80e-3));
}

TEST_CASE("edits: factors of materials multiply, those of the case included; material files are added") {
  const Case rod =
      case_of(odd_rod + "scales: [{of: isotropic graphite, property: resistivity, factor: 1.5}]\n");
  const Case bare = case_of(odd_rod);
  const double rho = bare.materials[0].resistivity.along.curve.value(1000.0);
  CHECK(rod.materials[0].resistivity.along.curve.value(1000.0) == relative(1.5 * rho));
  const Case more = varied_case(rod, {edit("materials[isotropic graphite].resistivity", "1.2"),
                                      edit("materials[isotropic graphite].density", "90 %")});
  CHECK(more.materials[0].resistivity.along.curve.value(1000.0) == relative(1.8 * rho));
  CHECK(more.materials[0].density.curve.value(300.0) ==
        relative(0.9 * bare.materials[0].density.curve.value(300.0)));
  REQUIRE(more.scales.size() == 3);
  CHECK(more.scales[0].factor == 1.5);
  CHECK(
      varied_case(rod, {edit("scales[0].factor", "2")}).materials[0].resistivity.along.curve.value(1000.0) ==
      relative(2.0 * rho));

  const std::string file =
      "format: 1\nmaterial: our graphite\nfrom: isotropic graphite\n"
      "measured resistivity: {value: 9 uohm m, at: 25 degC}\n";
  const Case ours = varied_case(rod, {edit("materials", file), edit("column[0].material", "our graphite")});
  REQUIRE(ours.materials.size() == 2);
  CHECK(ours.column[0].material == "our graphite");
  CHECK(ours.materials[1].resistivity.along.curve.value(298.15) == relative(9e-6, 1e-9));
}

TEST_CASE("edits: an address that leads nowhere says what there is") {
  const Case c = cases::read_case(folder / "alumina-20mm.yaml");
  const auto says = [&c](const std::string& address, const std::string& words) {
    const std::string why = refusal(c, address);
    INFO(address, ": ", why);
    CHECK(why.find(words) != std::string::npos);
  };
  says("sleeves[die].outer diametre", "Did you mean \"outer diameter\"?");
  says("sleeve[die].height", "Did you mean \"sleeves\"?");
  says("sleeves[dye].height", "Did you mean \"die\"?");
  says("sleeves[1].height", "There is no \"1\" among the sleeves of the case. Known: die.");
  says("sleeves[].height", "There is no \"\" among the sleeves");
  says("sleeves[die", "The brackets of \"sleeves[die\" do not match.");
  says("sleeves[die]", "is a group of keys. Name one of them: name, material,");
  says("sleeves.height", "Say which entry, as in `sleeves[die]`.");
  says("sleeves", "Say which entry");
  says("contacts", "Name one of them: follow conditions,");
  says("contacts[0].ageing", "\"contacts\" is not a list. Leave the brackets out.");
  says("contacts.ageing.value", "holds no further keys. End the address there.");
  says("fillings[0].mass", "The case has none.");
  says("", "There is no key \"\"");
  says("materials[alumina]", "Name both, as in `materials[isotropic graphite].resistivity`.");
  says("materials.conductivity", "Of a material one property is multiplied.");
  says("materials[alumina].conductivty", "Did you mean \"conductivity\"?");
  CHECK(refusal(c, "materials[alumina].conductivity") == "accepted");
  CHECK(refusal(c, "press.limits.current") == "accepted");

  cases::ErrorList errors;
  cases::edited(cases::resolved_document(c), {edit("sleeves[dye].height", "1 mm"), edit("x", "1")}, errors);
  CHECK(errors.size() == 2);
}

TEST_CASE("edits: a variant that is no case is refused, with everything that is wrong") {
  const Case c = cases::read_case(folder / "alumina-20mm.yaml");
  const auto refused = [&c](const std::vector<Edit>& edits) {
    const Variant variant = varied(c, edits);
    CHECK(variant.text == "");
    return variant.refused;
  };
  CHECK(refused({edit("sleeves[die].outer diameter", "20 mm")}) ==
        "sleeves[0].outer diameter: The outer diameter is not larger than the inner one. Check both.");
  const std::string two =
      refused({edit("sleeves[die].outer diameter", "30 mm"), edit("foils[0].material", "graphite foill")});
  CHECK(two.find("The bore of \"die thermocouple\" ends outside \"die\"") != std::string::npos);
  CHECK(two.find("graphite foill") != std::string::npos);
  const std::string three = refused({edit("column[powder].height", "5"), edit("contacts.ageing", "worn"),
                                     edit("materials[graphite].density", "1.1")});
  CHECK(three.find("\"5\" has no unit.") != std::string::npos);
  CHECK(three.find("\"worn\"") != std::string::npos);
  CHECK(three.find("\"graphite\"") != std::string::npos);
  CHECK(refused({edit("materials[alumina].emissivity", "3")}).find("would rise above 1") !=
        std::string::npos);
  CHECK(refused({edit("materials[alumina].seebeck", "2")}).find("has no seebeck") != std::string::npos);
  CHECK(refused({edit("materials", "material: [")}) != "");
}
