// The shipped materials, for the tests that read all of them and those that check their values.
#pragma once

#include <doctest/doctest.h>

#include <cmath>
#include <filesystem>
#include <string>
#include <utility>
#include <vector>

#include "cases/reader/material_reader.hpp"
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
