// Programme, limits, ledger, enthalpy inversion: small exact pieces (identities).
#include "solver/drive.hpp"

#include <doctest/doctest.h>

#include <cmath>

#include "solver/properties.hpp"
#include "tests/support/relative.hpp"
#include "tests/support/stack.hpp"

using namespace joulepress;
using namespace joulepress::solver;

TEST_CASE("the lowest of the three limits binds") {
  Drive drive;
  drive.current_limit = 1000;
  CHECK(ceiling(drive, 500).s == 1e6);
  drive.voltage_limit = 1;  // at 500 S: 500 A
  CHECK(ceiling(drive, 500).s == doctest::Approx(250000));
  CHECK(ceiling(drive, 500).limit == Limit::voltage);
  drive.power_limit = 100;  // s = P G = 50 000
  CHECK(ceiling(drive, 500).s == doctest::Approx(50000));
  CHECK(ceiling(drive, 500).limit == Limit::power);
}

TEST_CASE("current, voltage and power programmes give the same s for the same state, clamped at the limit") {
  Drive drive;
  Segment segment{0, 10, 0, 1000, false, false, ""};
  const double G = 400;
  drive.kind = DriveKind::current;
  CHECK(prescribed(drive, drive.kind, segment, 5, G).s == doctest::Approx(250000));
  segment.to = 1000 / G;
  drive.kind = DriveKind::voltage;
  CHECK(prescribed(drive, drive.kind, segment, 5, G).s == doctest::Approx(250000));
  segment.to = 1000 * 1000 / G / 2;
  drive.kind = DriveKind::power;
  CHECK(prescribed(drive, drive.kind, segment, 5, G).s == doctest::Approx(250000));
  drive.current_limit = 300;
  CHECK(prescribed(drive, drive.kind, segment, 5, G).s == doctest::Approx(90000));
  CHECK(prescribed(drive, drive.kind, segment, 5, G).limit == Limit::current);
  segment.off = true;
  CHECK(prescribed(drive, drive.kind, segment, 5, G).s == 0.0);
}

TEST_CASE("temperature follows from enthalpy to rounding, from poor guesses too") {
  const Problem p = test::small_stack({});
  const CellField mass = cell_masses(p);
  CellField T(mass.size()), H, C;
  for (std::size_t i = 0; i < T.size(); ++i) T[i] = 250.0 + 2200.0 * static_cast<double>(i % 97) / 97.0;
  enthalpy_at(p, mass, T, H, C);
  CellField found(mass.size(), 1500.0);
  temperature_from_enthalpy(p, mass, H, found);
  for (std::size_t i = 0; i < T.size(); ++i) CHECK(found[i] == doctest::Approx(T[i]).epsilon(1e-11));
}

TEST_CASE("ledger: what does not close is seen") {
  Ledger ledger;
  CHECK(ledger.energy_balance_relative() == 0.0);
  ledger.electric = 100;
  ledger.radiation = 40;
  ledger.stored = 60;
  ledger.delivered = 140;
  CHECK(ledger.energy_balance_relative() == 0.0);
  ledger.stored = 59;
  CHECK(ledger.energy_balance_relative() == doctest::Approx(1.0 / 140));
  ledger.largest_current = 1000;
  ledger.worst_charge_residual = 1e-6;
  CHECK(ledger.charge_balance_relative() == test::relative(1e-9));
}

TEST_CASE("the segment in force is the one just after t; the last one serves the very end") {
  Drive drive;
  CHECK(segment_at(drive, 0.0) == nullptr);
  CHECK(end_time(drive) == 0.0);
  drive.segments = {{0, 10, 300, 400, false, false, ""}, {10, 30, 500, 400, false, true, "hold"}};
  CHECK(segment_at(drive, 0.0) == &drive.segments[0]);
  CHECK(segment_at(drive, 9.999) == &drive.segments[0]);
  CHECK(segment_at(drive, 10.0) == &drive.segments[1]);
  CHECK(segment_at(drive, 30.0) == &drive.segments[1]);
  CHECK(end_time(drive) == 30.0);
  CHECK(value_in(drive.segments[1], 15.0) == doctest::Approx(475.0).epsilon(1e-14));
  CHECK(value_in(drive.segments[1], 99.0) == 400.0);  // held beyond the end
}

TEST_CASE("no limit: nothing binds; a negative power programme draws nothing") {
  Drive drive;
  drive.kind = DriveKind::power;
  CHECK(std::isinf(ceiling(drive, 100).s));
  CHECK(prescribed(drive, drive.kind, {0, 1, -50, -50, false, false, ""}, 0.5, 100).s == 0.0);
}

TEST_CASE("a property used beyond its range is reported once, with material and degrees") {
  const Problem p = test::small_stack({});
  const CellField room(p.mesh.volume.size(), 298.15);
  CellField hot(room);
  CHECK(range_warnings(p, room, hot).empty());
  for (std::size_t i = 0; i < hot.size(); ++i)
    if (p.mesh.part_of(static_cast<int>(i)) == 7) hot[i] = 2600.0;  // the die; its curves end at 2500 K
  const std::vector<std::string> warnings = range_warnings(p, room, hot);
  REQUIRE(warnings.size() == 3);  // heat capacity, conductivity, resistivity
  for (const std::string& warning : warnings) {
    CHECK(warning.find("graphite") != std::string::npos);
    CHECK(warning.find("2327 degC") != std::string::npos);  // 2600 K
  }
}
