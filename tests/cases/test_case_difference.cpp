// What differs between two cases: keys, entries by name, units of the trade.
#include <doctest/doctest.h>

#include "cases/reader/case_difference.hpp"
#include "cases/reader/case_reader.hpp"
#include "cases/reader/case_writer.hpp"

using namespace joulepress;

namespace {

using Changes = std::vector<cases::CaseChange>;

Changes between(const std::string& a, const std::string& b) {
  return cases::case_differences(a, b);
}

void check(const Changes& changes, const std::string& key, const std::string& first,
           const std::string& then) {
  REQUIRE(changes.size() == 1);
  CHECK(changes[0].key == key);
  CHECK(changes[0].first == first);
  CHECK(changes[0].then == then);
}

const std::string column =
    "column:\n"
    "  - {name: low, height: 0.04 m}\n"
    "  - {name: high, height: 0.02 m}\n";

}  // namespace

TEST_CASE("case differences: a changed value by its path, in the units of the trade") {
  check(between("contacts: {lateral: {thermal: 1320 W/m2K}}", "contacts: {lateral: {thermal: 4000 W/m2K}}"),
        "contacts.lateral.thermal", "1.32 kW/m2K", "4 kW/m2K");
  check(between(column, "column:\n  - {name: low, height: 0.04 m}\n  - {name: high, height: 0.025 m}\n"),
        "column[high].height", "20 mm", "25 mm");
  check(between("chamber: 298.15 K", "chamber: 300 K"), "chamber", "25 degC", "26.85 degC");
  check(between("rate: 1.6666666666666667 K/s", "rate: 0.5 K/s"), "rate", "100 K/min", "30 K/min");
  check(between("p: 50000000 Pa", "p: 16000000 Pa"), "p", "50 MPa", "16 MPa");
  check(between("title: old", "title: new"), "title", "old", "new");
}

TEST_CASE("case differences: what the units of the trade would hide is shown as it stands") {
  check(between("h: 0.02 m", "h: 0.020000000000000004 m"), "h", "0.02 m", "0.020000000000000004 m");
}

TEST_CASE("case differences: nothing for comments and the order of keys") {
  CHECK(between("# one\na: 1\nb: {c: 2, d: 3}\n", "b: {d: 3, c: 2}   # two\na: 1\n").empty());
}

TEST_CASE("case differences: entries that only one has, matched by name and not by place") {
  check(between(column, column + "  - {name: top, height: 0.01 m}\n"), "column[top]", "",
        "{name: top, height: 10 mm}");
  check(between(column, "column:\n  - {name: high, height: 0.02 m}\n"), "column[low]",
        "{name: low, height: 40 mm}", "");
  check(between("a: 1\n", "a: 1\nnumerics: {strict: on}\n"), "numerics", "", "{strict: on}");
  check(between("steps: [{hold: 60 s}]", "steps: [{hold: 60 s}, {hold: 30 s}]"), "steps[1]", "",
        "{hold: 30 s}");
}

TEST_CASE("case differences: the order of named entries counts") {
  check(between(column, "column:\n  - {name: high, height: 0.02 m}\n  - {name: low, height: 0.04 m}\n"),
        "column, order", "low, high", "high, low");
}

TEST_CASE("case differences: materials key by key, tables as one value, in their own units") {
  const auto text = [](const std::string& k) {
    return "materials:\n  - |\n    material: ore\n    conductivity:\n      unit: W/mK\n      table: " + k +
           "\n      range: [273 K, 900 K]\n";
  };
  check(between(text("[[273, 5], [900, 3]]"), text("[[273, 5], [900, 4]]")),
        "materials[ore].conductivity.table", "[[273, 5], [900, 3]]", "[[273, 5], [900, 4]]");
}

TEST_CASE("case differences: a resolved case against itself changed in one place") {
  const std::filesystem::path root = JOULEPRESS_SOURCE_DIR;
  cases::Case c = cases::read_case(root / "cases" / "alumina-20mm.yaml");
  const std::string before = cases::resolved_case(c);
  CHECK(between(before, before).empty());
  c.contacts.heat_lateral = 4000;
  check(between(before, cases::resolved_case(c)), "contacts.lateral.thermal", "1.32 kW/m2K", "4 kW/m2K");
}

TEST_CASE("case differences: a deviation that is left is a difference, also of a temperature") {
  const auto text = [](const std::string& left) {
    return "calibration: {inputs: [{name: water, values: [{at: press.column ends.water, deviation: " + left +
           "}]}]}\n";
  };
  check(between(text("3 K"), text("2 K")), "calibration.inputs[water].values[0].deviation", "3 K", "2 K");
}
