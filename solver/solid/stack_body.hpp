// The tools of a stack as an elastic body at one instant.
//
// Every part whose modulus is known bears, as drawn, at the modulus and the growth  a(T) (T - 20 degC)  of
// its own temperatures.  Between two of them lies
//   a foil                stiffness E/t across, as it comes back when unloaded; slides, opens
//   a bare touch          as stiff as 20 um of the softer side (our choice, no source); slides, opens
//   two blocks of a part  welded
// A powder is one of two things: soft, then it presses on the punches with the force over its section and on
// its wall with its side pressure, over the height where it bears; or solid, a body
// like a tool (solver/solid/compact.hpp).  The force stands on the upper end of the column, the lower end is
// held.  Slight springs keep what floats, such
// as a die, in its place.  Parts without a modulus, such as
// felt, bear nothing.  Expansion and modulus of layered plates are those along their layers.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "solver/problem.hpp"
#include "solver/results.hpp"
#include "solver/solid/body.hpp"

namespace joulepress::solid {

/// A stack that is solved (a half where there is one) at one instant.
struct Instant {
  const solver::Problem& problem;
  mesh::Mesh mesh;            ///< as it lies
  solver::Snapshot snapshot;  ///< of the same heights
};

Instant instant_of(const solver::Problem& problem, solver::Snapshot snapshot);

/// Between two snapshots, all in straight lines; the heights of the later one.
solver::Snapshot between(const solver::Snapshot& before, const solver::Snapshot& after, double time);

/// What a soft powder presses with [Pa].
struct Pressed {
  double axial = 0, side = 0;
};

/// By the press's own force; where the bed does not densify, by the law of a closed die at its density.
Pressed pressed_by(const Instant& instant, int block);

/// A powder that has become solid.
struct SolidPowder {
  int block = 0;  ///< of the problem's mesh
  std::function<double(double r, double z, double T)> free_strain;
  std::function<double(double T)> modulus;  ///< Pa
  /// Of its joint with a side of another block of the problem's mesh, as stiff as `across` [m].
  std::function<double(int block, mesh::Side side, double across, double place)> gap;
};

struct StackBody {
  Body body;
  std::vector<int> block;                        ///< of the problem's mesh, per block of the body
  std::vector<std::vector<double>> temperature;  ///< K, per block of the body and corner
  /// Where a contact ends, and as far from there as a test of strength is disturbed by its own plates [m].
  struct Edge {
    double r = 0, z = 0, around = 0;
  };
  std::vector<std::vector<Edge>> edges;  ///< per block of the body
  std::vector<std::string> without;      ///< parts left out: nothing is known of their stiffness
};

struct Wanted {
  bool column = true;                  ///< false: sleeves and solid powders alone, as when it is pushed out
  double force_times = 1;              ///< of the force and of all that the soft powders press with
  const SolidPowder* solid = nullptr;  ///< null: every powder is soft
};

StackBody body_of(const Instant& instant, const Wanted& wanted);

/// Poisson's ratio of a material; 0.2 where it is not known (common practice for graphite, no source).
double poisson_of(const materials::Material& material);

/// Thermal growth from 20 degC to T [-], along the layers; 0 where it is not known.
double growth_of(const materials::Material& material, double T);

}  // namespace joulepress::solid
