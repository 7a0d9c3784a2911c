// Mirror symmetry: a stack that is its own mirror image in height is solved in its upper half.
//
//   T(r, -z) = T(r, z),   psi(r, -z) = 1 - psi(r, z),   z from the mid-plane
// No heat crosses the mid-plane and it is an equipotential, so that the half is a problem like any other: its
// low electrode is the mid-plane, and it takes the current of the whole at half the voltage and power.  What
// it finds is unfolded before anyone sees it.  Tests: tests/verification/test_half.cpp.
#pragma once

#include <memory>
#include <vector>

#include "solver/fields.hpp"
#include "solver/problem.hpp"
#include "solver/results.hpp"

namespace joulepress::solver {

struct Half {
  Problem problem;              ///< the upper half, in the coordinates of the whole
  std::vector<int> cell;        ///< per cell of the whole: its number in the half, or its image's
  std::vector<bool> below;      ///< per cell of the whole: whether it lies below the mid-plane
  std::vector<int> block;       ///< per block of the whole, likewise
  std::vector<int> part;        ///< per part of the whole, likewise
  std::vector<bool> cut;        ///< per part of the whole: whether the mid-plane cuts it
  std::vector<int> body;        ///< per powder body of the whole
  std::vector<int> part_above;  ///< per part of the half: the part of the whole it is or belongs to
};

/// Middle of a stack in height [m].
double mid_plane(const mesh::Layout& layout);

/// The half of a problem whose geometry, grid, parts, contacts, surfaces and poles are mirror images of each
/// other; null where anything is not: a part without its image, a contact that lies on the mid-plane, a
/// volume heat source, a gas (it rises), thermoelectric heat.  Sensors need no image: they are read where
/// their image would be.
std::shared_ptr<const Half> half_of(const Problem& whole);

/// What a run solves: the half where there is one, the problem itself elsewhere.
const Problem& solved(const Problem& problem);

/// What the half found, told of the whole.
HistoryRow unfold(const Problem& whole, const Half& half, const HistoryRow& row);
CellFields unfold(const Problem& whole, const Half& half, const CellFields& fields, double half_voltage);
Ledger unfold(const Ledger& ledger);

}  // namespace joulepress::solver
