// Correlated scores as a sum of independent ones.
//
//   R = V diag(l) V^T        R: correlation of n standard scores z; V: eigenvectors as columns
//   z = V diag(sqrt l) y     y: independent standard scores, one a direction
// so that z has the covariance R.  Textbook (principal components).  Every vector has length 1 and its
// largest component, the first of equal ones, above 0.  Tests: tests/solver/test_principal_directions.cpp.
#pragma once

#include <vector>

#include "solver/inverse/table.hpp"

namespace joulepress::inverse {

struct Directions {
  std::vector<double> variances;  ///< l [-], largest first; rounding may leave those of nothing just below 0
  Table vectors;                  ///< V, a row a score, a column a direction
};

/// Of a symmetric matrix with n rows; only its lower triangle is read.  None of an empty one.  Throws
/// std::invalid_argument for a matrix that is not square or holds a number that is not finite.
Directions principal_directions(const Table& correlation);

}  // namespace joulepress::inverse
