// The key table is consistent, every key of it is read, and the generated documents are those in docs/.
#include <doctest/doctest.h>

#include <algorithm>
#include <set>
#include <string>

#include "cases/build_problem.hpp"
#include "cases/many/plan.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"
#include "cases/reader/keys.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/press_log.hpp"
#include "tests/support/text.hpp"

namespace {

using namespace joulepress::cases;
namespace fs = std::filesystem;

const fs::path root = JOULEPRESS_SOURCE_DIR;

bool is_group(std::string_view name) {
  return std::any_of(all_groups().begin(), all_groups().end(),
                     [name](const KeyGroup& group) { return group.name == name; });
}

}  // namespace

TEST_CASE("keys: every row is complete and stands in the table once") {
  std::set<std::pair<std::string_view, std::string_view>> seen;
  for (const Key& key : all_keys()) {
    CAPTURE(address_of(key));
    CHECK(seen.emplace(key.group, key.name).second);
    CHECK(is_group(key.group));
    CHECK(key.means.ends_with('.'));
    CHECK((key.inner.empty() || is_group(key.inner)));
    CHECK(((key.holds & group) == 0 || !key.inner.empty()));
    CHECK(((key.holds & word) == 0 || !key.choices.empty()));
    // absent: an error, a default, or a sentence that says what then holds
    CHECK(key.required + !key.standard.empty() + !key.otherwise.empty() == 1);
    CHECK((key.spread.kind == Spread::Kind::none || (key.may_vary && !key.spread.source.empty())));
  }
}

TEST_CASE("keys: defaults, bounds and spreads read as what they are, defaults within the bounds") {
  for (const Key& key : all_keys()) {
    if (!key.kind) continue;
    CAPTURE(address_of(key));
    for (const std::string_view bound : {key.above, key.least, key.most})
      if (!bound.empty()) CHECK(parse_quantity(std::string(bound), *key.kind).good());
    const auto choices = choices_of(key);
    const bool said_in_a_word = std::find(choices.begin(), choices.end(), key.standard) != choices.end();
    for (const std::string_view written : {key.standard, key.example}) {
      if (written.empty() || said_in_a_word) continue;
      const Quantity value = parse_quantity(std::string(written), *key.kind);
      CHECK(value.good());
      CHECK(outside_bounds(key, *key.kind, value.value) == "");
    }
    if (key.spread.kind == Spread::Kind::factor)
      CHECK(parse_quantity(std::string(key.spread.size), Kind::ratio).value > 1.0);
    if (key.spread.kind == Spread::Kind::deviation)
      CHECK((parse_quantity(std::string(key.spread.size), *key.kind).good() ||
             parse_quantity(std::string(key.spread.size), Kind::ratio).good()));
  }
}

TEST_CASE("keys: an address leads back to its key") {
  for (const Key& key : all_keys()) {
    CAPTURE(address_of(key));
    const Key* found = key_at(address_of(key));
    REQUIRE(found != nullptr);
    CHECK(found->name == key.name);
  }
  CHECK(key_at("column[2].diameter") == find_key("column", "diameter"));
  CHECK(key_at("press.limits.force") == find_key("limits", "force"));
  CHECK(key_at("colum.diameter") == nullptr);
}

TEST_CASE(
    "keys: everything the shipped files say is in the table, and everything in the table is said there") {
  // Readers refuse keys that are not in the table, so reading alone shows the first half.  For the second
  // half the words of the shipped cases, tools, presses and materials and of the key table's own file are
  // searched.
  std::string all;
  for (const char* folder : {"cases", "materials/data", "tests/all_keys"})
    for (const auto& entry : fs::recursive_directory_iterator(root / folder))
      if (entry.path().extension() == ".yaml") all += joulepress::test::content(entry.path());
  for (const Key& key : all_keys()) {
    CAPTURE(address_of(key));
    if (address_of(key) != "materials")  // written by resolved_case.yaml, whose round trip is another test
      CHECK(all.find(std::string(key.name) + ":") != std::string::npos);
  }
  for (const auto& entry : fs::directory_iterator(root / "tests" / "all_keys"))
    if (entry.path().filename().string().starts_with("case")) CHECK_NOTHROW(read_case(entry.path()));
  const Plan plan = read_plan(root / "tests" / "all_keys" / "plan.yaml");
  CHECK(members_of(plan).size() == 2 * 3 * 2 * 2);
  const PressLog log = read_press_log(root / "tests" / "all_keys" / "log.csv");
  CHECK(log.columns.size() == 3);  // two of one sensor
  CHECK(log.melts.size() == 2);
}

TEST_CASE("keys: whatever a case says comes back from its resolved form, and goes into the problem once") {
  for (const auto& entry : fs::directory_iterator(root / "tests" / "all_keys")) {
    if (!entry.path().filename().string().starts_with("case")) continue;
    CAPTURE(entry.path().filename().string());
    const Case first = read_case(entry.path());
    const Case second = read_case("resolved_case.yaml", resolved_case(first));
    CHECK(resolved_case(second) == resolved_case(first));
    CHECK(second.walls_see_each_other == first.walls_see_each_other);
    CHECK(second.judge_strength == first.judge_strength);
    CHECK(second.safety_factor == first.safety_factor);
    CHECK(second.ejection_friction == first.ejection_friction);
    REQUIRE(second.scales.size() == first.scales.size());
    for (std::size_t k = 0; k < first.scales.size(); ++k) {
      CHECK(second.scales[k].material == first.scales[k].material);
      CHECK(second.scales[k].property == first.scales[k].property);
      CHECK(second.scales[k].factor == first.scales[k].factor);
    }
    REQUIRE(second.materials.size() == first.materials.size());
    for (std::size_t k = 0; k < first.materials.size(); ++k)
      for (const double T : {300.0, 1000.0, 1800.0})
        CHECK(second.materials[k].resistivity.along.curve.value(T) ==
              first.materials[k].resistivity.along.curve.value(T));
  }
  const Case with = read_case(root / "tests" / "all_keys" / "case-tooling.yaml");
  CHECK(!with.walls_see_each_other);
  CHECK(with.scales.size() == 3);
}

TEST_CASE("keys: a case that says nothing of scales and of what walls see keeps its resolved bytes") {
  const std::string text = resolved_case(read_case(root / "cases" / "alumina-20mm.yaml"));
  CHECK(text.find("walls see:") == std::string::npos);
  CHECK(text.find("scales:") == std::string::npos);
  CHECK(text.find("strength: {judge") == std::string::npos);
}

TEST_CASE("keys: by what the strength of tools is judged, as usual and as written") {
  const joulepress::solver::StrengthRules usual;
  const auto plain = build_problem(read_case(root / "cases" / "copper-20mm.yaml"));
  CHECK(plain.strength.wanted == usual.wanted);
  CHECK(plain.strength.safety_factor == usual.safety_factor);
  CHECK(plain.strength.ejection_friction == usual.ejection_friction);
  const auto own = build_problem(read_case(root / "tests" / "all_keys" / "case-column.yaml"));
  CHECK_FALSE(own.strength.wanted);
  CHECK(own.strength.safety_factor == 3.0);
  CHECK(own.strength.ejection_friction == 0.15);
}
