// A block that is nearly of one temperature (conductivity 1e6 W/(m K)), heated by a current along its axis
// and cooled by a film around it: the lumped body of lumped.hpp, solved as any other stack.
#pragma once

#include <numbers>

#include "tests/support/lumped.hpp"
#include "tests/support/problems.hpp"

namespace joulepress::test {

inline constexpr double block_start = 300;  ///< K, and its surroundings

/// Radius 10 mm, height 20 mm; one exact probe in its middle.  The drive is left empty.
inline solver::Problem heated_block() {
  solver::Problem p = plain_problem({{"block", 0, 0, 0.01, 0, 0.02}}, even_grid(0.005),
                                    {constant_material("metal", 1e6, 1e-5, 1000, 1000)});
  solver::SideCondition& skin = side_of(p, 0, mesh::Side::outer);
  skin.film = 100;
  skin.film_temperature = block_start;
  side_of(p, 0, mesh::Side::bottom).electrode = solver::Electrode::low;
  side_of(p, 0, mesh::Side::top).electrode = solver::Electrode::high;
  p.initial_temperature = p.chamber_temperature = block_start;
  p.numerics.first_step = 1e-3;  // backward Euler takes the power at its end for that long
  add_probe(p, 0, 0.0, 0.01);
  p.sensors[0].name = "probe";
  return p;
}

/// The same in closed form: C = 2 pi J/K, hA = 0.04 pi W/K, so that C/hA = 50 s.
inline LumpedBody lumped_block() {
  constexpr double pi = std::numbers::pi;
  return {1e6 * pi * 1e-4 * 0.02, 100 * 2 * pi * 0.01 * 0.02, block_start};
}

/// G = area / (resistivity height) = 500 pi S.
inline constexpr double block_conductance = 500 * std::numbers::pi;

/// A programme followed by a controller with half a second between samples.
inline void control(solver::Problem& p, std::vector<solver::Segment> segments) {
  p.drive.kind = solver::DriveKind::tracking;
  p.drive.sensor = 0;
  p.drive.segments = std::move(segments);
  solver::Controller c;
  c.period = 0.5;
  c.gain = 4;
  c.integral_time = 8;
  c.derivative_time = 0.5;
  p.drive.controller = c;
}

}  // namespace joulepress::test
