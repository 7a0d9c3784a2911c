#include "solver/factor.hpp"

#include <Eigen/Sparse>
#include <algorithm>
#include <cassert>
#include <cmath>

namespace joulepress::solver {

// Eigen's minimum-degree ordering is as good as nested dissection at 5 to 20 thousand cells
// (docs/decisions); the matrix is permuted once here, so that each solve is two triangular sweeps.
struct Factor::Impl {
  using Matrix = Eigen::SparseMatrix<double, Eigen::ColMajor, int>;
  Matrix lower;  ///< lower triangle in solver order
  std::vector<int> diagonal_slot, link_slot;
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> order;  ///< cell -> position
  Eigen::SimplicialLDLT<Matrix, Eigen::Lower, Eigen::NaturalOrdering<int>> ldlt;
  mutable Eigen::VectorXd work;
};

Factor::Factor(int n, std::span<const Link> links) : impl_(std::make_unique<Impl>()) {
  std::vector<Eigen::Triplet<double, int>> entries;
  entries.reserve(static_cast<std::size_t>(n) + links.size());
  for (int i = 0; i < n; ++i) entries.emplace_back(i, i, 1.0);
  for (const Link& link : links)
    entries.emplace_back(std::max(link.a, link.b), std::min(link.a, link.b), -1e-3);
  Impl::Matrix pattern(n, n);
  pattern.setFromTriplets(entries.begin(), entries.end());
  Eigen::PermutationMatrix<Eigen::Dynamic, Eigen::Dynamic, int> inverse;
  Eigen::AMDOrdering<int> ordering;
  ordering(pattern.selfadjointView<Eigen::Lower>(), inverse);
  impl_->order = inverse.inverse();

  const auto position = [&](int cell) { return impl_->order.indices()[cell]; };
  for (auto& entry : entries) {
    const int p = position(entry.row()), q = position(entry.col());
    entry = {std::max(p, q), std::min(p, q), 0.0};
  }
  impl_->lower.resize(n, n);
  impl_->lower.setFromTriplets(entries.begin(), entries.end());
  impl_->lower.makeCompressed();
  const auto slot = [&](int row, int column) {
    const int* begin = impl_->lower.innerIndexPtr() + impl_->lower.outerIndexPtr()[column];
    const int* end = impl_->lower.innerIndexPtr() + impl_->lower.outerIndexPtr()[column + 1];
    return static_cast<int>(std::lower_bound(begin, end, row) - impl_->lower.innerIndexPtr());
  };
  for (int i = 0; i < n; ++i) impl_->diagonal_slot.push_back(slot(position(i), position(i)));
  for (const Link& link : links) {
    const int p = position(link.a), q = position(link.b);
    impl_->link_slot.push_back(slot(std::max(p, q), std::min(p, q)));
  }
  impl_->ldlt.analyzePattern(impl_->lower);
  impl_->work.resize(n);
}

Factor::~Factor() = default;
Factor::Factor(Factor&&) noexcept = default;
Factor& Factor::operator=(Factor&&) noexcept = default;

bool Factor::factorise(const MatrixValues& values) {
  double* entry = impl_->lower.valuePtr();
  std::fill(entry, entry + impl_->lower.nonZeros(), 0.0);
  for (std::size_t i = 0; i < values.diagonal.size(); ++i)
    entry[impl_->diagonal_slot[i]] = values.diagonal[i];
  for (std::size_t k = 0; k < values.coupling.size(); ++k) entry[impl_->link_slot[k]] += values.coupling[k];
  impl_->ldlt.factorize(impl_->lower);
  return impl_->ldlt.info() == Eigen::Success && impl_->ldlt.vectorD().minCoeff() > 0.0;
}

void Factor::solve(std::span<double> right_side) const {
  Eigen::Map<Eigen::VectorXd> x(right_side.data(), static_cast<Eigen::Index>(right_side.size()));
  const auto& ldlt = impl_->ldlt;
  Eigen::VectorXd& work = impl_->work;
  work.noalias() = impl_->order * x;
  ldlt.matrixL().solveInPlace(work);
  work = work.cwiseQuotient(ldlt.vectorD());
  ldlt.matrixU().solveInPlace(work);
  x.noalias() = impl_->order.transpose() * work;
}

}  // namespace joulepress::solver
