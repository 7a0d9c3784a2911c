// Motion: where the parts of the stack lie as its powder beds close.
//
// Rows of a bed lie at the mean heights of their cells over the columns; what rides on the beds is lifted by
// how much they have lost (Problem::rides).  Cells are material: nothing flows through their faces, and mass
// per cell is for ever.  Contacts follow from where things lie (mesh/slots.hpp).
#pragma once

#include <memory>
#include <span>
#include <vector>

#include "mesh/slots.hpp"
#include "solver/compaction.hpp"
#include "solver/problem.hpp"
#include "solver/state.hpp"

namespace joulepress::solver {

/// Placements from the start to beds without pores: each bed alone, all together.
std::vector<mesh::Placement> reachable_placements(const Problem& start);

/// Where everything lies when all beds have closed evenly by a share of what they can.
mesh::Placement evenly_closed(const Problem& start, double share);

/// Interfaces of the mesh as it lies; with beds, slots for all that they can come to.
mesh::Interfaces interfaces_for(const Problem& start);

/// A problem and where its parts lie at present, with what radiates to what there.  Without beds and exchange
/// of radiation it is the problem itself.
class Present {
 public:
  /// `known`: the enclosure of the same stack, where one has been computed.
  explicit Present(const Problem& start, std::shared_ptr<const Enclosure> known = nullptr);
  /// The problem with mesh, interfaces and rows as the beds lie.  The reference stays valid.
  const Problem& at(std::span<const BedState> beds);
  const std::shared_ptr<const Enclosure>& enclosure() const { return enclosure_; }
  /// One per bed.
  const std::vector<BedShape>& shapes() const { return shapes_; }

 private:
  const Problem* start_;
  std::unique_ptr<Problem> moved_;
  std::shared_ptr<const Enclosure> enclosure_;
  std::vector<int> bed_blocks_;
  std::vector<BedShape> shapes_;
};

}  // namespace joulepress::solver
