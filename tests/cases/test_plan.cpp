// Plans: members in their order, ranges to their ends, stock lists, and what is refused before or as
// variants.
#include <doctest/doctest.h>

#include <algorithm>
#include <charconv>
#include <cmath>
#include <filesystem>
#include <string>
#include <vector>

#include "cases/many/plan.hpp"
#include "cases/many/variant.hpp"
#include "tests/support/folder.hpp"
#include "tests/support/relative.hpp"

namespace {

namespace fs = std::filesystem;
using namespace joulepress;
using cases::Plan;
using cases::PlanMember;
using test::Folder;
using test::relative;

const fs::path shipped = fs::path(JOULEPRESS_SOURCE_DIR) / "cases";

Plan plan_of(const Folder& folder, const std::string& text, const std::string& base = "alumina-20mm.yaml") {
  return cases::read_plan(
      folder.write("plan.yaml", "format: 1\ncase: " + (shipped / base).string() + "\n" + text));
}

std::vector<std::string> values_of(const Plan& plan, std::size_t variation = 0) {
  std::vector<std::string> values;
  for (const auto& value : plan.vary.at(variation).values) values.push_back(value.text);
  return values;
}

std::vector<double> numbers_of(const Plan& plan) {
  std::vector<double> numbers;
  for (const std::string& text : values_of(plan)) {
    double number = std::nan("");
    std::from_chars(text.data(), text.data() + text.size(), number);
    numbers.push_back(number);
  }
  return numbers;
}

std::string edits_of(const PlanMember& member) {
  std::string text;
  for (const cases::Edit& edit : member.edits)
    text += (text.empty() ? "" : "; ") + edit.address + " = " + edit.value.text;
  return text;
}

using Words = std::vector<std::string>;

}  // namespace

TEST_CASE("plan: members are the listed ones over the grid, the last variation fastest") {
  const Folder folder("plan-members");
  const Plan plan = plan_of(folder,
                            "title: a grid\n"
                            "vary:\n"
                            "  - {key: contacts.ageing, values: [1, 1.2, 1.5]}\n"
                            "  - key: \"sleeves[die].outer diameter\"\n"
                            "    values: [50 mm, 60 mm]\n"
                            "    with: [{key: \"sensors[die thermocouple].depth\", values: [11 mm, 16 mm]}]\n"
                            "members:\n"
                            "  - {name: as drawn}\n"
                            "  - {name: better, set: [{key: contacts.lateral.thermal, value: 3 kW/m2K}]}\n");
  CHECK(plan.title == "a grid");
  CHECK(plan.base.title == "20 mm alumina disc, 1350 degC for 5 min");
  const auto members = cases::members_of(plan);
  REQUIRE(members.size() == 2 * 3 * 2);
  CHECK(members[0].name == "as drawn");
  CHECK(members[0].settings == Words{"1", "50 mm"});
  CHECK(members[1].settings == Words{"1", "60 mm"});
  CHECK(members[2].settings == Words{"1.2", "50 mm"});
  CHECK(members[5].settings == Words{"1.5", "60 mm"});
  CHECK(members[6].name == "better");
  CHECK(members[6].settings == Words{"1", "50 mm"});
  CHECK(edits_of(members[1]) ==
        "contacts.ageing = 1; sleeves[die].outer diameter = 60 mm; sensors[die thermocouple].depth = 16 mm");
  CHECK(edits_of(members[11]) ==
        "contacts.lateral.thermal = 3 kW/m2K; contacts.ageing = 1.5; sleeves[die].outer diameter = 60 mm; "
        "sensors[die thermocouple].depth = 16 mm");
}

TEST_CASE("plan: listed members alone, and the grid alone") {
  const Folder folder("plan-alone");
  const auto listed = cases::members_of(plan_of(
      folder, "members: [{name: as drawn}, {name: old, set: [{key: contacts.ageing, value: 1.4}]}]\n"));
  REQUIRE(listed.size() == 2);
  CHECK(listed[0].edits.empty());
  CHECK(listed[0].settings.empty());
  CHECK(edits_of(listed[1]) == "contacts.ageing = 1.4");
  const auto grid = cases::members_of(plan_of(folder, "vary: [{key: contacts.ageing, values: [1, 2]}]\n"));
  REQUIRE(grid.size() == 2);
  CHECK(grid[0].name == "");
}

