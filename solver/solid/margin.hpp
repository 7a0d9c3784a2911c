// How far from breaking an elastic body is.
//
// At the four points of a cell where stresses are best (Gauss, two by two), with the principal stresses
// s1 >= s2 >= s3 (tension positive) and the strengths S at the temperature there:
//   tension       S_t / s1              S_t of a test in tension; of one in bending where that is not known
//   compression   S_c / (min(s1, 0) - s3): pressure from all sides alone does not crush; not around the ends
//                 of contacts (StackBody::Edge): the plates of the test that measures S_c have such edges too
// A margin is strength over stress: below 1 it breaks.  The chance to break is that of the weakest link,
// every principal tension by itself (materials/weibull.hpp), from the scatter of the strength in bending.
#pragma once

#include <optional>

#include "solver/solid/stack_body.hpp"

namespace joulepress::solid {

/// s1 >= s2 >= s3 [Pa].
std::array<double, 3> principal_stresses(const Stress& stress);

/// A place of a part and what it bears.
struct Spot {
  double r = 0, z = 0;     ///< m; z from the middle of the part
  double temperature = 0;  ///< K
  double stress = 0;       ///< Pa, positive: s1, or min(s1, 0) - s3
  double strength = 0;     ///< Pa
  double margin() const { return strength / stress; }
};

/// The worst places of one part.
struct PartLoad {
  int part = 0;                 ///< of the problem
  std::optional<Spot> tension;  ///< none: strength not known, or nowhere in tension
  std::optional<Spot> compression;
  std::optional<double> break_chance;  ///< indicative; none: scatter not known
  double hoop_at_bore = 0;             ///< Pa, largest along the inner side of the part; 0: no bore
};

/// Every tool of the body; powders are none.  Ascending by part.
std::vector<PartLoad> loads_of(const Instant& instant, const StackBody& stack, const Deformed& deformed);

/// At a place -1 <= xi, eta <= 1 of a cell of a block of the body; infinity where nothing is loaded that
/// counts, not a number in a powder and where no strength is known.
double margin_at(const Instant& instant, const StackBody& stack, const Deformed& deformed, int block, int i,
                 int j, double xi, double eta);

/// The least of all margins; infinity where nothing is known.
double least_margin(const std::vector<PartLoad>& loads);

}  // namespace joulepress::solid
