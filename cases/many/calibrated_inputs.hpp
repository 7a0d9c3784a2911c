// The uncertain inputs of a calibrated case: what the logs have left of them, as independent directions.
//
// The scores z of inputs that hang together have the correlation R; correlations below 0.05 that nothing else
// joins are taken for none.  With R = V diag(l) V^T
// (solver/inverse/principal_directions.hpp) they are z = V diag(sqrt l) y of independent scores y, one a
// direction; value k of the calibration, moved by its input i, weighs V_id sqrt(l_d) in direction d.
// Directions of next to no variance are left out.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "cases/case.hpp"
#include "cases/many/uncertain.hpp"

namespace joulepress::cases {

/// Addresses of all values of the case's calibration; none of a case without one.
std::set<std::string, std::less<>> calibrated_addresses(const Case& c);

/// `inputs`: those of the case by key table and material files, with the limits of every value; those of the
/// calibration are taken out of it, and its directions stand at the end.  A value that is not among them has
/// no effect in this case and is left out.
std::vector<UncertainInput> with_calibration(std::vector<UncertainInput> inputs, const Case& c);

}  // namespace joulepress::cases
