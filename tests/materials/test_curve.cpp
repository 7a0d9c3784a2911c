// Curves against formulas done by hand, finite differences and Gauss quadrature.
#include <doctest/doctest.h>

#include <algorithm>
#include <cmath>
#include <limits>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

#include "materials/curve.hpp"

using joulepress::materials::Curve;
using joulepress::materials::Term;

namespace {

constexpr double reference = 298.15;  // K

// The alumina form of the NIST-JANAF tables: constant, positive and negative powers.
Curve alumina_heat_capacity() {
  return Curve::polynomial(
      {{1004.590, 0}, {0.3800453, 1}, {-1.560489e-4, 2}, {2.577634e-8, 3}, {-2.949707e7, -2}}, 298, 2327);
}

double central_difference(const Curve& curve, double T) {
  constexpr double step = 1e-2;
  return (curve.value(T + step) - curve.value(T - step)) / (2 * step);
}

// Composite three-point Gauss rule: exact for fifth powers, so exact for a cubic piece.
double quadrature(const Curve& curve, double from, double to, int intervals) {
  const double width = (to - from) / intervals, node = std::sqrt(0.6) / 2;
  double sum = 0;
  for (int i = 0; i < intervals; ++i) {
    const double middle = from + (i + 0.5) * width;
    sum += (5 * curve.value(middle - node * width) + 8 * curve.value(middle) +
            5 * curve.value(middle + node * width)) /
           18;
  }
  return sum * width;
}

std::string message_of(const std::vector<Curve>& parts) {
  try {
    Curve::joined(parts);
  } catch (const std::invalid_argument& error) {
    return error.what();
  }
  return "nothing thrown";
}

}  // namespace

TEST_CASE("a constant is the same everywhere and its integral is linear") {
  const Curve curve = Curve::constant(4);
  for (const double T : {1.0, 300.0, 1e5}) {
    CHECK(curve.value(T) == 4);
    CHECK(curve.slope(T) == 0);
    CHECK(curve.integral(T) == doctest::Approx(4 * (T - reference)).epsilon(1e-14));
  }
  CHECK(std::isinf(curve.t_min()));
  CHECK(std::isinf(curve.t_max()));
  CHECK(Curve().value(500) == 0);
  CHECK_THROWS_AS(Curve::constant(std::nan("")), std::invalid_argument);
}

TEST_CASE("a polynomial has its value, slope and integral by hand") {
  // 2 + 3 T - 0.001 T^2 on 250..1000 K
  const Curve curve = Curve::polynomial({{2, 0}, {3, 1}, {-0.001, 2}}, 250, 1000);
  for (const double T : {250.0, 298.15, 400.0, 777.7, 1000.0}) {
    CHECK(curve.value(T) == doctest::Approx(2 + 3 * T - 0.001 * T * T).epsilon(1e-14));
    CHECK(curve.slope(T) == doctest::Approx(3 - 0.002 * T).epsilon(1e-14));
    const auto F = [](double t) { return 2 * t + 1.5 * t * t - 0.001 / 3 * t * t * t; };
    CHECK(curve.integral(T) == doctest::Approx(F(T) - F(reference)).epsilon(1e-12));
  }
  CHECK(curve.integral(reference) == 0);
}

// Terms are evaluated through cubics: value and integral to 1e-9, slopes to the power 3/4 of that.
TEST_CASE("the power -1 integrates to a logarithm, and negative and broken powers follow their rule") {
  const Curve inverse = Curve::polynomial({{1200, -1}}, 200, 2000);
  CHECK(inverse.integral(900) == doctest::Approx(1200 * std::log(900 / reference)).epsilon(1e-9));
  CHECK(inverse.slope(400) == doctest::Approx(-1200 / (400.0 * 400.0)).epsilon(1e-6));

  const Curve square = Curve::polynomial({{5e5, -2}}, 200, 2000);
  CHECK(square.integral(900) == doctest::Approx(5e5 * (1 / reference - 1 / 900.0)).epsilon(1e-9));

  // 39500 T^-1.26: 29.9 W/mK at 300 K, 3.93 at 1500 K (pocket calculator)
  const Curve broken = Curve::polynomial({{39500, -1.26}}, 200, 2000);
  CHECK(broken.value(300) == doctest::Approx(29.88).epsilon(1e-3));
  CHECK(broken.value(1500) == doctest::Approx(3.93).epsilon(1e-3));
  CHECK(broken.slope(700) == doctest::Approx(central_difference(broken, 700)).epsilon(1e-7));
  const double by_hand = 39500 / -0.26 * (std::pow(900, -0.26) - std::pow(reference, -0.26));
  CHECK(broken.integral(900) == doctest::Approx(by_hand).epsilon(1e-9));
}

