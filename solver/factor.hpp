// A symmetric positive definite matrix on the faces' two-point pattern, and its factor.
//
// The only place (with esdirk.cpp) that includes Eigen: it orders the unknowns and finds the pattern of L.
// Entries go straight into their slots in L, found once; elimination and solves work on panels of up to four
// columns (docs/decisions/0013).
#pragma once

#include <memory>
#include <span>
#include <vector>

namespace joulepress::solver {

/// A pair of cells coupled by a face.
struct Link {
  int a = 0, b = 0;
};

/// What a matrix is made of; this is what a checkpoint keeps, the factor follows from it.
struct MatrixValues {
  std::vector<double> diagonal;  ///< one per cell
  std::vector<double> coupling;  ///< one per link, the (negative) off-diagonal entry
};

class Factor {
 public:
  /// Pattern of n unknowns coupled by the links.
  Factor(int n, std::span<const Link> links);
  /// Another one with the same unknowns and links, without values: ordering and panels are shared.
  [[nodiscard]] Factor of_same_pattern() const;

  /// Factorises.  False when the matrix is not positive definite or not finite.
  [[nodiscard]] bool factorise(const MatrixValues& values);
  /// Solves in place.  Precondition: factorise returned true.
  void solve(std::span<double> right_side) const;

 private:
  struct Pattern;
  explicit Factor(std::shared_ptr<const Pattern> pattern);
  std::shared_ptr<const Pattern> pattern_;
  std::vector<double> values_, pivots_;  ///< L in panels, D
  mutable std::vector<double> work_;
};

}  // namespace joulepress::solver