TEST_CASE("plan: ranges have both ends to the last digit, at the same distance or the same ratio") {
  const Folder folder("plan-ranges");
  const auto range = [&folder](const std::string& words) {
    return plan_of(folder, "vary: [{key: \"sleeves[die].outer diameter\", " + words + "}]\n");
  };
  CHECK(values_of(range("from: 40 mm, to: 80 mm, count: 5")) ==
        Words{"40 mm", "50 mm", "60 mm", "70 mm", "80 mm"});
  CHECK(values_of(range("from: 0.1 m, to: 0.3 m, count: 3, spacing: even")) ==
        Words{"0.1 m", "0.2 m", "0.3 m"});
  CHECK(values_of(range("from: 30mm, to: 270mm, count: 3, spacing: ratio")) ==
        Words{"30 mm", "90 mm", "270 mm"});
  const auto thirds = numbers_of(range("from: 33.3 mm, to: 77.7 mm, count: 7, spacing: ratio"));
  REQUIRE(thirds.size() == 7);
  CHECK(thirds.front() == 33.3);
  CHECK(thirds.back() == 77.7);
  for (std::size_t k = 1; k < 7; ++k)
    CHECK(thirds[k] / thirds[k - 1] == relative(std::pow(77.7 / 33.3, 1.0 / 6.0), 1e-11));
  const auto factor = plan_of(
      folder,
      "vary: [{key: \"materials[alumina].conductivity\", from: 0.5, to: 2, count: 3, spacing: ratio}]\n");
  CHECK(values_of(factor) == Words{"0.5", "1", "2"});
  const auto negative =
      plan_of(folder, "vary: [{key: surroundings.chamber, from: -10 degC, to: 20 degC, count: 4}]\n");
  CHECK(values_of(negative) == Words{"-10 degC", "0 degC", "10 degC", "20 degC"});
}

TEST_CASE("plan: sizes of a stock list between the smallest and the largest wanted, both included") {
  const Folder folder("plan-stock");
  folder.write("rounds.yaml", "format: 1\nsizes: [30 mm, 40 mm, 50 mm, 60 mm, 80 mm]\n");
  const auto stock = [&folder](const std::string& words) {
    return values_of(
        plan_of(folder, "vary: [{key: \"sleeves[die].outer diameter\", stock: rounds.yaml" + words + "}]\n"));
  };
  CHECK(stock("") == Words{"30 mm", "40 mm", "50 mm", "60 mm", "80 mm"});
  CHECK(stock(", from: 40 mm") == Words{"40 mm", "50 mm", "60 mm", "80 mm"});
  CHECK(stock(", to: 59 mm") == Words{"30 mm", "40 mm", "50 mm"});
  CHECK(stock(", from: 41 mm, to: 60 mm") == Words{"50 mm", "60 mm"});
  const Plan walls = cases::read_plan(shipped / "plans" / "die-wall-20mm.yaml");
  const auto members = cases::members_of(walls);
  REQUIRE(members.size() == 12);
  for (const PlanMember& member : members) {
    CAPTURE(member.settings.front());
    CHECK(cases::variant_of(walls.resolved, member.edits, shipped).refused == "");
  }
}

TEST_CASE("plan: every shipped plan can be read, and all its variants are cases") {
  int plans = 0;
  for (const auto& entry : fs::directory_iterator(shipped / "plans")) {
    if (entry.path().extension() != ".yaml") continue;
    CAPTURE(entry.path().filename().string());
    ++plans;
    const Plan plan = cases::read_plan(entry.path());
    for (const PlanMember& member : cases::members_of(plan))
      CHECK(cases::variant_of(plan.resolved, member.edits, entry.path().parent_path()).refused == "");
  }
  CHECK(plans >= 1);
}

TEST_CASE("plan: a variant that is no case is told with the place of its value") {
  const Folder folder("plan-refused");
  const Plan plan =
      plan_of(folder,
              "vary:\n"
              "  - key: \"sleeves[die].outer diameter\"\n"
              "    values: [20 mm, 30 mm, 50 mm]\n"
              "members: [{name: hot, set: [{key: surroundings.atmosphere, value: argom}]},\n"
              "          {name: with a felt, set: [{key: \"foils[1].material\", value: felt}]}]\n");
  const auto members = cases::members_of(plan);
  const auto why = [&](std::size_t k) {
    return cases::variant_of(plan.resolved, members.at(k).edits, folder.path).refused;
  };
  // Thinner than its bore; then thinner than the couple's bore is deep: the part is named, the sensor has no
  // value of the plan.
  CHECK(why(3).find("sleeves[0].outer diameter: The outer diameter is not larger than the inner one. Check "
                    "both. (plan.yaml:5:14)") != std::string::npos);
  CHECK(why(1).find("The bore of \"die thermocouple\" ends outside \"die\": r = 4.00 mm") !=
        std::string::npos);
  CHECK(why(2) ==
        "surroundings.atmosphere: \"argom\" is not known here. Did you mean \"argon\"?  Known: "
        "vacuum, argon, nitrogen. (plan.yaml:6:67)");
  // Both mistakes at once.
  CHECK(why(3).find("felt") != std::string::npos);
  CHECK(why(3).find("(plan.yaml:7:71)") != std::string::npos);
  CHECK(why(4).find("felt") != std::string::npos);
}