TEST_CASE("integer powers far from zero agree with std::pow") {
  for (const double power : {-20.0, -16.0, -4.0, 5.0, 16.0, 17.0}) {
    const Curve curve = Curve::polynomial({{1, power}}, 1, 1000);
    for (const double T : {1.0, 7.3, 420.0, 1000.0})
      CHECK(curve.value(T) == doctest::Approx(std::pow(T, power)).epsilon(2e-9));
  }
  // Not finite within its range: refused instead of used.
  CHECK_THROWS_AS(Curve::polynomial({{2, 1e12}}, 1, 2), std::invalid_argument);
}

TEST_CASE("slope and integral belong to the value in a form of mixed powers") {
  const Curve curve = alumina_heat_capacity();
  for (const double T : {310.0, 600.0, 1000.0, 1500.0, 2300.0}) {
    CHECK(curve.slope(T) == doctest::Approx(central_difference(curve, T)).epsilon(1e-6));
    CHECK(curve.integral(T) == doctest::Approx(quadrature(curve, reference, T, 400)).epsilon(1e-11));
  }
}

TEST_CASE("outside its range a curve holds its end value and the integral goes on linearly") {
  const Curve polynomial = Curve::polynomial({{0, 0}, {2, 1}}, 400, 1000);
  const Curve table = Curve::table({{400, 800}, {700, 1400}, {1000, 2000}});
  for (const Curve& curve : {polynomial, table}) {
    CHECK(curve.t_min() == 400);
    CHECK(curve.t_max() == 1000);
    CHECK(curve.value(100) == doctest::Approx(800));
    CHECK(curve.value(3000) == doctest::Approx(2000));
    CHECK(curve.slope(399) == 0);
    CHECK(curve.slope(1001) == 0);
    CHECK(curve.slope(400) == doctest::Approx(2));
    CHECK(curve.slope(1000) == doctest::Approx(2));
    // The reference lies below the range: 800 (400 - 298.15) comes first.
    const double to_start = 800 * (400 - reference);
    CHECK(curve.integral(reference) == doctest::Approx(0));
    CHECK(curve.integral(200) == doctest::Approx(800 * (200 - reference)).epsilon(1e-13));
    CHECK(curve.integral(1000) == doctest::Approx(to_start + 1000.0 * 1000 - 400.0 * 400).epsilon(1e-13));
    CHECK(curve.integral(1500) - curve.integral(1000) == doctest::Approx(2000 * 500).epsilon(1e-13));
  }
}

TEST_CASE("a temperature that is not a number gives not a number") {
  const double nothing = std::numeric_limits<double>::quiet_NaN();
  const Curve few = Curve::table({{300, 1}, {400, 2}, {500, 4}});
  std::vector<std::pair<double, double>> points;
  for (int i = 0; i < 30; ++i) points.push_back({300.0 + 10 * i, 1.0 + i});
  const Curve many = Curve::table(points);
  for (const Curve& curve : {few, many}) {
    CHECK(std::isnan(curve.value(nothing)));
    CHECK(std::isnan(curve.integral(nothing)));
  }
}

TEST_CASE("a table passes through its points, stays between neighbours and has a continuous slope") {
  const std::vector<std::pair<double, double>> points = {{300, 95},  {500, 90},  {650, 40}, {700, 38},
                                                         {1000, 38}, {1400, 60}, {2000, 61}};
  const Curve curve = Curve::table(points);
  for (const auto& [T, value] : points) CHECK(curve.value(T) == doctest::Approx(value).epsilon(1e-14));
  for (std::size_t i = 0; i + 1 < points.size(); ++i) {
    const double low = std::min(points[i].second, points[i + 1].second);
    const double high = std::max(points[i].second, points[i + 1].second);
    const double rise = points[i + 1].second - points[i].second;
    for (int step = 1; step < 50; ++step) {
      const double T = points[i].first + (points[i + 1].first - points[i].first) * step / 50;
      CHECK(curve.value(T) >= low - 1e-12);
      CHECK(curve.value(T) <= high + 1e-12);
      CHECK(curve.slope(T) * rise >= -1e-12);
      CHECK(std::abs(curve.slope(T) - central_difference(curve, T)) < 1e-7);
    }
  }
  for (std::size_t i = 1; i + 1 < points.size(); ++i) {
    const double T = points[i].first;
    CHECK(curve.slope(T - 1e-9) == doctest::Approx(curve.slope(T + 1e-9)).epsilon(1e-7));
  }
  // The segment of the reference temperature begins below it, so the break at 300 K is a node of the rule.
  const double expected = 95 * (300 - reference) + quadrature(curve, 300, 2000, 17 * 20);
  CHECK(curve.integral(2000) == doctest::Approx(expected).epsilon(1e-12));
}

