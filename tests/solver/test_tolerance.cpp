// Thermocouple tolerances against check values by hand, at the joints and at the ends of the ranges.
#include "solver/tolerance.hpp"
#include "tests/support/record.hpp"

#include <doctest/doctest.h>
#include <fmt/format.h>

#include <cmath>
#include <limits>
#include <vector>

using namespace joulepress::solver;
using enum Thermocouple;

namespace {
double at(Thermocouple type, int tolerance_class, double celsius) {
  return tolerance(type, tolerance_class, celsius + 273.15).value_or(-1.0);
}
}  // namespace

TEST_CASE("tolerances by hand") {
  struct Row {
    Thermocouple type;
    int tolerance_class;
    double celsius, K;
  };
  const std::vector<Row> rows{{K, 2, 1000, 7.5},  {K, 1, 1000, 4},   {K, 2, 20, 2.5},    {K, 1, -40, 1.5},
                              {K, 3, -200, 3.0},  {K, 3, -100, 2.5}, {K, 2, 1200, 9},    {N, 1, 500, 2},
                              {N, 2, 1200, 9},    {N, 3, -200, 3},   {J, 1, 750, 3},     {J, 2, 700, 5.25},
                              {S, 2, 1500, 3.75}, {S, 1, 1100, 1},   {S, 1, 1600, 2.5},  {S, 1, 20, 1},
                              {S, 2, 20, 1.5},    {R, 1, 1500, 2.2}, {R, 2, 1600, 4},    {R, 1, 900, 1},
                              {R, 2, 600, 1.5},   {B, 2, 600, 1.5},  {B, 2, 1700, 4.25}, {B, 3, 700, 4},
                              {B, 3, 1700, 8.5},  {C, 2, 2000, 20},  {C, 2, 426, 4.26},  {N, 1, 100, 1.5},
                              {J, 2, -40, 2.5},   {J, 1, 0, 1.5},    {K, 2, -40, 2.5},   {K, 3, 40, 2.5},
                              {N, 2, 300, 2.5},   {R, 2, 1200, 3},   {N, 3, 40, 2.5},    {C, 2, 2315, 23.15}};
  for (const Row& row : rows) {
    CAPTURE(static_cast<int>(row.type));
    CAPTURE(row.tolerance_class);
    CAPTURE(row.celsius);
    joulepress::test::compare(
        {fmt::format("tolerance of a couple type {}, class {}, at {:g} degC",
                     "BCJKNRS"[static_cast<int>(row.type)], row.tolerance_class, row.celsius),
         "IEC 60584-1:2013 as quoted by makers; C from memory", row.K,
         at(row.type, row.tolerance_class, row.celsius), 1e-9, "K", "tolerance of a couple"});
  }
}

TEST_CASE("no step where the line takes over from the constant") {
  struct Joint {
    Thermocouple type;
    int tolerance_class;
    double celsius, constant, slope;  // slope: K per K on the side away from 0 degC
  };
  const std::vector<Joint> joints{
      {J, 1, 375, 1.5, 0.004},        {K, 1, 375, 1.5, 0.004},        {N, 1, 375, 1.5, 0.004},
      {J, 2, 1000 / 3., 2.5, 0.0075}, {K, 2, 1000 / 3., 2.5, 0.0075}, {N, 2, 1000 / 3., 2.5, 0.0075},
      {K, 3, -500 / 3., 2.5, 0.015},  {N, 3, -500 / 3., 2.5, 0.015},  {R, 1, 1100, 1, 0.003},
      {S, 1, 1100, 1, 0.003},         {R, 2, 600, 1.5, 0.0025},       {S, 2, 600, 1.5, 0.0025},
      {B, 3, 800, 4, 0.005}};
  for (const Joint& joint : joints) {
    CAPTURE(static_cast<int>(joint.type));
    CAPTURE(joint.tolerance_class);
    const double out = joint.celsius > 0 ? 1.0 : -1.0;
    CHECK(std::abs(at(joint.type, joint.tolerance_class, joint.celsius) - joint.constant) < 1e-9);
    CHECK(at(joint.type, joint.tolerance_class, joint.celsius - out) == joint.constant);
    CHECK(std::abs(at(joint.type, joint.tolerance_class, joint.celsius + out) - joint.constant -
                   joint.slope) < 1e-9);
  }
}

TEST_CASE("ranges of the classes") {
  struct Row {
    Thermocouple type;
    int tolerance_class;
    double from, to;  // degC
  };
  const std::vector<Row> rows{{B, 2, 600, 1700}, {B, 3, 600, 1700}, {C, 2, 426, 2315}, {J, 1, -40, 750},
                              {J, 2, -40, 750},  {K, 1, -40, 1000}, {K, 2, -40, 1200}, {K, 3, -200, 40},
                              {N, 1, -40, 1000}, {N, 2, -40, 1200}, {N, 3, -200, 40},  {R, 1, 0, 1600},
                              {R, 2, 0, 1600},   {S, 1, 0, 1600},   {S, 2, 0, 1600}};
  for (const Row& row : rows) {
    CAPTURE(static_cast<int>(row.type));
    CAPTURE(row.tolerance_class);
    const auto range = tolerance_range(row.type, row.tolerance_class);
    REQUIRE(range);
    CHECK(std::abs(range->first - 273.15 - row.from) < 1e-9);
    CHECK(std::abs(range->second - 273.15 - row.to) < 1e-9);
  }
}

TEST_CASE("no tolerance outside the range or without a class") {
  int defined = 0;
  for (const Thermocouple type : {B, C, J, K, N, R, S})
    for (int tolerance_class = 0; tolerance_class <= 4; ++tolerance_class) {
      CAPTURE(static_cast<int>(type));
      CAPTURE(tolerance_class);
      const auto range = tolerance_range(type, tolerance_class);
      CHECK(tolerance(type, tolerance_class, 900.0).has_value() == (range && range->second > 900.0));
      if (!range) continue;
      ++defined;
      CHECK(tolerance(type, tolerance_class, range->first));
      CHECK(tolerance(type, tolerance_class, range->second));
      CHECK_FALSE(tolerance(type, tolerance_class, range->first - 1e-6));
      CHECK_FALSE(tolerance(type, tolerance_class, range->second + 1e-6));
      CHECK_FALSE(tolerance(type, tolerance_class, std::numeric_limits<double>::quiet_NaN()));
    }
  CHECK(defined == 15);
  CHECK_FALSE(tolerance_range(B, 1));
  CHECK_FALSE(tolerance_range(C, 1));
  CHECK_FALSE(tolerance_range(C, 3));
  CHECK_FALSE(tolerance_range(J, 3));
  CHECK_FALSE(tolerance_range(R, 3));
  CHECK_FALSE(tolerance_range(S, 3));
  CHECK(at(K, 1, 1001) == -1.0);
  CHECK(at(S, 2, -1) == -1.0);
}
