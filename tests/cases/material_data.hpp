// The shipped materials, for the tests that read all of them and those that check their values.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "cases/reader/input_error.hpp"
#include "cases/reader/material_reader.hpp"
#include "cases/reader/source_node.hpp"
#include "materials/material.hpp"

namespace joulepress::test {

inline std::vector<materials::Material> all_materials() {
  std::vector<materials::Material> all;
  for (const std::filesystem::path& path : cases::shipped_materials())
    all.push_back(cases::read_material(path));
  return all;
}

/// By the way a case takes: name, file, reader.
inline materials::Material shipped(const std::string& name) {
  const std::filesystem::path file = cases::find_material(name, {});
  REQUIRE_MESSAGE(!file.empty(), "no shipped material is named " << name);
  const materials::Material material = cases::read_material(file);
  CHECK(material.name == name);
  return material;
}

/// What the reader says about an otherwise sound material with these lines.
inline std::string complaint(const std::string& lines) {
  cases::ErrorList errors;
  const std::string text =
      "format: 1\nmaterial: mud\ndensity: {value: 2000 kg/m3, source: invented}\n"
      "heat capacity: {unit: J/kgK, value: 800, source: invented}\n"
      "conductivity: {unit: W/mK, value: 1, source: invented}\n"
      "resistivity: {unit: ohm m, value: 1, source: invented}\n" +
      lines + "\n";
  const auto document = cases::parse_document("mud.yaml", text, errors);
  cases::read_material(document, errors);
  try {
    errors.throw_if_any();
  } catch (const cases::InputErrors& problem) {
    return problem.what();
  }
  return "accepted";
}

using Points = std::vector<std::pair<double, double>>;  // temperature K, value

inline void check_points(const materials::Curve& curve, const Points& points, double tolerance) {
  for (const auto& [T, value] : points) {
    CAPTURE(T);
    CAPTURE(curve.value(T));
    CHECK(std::abs(curve.value(T) - value) <= tolerance);
  }
}

inline constexpr double micro = 1e-6;
inline constexpr double reference = 298.15;  // K, where integrals of a heat capacity start

}  // namespace joulepress::test