TEST_CASE("a table reproduces straight lines exactly and parabolas inside") {
  std::vector<std::pair<double, double>> line, parabola;
  for (const double T : {300.0, 340.0, 500.0, 560.0, 800.0, 900.0}) {
    line.push_back({T, 5 - 0.004 * T});
    parabola.push_back({T, 1e-4 * T * T});
  }
  const Curve straight = Curve::table(line), bent = Curve::table(parabola);
  for (double T = 300; T <= 900; T += 7) {
    CHECK(straight.value(T) == doctest::Approx(5 - 0.004 * T).epsilon(1e-13));
    CHECK(straight.slope(T) == doctest::Approx(-0.004).epsilon(1e-11));
    CHECK(bent.value(T) == doctest::Approx(1e-4 * T * T).epsilon(1e-13));
  }
  const Curve two = Curve::table({{300, 1}, {400, 3}});
  CHECK(two.value(350) == doctest::Approx(2));
  CHECK(two.slope(350) == doctest::Approx(0.02));
}

TEST_CASE("many pieces are found by bisection as few are by a scan") {
  // Third powers on 300..1500 K in 3 and in 40 pieces of the same formula.
  const auto cut = [](int n) {
    std::vector<Curve> pieces;
    for (int i = 0; i < n; ++i)
      pieces.push_back(Curve::polynomial({{1e-6, 3}}, 300 + 1200.0 * i / n, 300 + 1200.0 * (i + 1) / n));
    return Curve::joined(pieces);
  };
  const Curve few = cut(3), many = cut(40);
  for (double T = 250; T < 1600; T += 3.7) {
    CHECK(many.value(T) == doctest::Approx(few.value(T)).epsilon(1e-13));
    CHECK(many.slope(T) == doctest::Approx(few.slope(T)).epsilon(1e-12));
    CHECK(many.integral(T) == doctest::Approx(few.integral(T)).epsilon(1e-12));
  }
}

TEST_CASE("a junction among many pieces belongs to the piece that begins there") {
  std::vector<Curve> pieces;
  for (int i = 0; i < 12; ++i)
    pieces.push_back(Curve::polynomial({{100 + 0.01 * i, 0}}, 300 + 10.0 * i, 310 + 10.0 * i));
  const Curve curve = Curve::joined(pieces);
  for (int i = 0; i < 12; ++i) CHECK(curve.value(300 + 10.0 * i) == 100 + 0.01 * i);
}

TEST_CASE("joined curves: terms then a table, table then terms, integral without a jump") {
  const Curve terms = Curve::polynomial({{123, 0}, {-0.07, 1}}, 300, 1000);  // 53 at 1000 K
  const Curve table = Curve::table({{1000, 53}, {1500, 45}, {2000, 40}});
  const Curve after = Curve::polynomial({{50, 0}, {-0.005, 1}}, 2000, 3000);  // 40 at 2000 K
  const Curve curve = Curve::joined({terms, table, after});
  CHECK(curve.t_min() == 300);
  CHECK(curve.t_max() == 3000);
  CHECK(curve.value(700) == doctest::Approx(74));
  CHECK(curve.value(1500) == doctest::Approx(45));
  CHECK(curve.value(2500) == doctest::Approx(37.5));
  CHECK(curve.integral(1000) ==
        doctest::Approx(102 * (300 - reference) + 123 * 700.0 - 0.035 * (1e6 - 9e4)).epsilon(1e-12));
  CHECK(curve.integral(3000) ==
        doctest::Approx(terms.integral(1000) + (table.integral(2000) - table.integral(1000)) +
                        (after.integral(3000) - after.integral(2000)))
            .epsilon(1e-12));
  CHECK(curve.integral(1000 + 1e-7) - curve.integral(1000 - 1e-7) < 1.1e-5);
}

