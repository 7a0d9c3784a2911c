// A symmetric positive definite matrix on the faces' two-point pattern, and its factor.
//
// The only place (with esdirk.cpp) that includes Eigen.  Entries go into slots found once, so that assembling
// costs a pass over the faces.
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
  ~Factor();
  Factor(Factor&&) noexcept;
  Factor& operator=(Factor&&) noexcept;

  /// Factorises.  False when the matrix is not positive definite or not finite.
  [[nodiscard]] bool factorise(const MatrixValues& values);
  /// Solves in place.  Precondition: factorise returned true.
  void solve(std::span<double> right_side) const;

 private:
  struct Impl;
  std::unique_ptr<Impl> impl_;
};

}  // namespace joulepress::solver
