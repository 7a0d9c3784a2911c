#include "solver/inverse/principal_directions.hpp"

#include <Eigen/Dense>
#include <algorithm>
#include <cmath>
#include <stdexcept>

namespace joulepress::inverse {

Directions principal_directions(const Table& correlation) {
  const int n = correlation.rows;
  if (correlation.columns != n) throw std::invalid_argument("principal directions: matrix not square");
  if (!std::all_of(correlation.values.begin(), correlation.values.end(),
                   [](double value) { return std::isfinite(value); }))
    throw std::invalid_argument("principal directions: a number that is not finite");
  Directions directions;
  directions.vectors = Table(n, n);
  if (n == 0) return directions;
  using RowMajor = Eigen::Matrix<double, Eigen::Dynamic, Eigen::Dynamic, Eigen::RowMajor>;
  const Eigen::MatrixXd matrix = Eigen::Map<const RowMajor>(correlation.values.data(), n, n);
  const Eigen::SelfAdjointEigenSolver<Eigen::MatrixXd> solved(matrix);
  if (solved.info() != Eigen::Success) throw std::invalid_argument("principal directions: no eigenvalues");
  for (int d = 0; d < n; ++d) {
    const int from = n - 1 - d;  // they come smallest first
    directions.variances.push_back(solved.eigenvalues()[from]);
    const Eigen::VectorXd vector = solved.eigenvectors().col(from);
    // Of equal components rounding must not choose.  (Searched from the front: the optimiser of GCC 12 gets a
    // loop wrong that goes down and keeps the last hit.)
    constexpr double equal = 1.0 - 1e-9;
    const double largest = vector.cwiseAbs().maxCoeff();
    int leads = 0;
    while (leads < n - 1 && !(std::abs(vector[leads]) >= equal * largest)) ++leads;
    const double sign = vector[leads] < 0.0 ? -1.0 : 1.0;
    for (int row = 0; row < n; ++row) directions.vectors(row, d) = sign * vector[row];
  }
  return directions;
}

}  // namespace joulepress::inverse
