// Interfaces of a stack whose parts move: lists that stay, so that what was kept for a piece finds it again.
//
// The pieces that can ever come to be each have a slot; those that are not there at present have no area.
// Slots of one pair lie in order along its edges.  What a cell side has open to the outside is one piece,
// however many parts cover the side.
#pragma once

#include <span>
#include <vector>

#include "mesh/interfaces.hpp"

namespace joulepress::mesh {

/// Heights of all lines of every block [m].
using Placement = std::vector<std::vector<double>>;

Placement placement_of(const Mesh& mesh);

/// Puts every block whose heights differ onto those of the placement.
void move_to(Mesh& mesh, const Placement& placement);

/// Slots for every piece met in the placements, and for those whose cells come within `wander` metres of
/// each other in one of them (one value a block; a pair takes the sum of its two): what lies between two
/// placements, and lines of a powder that does not close evenly.  Filled as the mesh lies.
Interfaces slots_of(const Mesh& mesh, std::span<const Placement> placements, std::span<const double> wander);

/// Fills the slots as the mesh lies now.  Throws std::logic_error where a contact has no slot; a piece of a
/// narrow gap without one carries nothing.
void fill(const Mesh& mesh, Interfaces& slots);

}  // namespace joulepress::mesh