TEST_CASE("joined curves keep a rounding jump and refuse what is a mistake") {
  const Curve low = Curve::polynomial({{100, 0}}, 300, 600);
  const Curve rounding = Curve::polynomial({{100.05, 0}}, 600, 900);
  const Curve curve = Curve::joined({low, rounding});
  CHECK(curve.value(599.999) == 100);
  CHECK(curve.value(600) == 100.05);  // a junction belongs to the piece that begins there
  CHECK(curve.integral(601) - curve.integral(599) == doctest::Approx(200.05).epsilon(1e-10));

  const Curve step = Curve::polynomial({{101, 0}}, 600, 900), gap = Curve::polynomial({{100, 0}}, 601, 900);
  const Curve overlap = Curve::polynomial({{100, 0}}, 599, 900);
  CHECK(message_of({low, step}) ==
        "the value jumps from 100.000000 to 101.000000 at 600.000000 K; "
        "write a true step as a short piece of stated width");
  CHECK(message_of({low, gap}) == "a piece ends at 600.000000 K, the next begins at 601.000000 K");
  CHECK(message_of({low, overlap}) == "a piece ends at 600.000000 K, the next begins at 599.000000 K");
  CHECK(message_of({low, Curve::constant(100)}) == "a constant has no range and cannot be joined");
  CHECK(message_of({}) == "there is no piece to join");

  // The same step with a stated width is fine: 100 to 101 within 2 K.
  const Curve wide =
      Curve::joined({Curve::polynomial({{100, 0}}, 300, 599), Curve::table({{599, 100}, {601, 101}}),
                     Curve::polynomial({{101, 0}}, 601, 900)});
  CHECK(wide.value(600) == doctest::Approx(100.5));
  CHECK(wide.integral(601) - wide.integral(599) == doctest::Approx(201).epsilon(1e-10));
}

TEST_CASE("scaling multiplies value, slope and integral") {
  const Curve joined = Curve::joined(
      {Curve::polynomial({{2, 1}}, 300, 500), Curve::table({{500, 1000}, {700, 1100}, {900, 1800}})});
  for (const Curve& curve : {Curve::constant(7), alumina_heat_capacity(), joined}) {
    const Curve twice = curve.scaled(2.5);
    for (const double T : {200.0, 310.0, 650.0, 2500.0}) {
      CHECK(twice.value(T) == doctest::Approx(2.5 * curve.value(T)).epsilon(1e-13));
      CHECK(twice.slope(T) == doctest::Approx(2.5 * curve.slope(T)).epsilon(1e-13));
      CHECK(twice.integral(T) == doctest::Approx(2.5 * curve.integral(T)).epsilon(1e-12));
    }
    CHECK(twice.t_min() == curve.t_min());
    CHECK(twice.t_max() == curve.t_max());
  }
  CHECK_THROWS_AS(Curve::constant(1).scaled(std::numeric_limits<double>::infinity()), std::invalid_argument);
}

TEST_CASE("curves that cannot be are refused") {
  CHECK_THROWS_AS(Curve::table({{300, 1}}), std::invalid_argument);
  CHECK_THROWS_AS(Curve::table({{300, 1}, {300, 2}}), std::invalid_argument);
  CHECK_THROWS_AS(Curve::table({{400, 1}, {300, 2}}), std::invalid_argument);
  CHECK_THROWS_AS(Curve::table({{300, 1}, {400, std::nan("")}}), std::invalid_argument);
  CHECK_THROWS_AS(Curve::polynomial({{1, 0}}, 0, 300), std::invalid_argument);
  CHECK_THROWS_AS(Curve::polynomial({{1, 0}}, 300, 300), std::invalid_argument);
  CHECK_THROWS_AS(Curve::polynomial({{1, 0}}, 300, std::nan("")), std::invalid_argument);
  CHECK_THROWS_AS(Curve::polynomial({}, 300, 400), std::invalid_argument);
  CHECK_THROWS_AS(Curve::polynomial({{std::nan(""), 0}}, 300, 400), std::invalid_argument);
}
